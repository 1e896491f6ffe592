package routing

import (
	"cmp"
	"slices"

	"surgeonward/geo"
)

// beside is how close an aircraft stands to a place for it to need no flight
// there, in metres.
const beside = 150

// approach is one asset on its way to where it is wanted: what it does until
// it is there, or why it cannot be.
type approach struct {
	*unit
	chain    []node // one after the other, from the decision time
	spot     spot   // where it takes the patient
	arrives  float64
	reasons  []Reason
	cautions []string
	timed    bool // the chain is whole: it gets there
}

// approaches works out every asset's way to the scene, each to the place where
// patient and vehicle can soonest be together.
func (p *problem) approaches(units []unit) []approach {
	air, noAir := p.airSpots()
	road := []spot{p.roadSpot()}
	out := make([]approach, len(units))
	for i := range units {
		u := &units[i]
		spots, none := p.spotsFor(u, road, air, noAir)
		if u.aboard {
			out[i] = p.holding(u, spots)
			continue
		}
		p.approach(&out[i], u, spots, none)
		if by := p.aboard(); by != "" {
			out[i].reasons = append(out[i].reasons, p.onBoard(by))
		}
	}
	return out
}

// spotsFor are the places, of those by road and by air, where a unit can take the
// patient; none comes with the reason.
func (p *problem) spotsFor(u *unit, road, air []spot, noAir []Reason) ([]spot, []Reason) {
	switch {
	case u.Kind == Aeroplane:
		return nil, []Reason{reason(ReasonNoLanding, "an aeroplane takes patients from airfields only")}
	case u.Flies() && (u.State != AtScene || u.aboard):
		if p.Scene.Winch && u.HasSkill("winch") {
			return append(slices.Clone(air), p.winchSpot(u.Asset)), noAir
		}
		return air, noAir
	}
	return road, nil
}

// approach works out a unit's way to the best of the places. The memory of what was
// there before is used again.
func (p *problem) approach(a *approach, u *unit, spots []spot, none []Reason) {
	switch len(spots) {
	case 0:
		*a = approach{unit: u, reasons: slices.Concat(u.reason, none)}
		return
	case 1:
		p.goTo(a, u, &spots[0], nil)
		return
	}
	tries := make([]approach, len(spots))
	for i := range spots {
		p.goTo(&tries[i], u, &spots[i], nil)
	}
	*a = slices.MinFunc(tries, func(a, b approach) int {
		return cmp.Or(cmp.Compare(min(len(a.reasons), 1), min(len(b.reasons), 1)),
			cmp.Compare(a.together(), b.together()), cmp.Compare(a.spot.name, b.spot.name))
	})
}

// together orders pick-up places: when vehicle and patient can both be there,
// taking the patient as ready now.
func (a approach) together() float64 {
	if a.spot.winch {
		return a.arrives + a.spot.carry.timing.TypicalS
	}
	return max(a.arrives, a.spot.carry.timing.TypicalS)
}

// approachTo is the asset's way to one place, with a stop for fuel on the way
// where one is given.
func (p *problem) approachTo(u *unit, s spot, fuel *place) (a approach) {
	p.goTo(&a, u, &s, fuel)
	return a
}

// goTo is approachTo in memory that is used again.
func (p *problem) goTo(a *approach, u *unit, s *spot, fuel *place) {
	*a = approach{unit: u, spot: *s, chain: a.chain[:0], reasons: append(a.reasons[:0], u.reason...), cautions: a.cautions[:0]}
	for i := range u.ready {
		a.chain = append(a.chain, u.ready[i])
		a.arrives += u.ready[i].timing.TypicalS
	}
	if u.State == AtScene && s.at == p.Scene.Position {
		a.timed = true
		return
	}
	if u.never {
		return
	}
	from := u.at
	if fuel != nil {
		if geo.Distance(from, fuel.at) > beside &&
			!p.step(a, setOut(u, leg{id: "travel_to_fuel", from: from, to: *fuel})) {
			return
		}
		stop := p.refuel(u.Asset, "refuel")
		a.chain = append(a.chain, stop)
		a.arrives += stop.timing.TypicalS
		from = fuel.at
	} else if u.Flies() && geo.Distance(from, s.at) <= beside {
		a.timed = true
		a.reasons = append(a.reasons, landing(u.Asset, s.place, p.after(a.arrives))...)
		return
	}
	l := leg{id: "travel_to_scene", asset: u.Asset, lane: LaneVehicle, from: from, to: s.place, fixed: fuel == nil}
	if fuel == nil {
		l = setOut(u, l)
	}
	a.timed = p.step(a, l)
}

// setOut completes the first leg of an asset, which may have begun.
func setOut(u *unit, l leg) leg {
	l.asset, l.lane = u.Asset, LaneVehicle
	l.cold, l.begun, l.spentS = u.cold, u.under, u.underS
	return l
}

// step adds a leg to the approach and reports whether it can be timed.
func (p *problem) step(a *approach, l leg) bool {
	l.leavesS = a.arrives - l.spentS
	t := p.travel(l)
	a.reasons, a.cautions = append(a.reasons, t.reasons...), append(a.cautions, t.cautions...)
	if t.lost {
		return false
	}
	a.chain = append(a.chain, t.node)
	a.arrives += t.timing.TypicalS
	return true
}

// refuel is a stop for fuel.
func (p *problem) refuel(a *Asset, id string) node {
	nd := node{id: id, kind: KindRefuel, lane: LaneVehicle, asset: a}
	allowance := "refuel"
	if a.HotRefuel {
		allowance = "refuel_running"
	}
	nd.timing, nd.basis = p.allowance(a, allowance)
	return nd
}

// add puts the chain into a network under ids that begin with the prefix, and
// returns its last node.
func (a *approach) add(w *network, prefix string) ref {
	last := none
	for _, nd := range a.chain {
		nd.id = prefix + nd.id
		last = w.add(nd, last)
	}
	w.beware(a.cautions...)
	return last
}
