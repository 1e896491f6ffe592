package road

import (
	"math"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// xy is a point of the plane, in metres from the middle of the map.
type xy struct{ x, y float64 }

func (a xy) minus(b xy) xy              { return xy{a.x - b.x, a.y - b.y} }
func (a xy) plus(b xy, k float64) xy    { return xy{a.x + k*b.x, a.y + k*b.y} }
func (a xy) cross(b xy) float64         { return a.x*b.y - a.y*b.x }
func (a xy) dot(b xy) float64           { return a.x*b.x + a.y*b.y }
func (a xy) length() float64            { return math.Hypot(a.x, a.y) }
func (a xy) left() xy                   { return xy{-a.y, a.x} }
func (a xy) unit() xy                   { l := a.length(); return xy{a.x / l, a.y / l} }
func between(a, b xy, share float64) xy { return a.plus(b.minus(a), share) }

// plane is the gnomonic projection of the sphere onto the plane that touches
// it at the middle of the map. Great circles are straight lines in it, so that
// what crosses what is judged exactly, at any distance, across the antimeridian
// and at the poles. Only lengths are distorted: by less than 0.8 % within
// 500 km of the middle, and 3 % within 1,100 km. No distance or time is taken
// from it.
//
// Snyder, Map Projections: A Working Manual, USGS Professional Paper 1395,
// 1987, chapter 22 (from memory).
type plane struct{ up, east, north geo.Vector }

// minUp is the cosine of the greatest angle from the middle that is projected:
// 60 degrees, 6,671 km.
const minUp = 0.5

// newPlane returns the plane that touches the sphere at the unit vector up.
func newPlane(up geo.Vector) plane {
	// East is at right angles to up and to the axis; at a pole any will do.
	east := geo.Vector{-up[1], up[0], 0}
	if l := math.Hypot(east[0], east[1]); l > 1e-9 {
		east[0], east[1] = east[0]/l, east[1]/l
	} else {
		east = geo.Vector{0, 1, 0}
	}
	north := geo.Vector{
		up[1]*east[2] - up[2]*east[1],
		up[2]*east[0] - up[0]*east[2],
		up[0]*east[1] - up[1]*east[0],
	}
	return plane{up: up, east: east, north: north}
}

// project returns where p is in the plane, and false beyond 60 degrees from
// its middle.
func (pl plane) project(p orb.Point) (xy, bool) {
	v := geo.Unit(p)
	up := v.Dot(pl.up)
	if up < minUp {
		return xy{}, false
	}
	return xy{geo.MeanRadius * v.Dot(pl.east) / up, geo.MeanRadius * v.Dot(pl.north) / up}, true
}

// vector is the inverse of project, as a unit vector.
func (pl plane) vector(a xy) geo.Vector {
	x, y := a.x/geo.MeanRadius, a.y/geo.MeanRadius
	l := math.Sqrt(1 + x*x + y*y)
	var v geo.Vector
	for i := range v {
		v[i] = (pl.up[i] + x*pl.east[i] + y*pl.north[i]) / l
	}
	return v
}

// point is the inverse of project.
func (pl plane) point(a xy) orb.Point {
	v := pl.vector(a)
	const radian = 180 / math.Pi
	return orb.Point{math.Atan2(v[1], v[0]) * radian, math.Atan2(v[2], math.Hypot(v[0], v[1])) * radian}
}

// middle is the direction of the mean of the points; false if they are spread
// so evenly round the Earth that there is none.
func middle(points []orb.Point) (geo.Vector, bool) {
	var sum geo.Vector
	for _, p := range points {
		v := geo.Unit(p)
		for i := range sum {
			sum[i] += v[i]
		}
	}
	l := math.Sqrt(sum.Dot(sum))
	if l < 1e-6*float64(len(points)) || l == 0 {
		return geo.Vector{}, false
	}
	for i := range sum {
		sum[i] /= l
	}
	return sum, true
}
