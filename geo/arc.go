package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// maxArcSegments bounds what a tiny step can make [Arc] allocate.
const maxArcSegments = 10_000

// Interpolate returns the point at a fraction of the way from a to b along the
// great circle: a itself at 0, b itself at 1, the midpoint at 0.5. Fractions outside
// 0 to 1 run on along the same circle. Between antipodes, where every great circle
// will do, it takes the one that leaves a at bearing 0.
func Interpolate(a, b orb.Point, fraction float64) orb.Point {
	switch fraction {
	case 0:
		return a
	case 1:
		return b
	}
	return Destination(a, InitialBearing(a, b), fraction*Distance(a, b))
}

// Arc returns points along the great circle from a to b for drawing, both ends
// included exactly as given, evenly spaced by no more than maxStepM metres. It makes
// at most 10 000 segments, so a smaller step gets longer ones; a step that is not a
// positive number gives the two ends alone. Longitudes are at least -180 and less
// than 180: pass the line through [SplitAtAntimeridian] before drawing it.
func Arc(a, b orb.Point, maxStepM float64) []orb.Point {
	distanceM, bearing := Distance(a, b), InitialBearing(a, b)
	segments := 1
	if n := math.Ceil(distanceM / maxStepM); n > 1 && maxStepM > 0 {
		segments = int(math.Min(n, maxArcSegments))
	}
	line := make([]orb.Point, 0, segments+1)
	line = append(line, a)
	for i := 1; i < segments; i++ {
		line = append(line, Destination(a, bearing, distanceM*float64(i)/float64(segments)))
	}
	return append(line, b)
}
