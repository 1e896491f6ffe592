package routing

import (
	"cmp"
	"slices"

	"surgeonward/geo/sun"
)

// approach is one asset on its way to the patient: what it does until it is
// there, or why it cannot be.
type approach struct {
	*unit
	chain   []node // one after the other, from the decision time
	spot    spot   // where it takes the patient
	arrives float64
	reasons []Reason
	timed   bool // the chain is whole: it reaches the patient
}

// approaches works out every asset's way to the scene, each to the place where
// patient and vehicle can soonest be together.
func (p *problem) approaches(units []unit) []approach {
	air, noAir := p.airSpots()
	road := []spot{p.roadSpot()}
	out := make([]approach, len(units))
	for i := range units {
		u := &units[i]
		spots, none := road, []Reason(nil)
		if u.Flies() && u.State != AtScene {
			spots, none = air, noAir
		}
		out[i] = p.approach(u, spots, none)
	}
	return out
}

func (p *problem) approach(u *unit, spots []spot, none []Reason) approach {
	if len(spots) == 0 {
		return approach{unit: u, reasons: slices.Concat(u.reason, none)}
	}
	tries := make([]approach, len(spots))
	for i := range spots {
		tries[i] = p.approachTo(u, spots[i])
	}
	return slices.MinFunc(tries, func(a, b approach) int {
		return cmp.Or(cmp.Compare(min(len(a.reasons), 1), min(len(b.reasons), 1)),
			cmp.Compare(a.together(), b.together()), cmp.Compare(a.spot.name, b.spot.name))
	})
}

// together orders pick-up places: when vehicle and patient can both be there,
// taking the patient as ready now.
func (a approach) together() float64 { return max(a.arrives, a.spot.carry.timing.TypicalS) }

func (p *problem) approachTo(u *unit, s spot) approach {
	a := approach{unit: u, spot: s, reasons: slices.Clone(u.reason)}
	for _, nd := range u.ready {
		a.chain = append(a.chain, nd)
		a.arrives += nd.timing.TypicalS
	}
	if u.State == AtScene {
		a.timed = true
		return a
	}
	if u.never {
		return a
	}
	leaves := a.arrives
	nd, why := p.travel(leg{
		id: "travel_to_scene", asset: u.Asset, lane: LaneVehicle,
		from: u.at, to: s.at, prepared: s.prepared,
	})
	a.reasons = append(a.reasons, why...)
	if len(why) > 0 {
		return a
	}
	a.chain, a.timed = append(a.chain, nd), true
	a.arrives += nd.timing.TypicalS
	if u.Flies() {
		a.reasons = append(a.reasons, p.dark(u.Asset, nd, leaves)...)
		a.reasons = append(a.reasons, landing(u.Asset, s.ground, s.at, s.zone, s.name, p.after(a.arrives))...)
	}
	return a
}

// dark is the reason against a flight that would be in the night, at either
// end, with a crew that does not fly by night.
func (p *problem) dark(a *Asset, flight node, leavesS float64) []Reason {
	if a.NightFlying {
		return nil
	}
	off, down := p.after(leavesS), p.after(leavesS+flight.timing.TypicalS)
	switch {
	case sun.IsNight(flight.from, off):
		return []Reason{reason(ReasonNoNightFlying, "night at lift-off, %s, and the crew does not fly by night", clock(off, a.Zone))}
	case sun.IsNight(flight.to, down):
		return []Reason{reason(ReasonNoNightFlying, "night at landing, %s, and the crew does not fly by night", clock(down, a.Zone))}
	}
	return nil
}

// add puts the chain into a network and returns its last node.
func (a *approach) add(w *network) ref {
	last := none
	for _, nd := range a.chain {
		last = w.add(nd, last)
	}
	return last
}

// addEscort does the same under ids of its own, for a team that comes beside
// the vehicle that carries.
func (a *approach) addEscort(w *network) ref {
	last := none
	for _, nd := range a.chain {
		nd.id = "escort_" + nd.id
		last = w.add(nd, last)
	}
	return last
}
