package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// Vector is a point as a unit vector from the Earth's centre: x towards 0 E on the
// equator, y towards 90 E, z towards the north pole. Where one place is measured
// against many, turning each into a Vector once leaves no trigonometry but one
// arcsine per distance.
type Vector [3]float64

// Unit returns p as a unit vector.
func Unit(p orb.Point) Vector {
	sinLat, cosLat := sincosDeg(p.Lat())
	sinLon, cosLon := sincosDeg(p.Lon())
	return Vector{cosLat * cosLon, cosLat * sinLon, sinLat}
}

// Distance returns the great-circle distance from v to w in metres on the sphere of
// radius [MeanRadius], from the chord between them. It differs from the [Distance]
// of the points by no more than rounding: some nanometres for close points, and
// never more than 1e-6 m.
func (v Vector) Distance(w Vector) float64 {
	if chord2 := square(v[0]-w[0], v[1]-w[1], v[2]-w[2]); chord2 < 2 {
		return MeanRadius * 2 * math.Asin(math.Sqrt(chord2)/2)
	}
	// Beyond a quarter turn the chord to the antipode is the shorter one, and the
	// arcsine of a number near 1 would lose half the digits.
	rest2 := square(v[0]+w[0], v[1]+w[1], v[2]+w[2])
	return MeanRadius * (math.Pi - 2*math.Asin(math.Sqrt(rest2)/2))
}

// Dot returns the cosine of the angle between v and w: larger is nearer. It is the
// cheapest key for putting places in order of distance, but blind to differences of
// less than some ten metres in the distance between close points.
func (v Vector) Dot(w Vector) float64 { return v[0]*w[0] + v[1]*w[1] + v[2]*w[2] }

func square(x, y, z float64) float64 { return x*x + y*y + z*z }
