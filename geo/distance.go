package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// Distance returns the great-circle distance from a to b in metres, 0 to half the
// circumference (20 015 115 m), on the sphere of radius [MeanRadius].
//
// It is the haversine formula with the complement worked out separately, so that it
// is as good for points a millimetre apart as for antipodes. It is symmetric to the
// last bit. Against the WGS 84 ellipsoid the error is at most 0.57 % (the largest of
// 300 geodesics computed with Karney's method was 0.56 %).
func Distance(a, b orb.Point) float64 {
	return MeanRadius * centralAngle(a, b)
}

// centralAngle returns the angle between a and b at the Earth's centre in radians.
func centralAngle(a, b orb.Point) float64 {
	sinHalfLat, _ := sincosDeg((b.Lat() - a.Lat()) / 2)
	sinMidLat, _ := sincosDeg((b.Lat() + a.Lat()) / 2)
	sinHalfLon, cosHalfLon := sincosDeg(lonDelta(a.Lon(), b.Lon()) / 2)
	_, cosA := sincosDeg(a.Lat())
	_, cosB := sincosDeg(b.Lat())
	// sin² and cos² of half the angle; the second is not 1 minus the first, which
	// would lose the last 0.1 m before the antipode.
	sin2 := sinHalfLat*sinHalfLat + cosA*cosB*sinHalfLon*sinHalfLon
	cos2 := sinMidLat*sinMidLat + cosA*cosB*cosHalfLon*cosHalfLon
	return 2 * math.Atan2(math.Sqrt(sin2), math.Sqrt(cos2))
}
