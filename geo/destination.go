package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// Destination returns the point reached from p along a great circle that starts at
// bearingDeg (degrees from true north) after distanceM metres on the sphere of
// radius [MeanRadius]. A negative distance goes the other way. The longitude is at
// least -180 and less than 180. From a pole the bearing is measured from the
// meridian of p's own longitude; a destination exactly at a pole may carry any
// longitude.
func Destination(p orb.Point, bearingDeg, distanceM float64) orb.Point {
	sinP, cosP := sincosDeg(p.Lat())
	sinB, cosB := sincosDeg(bearingDeg)
	sinD, cosD := math.Sincos(distanceM / MeanRadius)
	// The destination in the frame of p's meridian: out is through the equator
	// there, east a quarter turn on, up the north pole.
	out := cosP*cosD - sinP*sinD*cosB
	east := sinB * sinD
	up := sinP*cosD + cosP*sinD*cosB
	lat := math.Atan2(up, math.Hypot(out, east)) * radian
	lon := normalLon(p.Lon() + math.Atan2(east, out)*radian)
	return orb.Point{lon, lat}
}
