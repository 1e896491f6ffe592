package road

import (
	"math"

	"surgeonward/geo"
)

// Bounded is an Estimator that knows a speed no travel exceeds.
type Bounded interface {
	// FastestMS is a bound in m/s: over a great-circle distance, no way takes
	// less than the distance over it.
	FastestMS(law Law) float64
}

// FastestMS is the estimator's bound of the speed along the great circle, or
// the law's cruise speed where the estimator has none: a road is never
// shorter than the great circle.
func FastestMS(e Estimator, law Law) float64 {
	if b, ok := e.(Bounded); ok {
		return b.FastestMS(law)
	}
	return law.CruiseMS
}

var (
	_ Bounded = GreatCircle{}
	_ Bounded = (*Terrain)(nil)
)

// FastestMS is the cruise speed over the road factor.
func (g GreatCircle) FastestMS(law Law) float64 { return law.CruiseMS / math.Max(1, g.Factor) }

// FastestMS is the cruise speed where roads are straightest and quickest, or
// the speed of the quickest crossing where one beats that.
func (t *Terrain) FastestMS(law Law) float64 {
	if t.simple {
		return law.CruiseMS / math.Max(1, t.region.Factor)
	}
	fastest := law.CruiseMS / t.country.least
	for i := range t.m.Crossings {
		c := &t.m.Crossings[i]
		metres := geo.Distance(c.Ends[0], c.Ends[1])
		if c.Service != nil {
			fastest = math.Max(fastest, metres/math.Max(c.Service.Sailing.TypicalS, 1e-9))
			continue
		}
		fastest = math.Max(fastest, metres/t.crossing[i]*law.CruiseMS)
	}
	return fastest
}
