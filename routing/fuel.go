package routing

import (
	"math"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/geo/sun"
)

// endurance is the reason against a mission for which the fuel, counted as
// flying time, does not last: to the scene, waiting with rotors turning, to
// the hospital and on to the next place with fuel, plus the final reserve.
func (p *problem) endurance(a *approach, w *network) []Reason {
	if a.EnduranceS == 0 {
		if w.keep {
			w.beware("the endurance of " + a.Name + " is not stated: fuel is not checked")
		}
		return nil
	}
	fuel := a.EnduranceS
	if a.FuelS != nil {
		fuel = *a.FuelS
	}
	used, since := a.flownS, math.Inf(1) // since: when the engines were last started
	var last *node
	for i := range w.n {
		nd := &w.nodes[i]
		if nd.asset != a.Asset {
			continue
		}
		switch {
		case nd.kind == KindTravel && nd.byAir:
			if a.RotorsTurning && !math.IsInf(since, 1) {
				used = math.Max(used, nd.startS-since) // on the ground with rotors turning
			} else if math.IsInf(since, 1) {
				since = nd.startS - used
			}
			used += nd.timing.TypicalS
			last = nd
		case nd.kind == KindRefuel:
			if why := p.tooFar(a.Asset, used, fuel, last, 0); why != nil {
				return why
			}
			fuel, used, since = a.EnduranceS, 0, math.Inf(1)
		}
	}
	if last == nil {
		return nil
	}
	return p.tooFar(a.Asset, used, fuel, last, p.toNextFuel(a.Asset, last))
}

// tooFar compares what is used, what the way to the next fuel takes and the
// final reserve with the fuel there is.
func (p *problem) tooFar(a *Asset, used, fuel float64, last *node, onward float64) []Reason {
	reserve := p.reserve(a, last)
	if used+onward+reserve <= fuel {
		return nil
	}
	return []Reason{reason(ReasonBeyondEndurance, "endurance %s; mission %s with %s to the next fuel and %s reserve",
		minutes(fuel), minutes(used+onward+reserve), minutes(onward), minutes(reserve))}
}

// reserve is the final reserve by the rules of the landing: by day or night.
func (p *problem) reserve(a *Asset, last *node) float64 {
	s := p.Settings
	night := last != nil && sun.IsNight(last.to, p.after(last.endS))
	switch {
	case a.Kind == Aeroplane && night:
		return s.AeroplaneReserveNightS
	case a.Kind == Aeroplane:
		return s.AeroplaneReserveDayS
	case night:
		return s.ReserveNightS
	}
	return s.ReserveDayS
}

// toNextFuel is the flight from the last landing to the nearest place with
// fuel, in still air; none where there is fuel at that place itself.
func (p *problem) toNextFuel(a *Asset, last *node) float64 {
	key := fuelKey{a, last.to}
	if known, ok := p.fuelS[key]; ok {
		return known
	}
	s := p.nextFuel(a, last)
	if len(p.fuelS) >= keptFuel {
		clear(p.fuelS)
	}
	if p.fuelS != nil {
		p.fuelS[key] = s
	}
	return s
}

// fuelKey is what the flight to the next fuel depends on.
type fuelKey struct {
	asset *Asset
	at    orb.Point
}

// keptFuel bounds what a batch keeps of it: pads are landed on again and again.
const keptFuel = 4096

func (p *problem) nextFuel(a *Asset, last *node) float64 {
	nearest := math.Inf(1)
	for _, f := range p.Facilities.All() {
		if !f.HasFuel() && f.ID != a.Base {
			continue
		}
		nearest = math.Min(nearest, geo.Distance(last.to, fuelPlace(f).at))
	}
	switch {
	case nearest <= beside:
		return 0
	case math.IsInf(nearest, 1):
		return facilities.MaxTiming // no fuel anywhere: the mission cannot be flown
	}
	departure, _ := p.allowance(a, a.Kind.ids().departure)
	approach, _ := p.allowance(a, a.Kind.ids().approach)
	return nearest/a.CruiseMS + departure.TypicalS + approach.TypicalS
}

// fuelPlace is where an aircraft stands while it takes fuel.
func fuelPlace(f *facilities.Facility) place {
	if f.Pad != nil {
		return padPlace(f)
	}
	return groundPlace(f)
}

// withFuelStop looks for a stop that makes a mission possible for which only
// the fuel does not last: on the way to the patient, or with the patient on
// board where the aircraft may. The first reasons stand where none helps.
func (s *search) withFuelStop(y way, reasons []Reason) (candidate, []Reason) {
	var list []prospect
	a := y.carrier
	for _, f := range s.Facilities.All() {
		if !f.HasFuel() {
			continue
		}
		stop := fuelPlace(f)
		if !a.aboard {
			before := y
			via := s.approachTo(a.unit, a.spot, &stop)
			before.carrier = &via
			list = append(list, prospect{way: before, key: f.ID + " before", leastS: via.arrives})
		}
		if a.HotRefuel {
			after := y
			after.fuel = &stop
			list = append(list, prospect{way: after, key: f.ID + " after", leastS: a.arrives})
		}
	}
	found, _ := s.best(list, ofHandover, &s.w, func(t *prospect) []Reason { return t.way.carrier.reasons })
	if found.way.dest == nil {
		return candidate{}, reasons
	}
	return found, nil
}
