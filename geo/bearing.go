package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// InitialBearing returns the true bearing at a of the great circle from a to b, in
// degrees clockwise from north, at least 0 and less than 360.
//
// Where no single bearing exists it returns 0: for the same point, for two points at
// the same pole, and for antipodes (including pole to pole), where every bearing
// leads to b. At a pole the bearing is measured from the meridian of a's own
// longitude, so that [Destination] takes it back to b.
func InitialBearing(a, b orb.Point) float64 {
	dLon := lonDelta(a.Lon(), b.Lon())
	atPole := math.Abs(a.Lat()) == 90
	if a.Lat() == b.Lat() && (dLon == 0 || atPole) {
		return 0
	}
	if a.Lat() == -b.Lat() && (math.Abs(dLon) == 180 || atPole) {
		return 0
	}
	sinA, _ := sincosDeg(a.Lat())
	_, cosB := sincosDeg(b.Lat())
	sinLat, _ := sincosDeg(b.Lat() - a.Lat())
	sinLon, _ := sincosDeg(dLon)
	sinHalfLon, _ := sincosDeg(dLon / 2)
	east := sinLon * cosB
	// cos(a)sin(b) - sin(a)cos(b)cos(dLon), rearranged so that nothing cancels
	// between close points.
	north := sinLat + 2*sinA*cosB*sinHalfLon*sinHalfLon
	return normalBearing(math.Atan2(east, north) * radian)
}
