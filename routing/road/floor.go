package road

import (
	"math"

	"surgeonward/geo"
)

// Floor is a time that no travel by one law takes less than, by the great-circle
// distance alone. It is sharper than a speed, because every travel gathers speed
// and slows down. The zero value bounds nothing.
type Floor struct {
	law      Law     // with the quickest gathering of speed there is
	perM     float64 // the least metres of the region's road for a metre of ground
	byFerry  bool    // there are ferries
	ferryS   float64 // the least time that one sails, in seconds
	ferryM   float64 // what all of them span, in metres
	fastest  float64 // a bound of the speed in m/s
	straight bool    // it is all that is known
}

// Floored is an Estimator that has a Floor.
type Floored interface {
	Floor(law Law) Floor
}

// FloorOf is the estimator's floor, or its bound of the speed where it has none.
func FloorOf(e Estimator, law Law) Floor {
	if f, ok := e.(Floored); ok {
		return f.Floor(law)
	}
	return Floor{straight: true, fastest: FastestMS(e, law)}
}

var (
	_ Floored = GreatCircle{}
	_ Floored = (*Terrain)(nil)
)

// S is the floor in seconds over a great-circle distance of so many metres, 0 or
// more. It grows with the distance, and one travel's is not above the sum of two
// that lead as far.
func (f *Floor) S(metres float64) float64 {
	if f.straight {
		return metres / f.fastest
	}
	byRoad := f.law.median(metres * f.perM)
	if !f.byFerry {
		return byRoad
	}
	return math.Min(byRoad, math.Max(f.ferryS+f.law.median(math.Max(0, metres-f.ferryM)*f.perM), metres/f.fastest))
}

// Floor is the law over the great circle times the factor: the travel itself.
func (g GreatCircle) Floor(law Law) Floor {
	if law.Check() != nil {
		return Floor{straight: true, fastest: math.Inf(1)}
	}
	return Floor{law: law, perM: math.Max(1, g.Factor)}
}

// Floor is the law, gathering speed as in the area where that is quickest, over
// the cheapest ground or the cheapest crossing there is. A travel by ferry sails
// once at least, and drives what the ferries do not span.
func (t *Terrain) Floor(law Law) Floor {
	if t.simple {
		return GreatCircle{Factor: t.region.Factor}.Floor(law)
	}
	if law.Check() != nil {
		return Floor{straight: true, fastest: math.Inf(1)}
	}
	// In an area the law over a cost c, in metres of the region's road, is
	// v/(pace gather a) + c/v: areas differ by what gathering speed takes alone.
	quickest := 1.0
	for i := range t.country.areas {
		quickest = math.Max(quickest, t.country.areas[i].pace*t.country.areas[i].gather)
	}
	f := Floor{law: law, perM: t.country.least, ferryS: math.Inf(1), fastest: t.FastestMS(law)}
	f.law.AccelerationMS2 *= quickest
	for i := range t.m.Crossings {
		c := &t.m.Crossings[i]
		a, b := &t.nodes[t.ends+2*i], &t.nodes[t.ends+2*i+1]
		metres := math.Max(geo.Distance(c.Ends[0], c.Ends[1]), a.unit.Distance(b.unit))
		if c.Service == nil {
			f.perM = math.Min(f.perM, t.crossing[i]/math.Max(metres, 1e-9))
			continue
		}
		f.byFerry = true
		f.ferryS = math.Min(f.ferryS, c.Service.Sailing.TypicalS)
		f.ferryM += metres // of all: a travel may take several, each once
	}
	return f
}
