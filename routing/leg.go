package routing

import (
	"errors"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/routing/road"
)

// leg is one movement of one asset. Every travel time of the product is made
// by Engine.travel from a leg; everything else adds legs up.
type leg struct {
	id       string
	asset    *Asset
	lane     Lane
	from, to orb.Point
	cold     bool // aircraft: the engine is started first
	prepared bool // aircraft: lands on a pad or a known landing site, not at a scene
}

// travel makes the leg's time, by road or by air as its asset moves. The
// second result says why the leg is not possible.
func (p *problem) travel(l leg) (node, []Reason) {
	if l.asset.Flies() {
		return p.fly(l), nil
	}
	return p.drive(l)
}

func (p *problem) fly(l leg) node {
	metres := geo.Distance(l.from, l.to)
	departure, _ := p.allowance(l.asset, "helicopter_departure")
	approachID := "helicopter_approach_scene"
	if l.prepared {
		approachID = "helicopter_approach"
	}
	approach, _ := p.allowance(l.asset, approachID)
	b := basis{form: fromFlight, a: metres, b: l.asset.CruiseMS, c: departure.TypicalS, d: approach.TypicalS}
	timing := facilities.Fixed(metres / l.asset.CruiseMS).Add(departure).Add(approach)
	if l.cold {
		start, _ := p.allowance(l.asset, "helicopter_start")
		timing = timing.Add(start)
		b.form, b.text = fromColdFlight, "engine start "+minutes(start.TypicalS)
	}
	return node{
		id: l.id, kind: KindTravel, lane: l.lane, asset: l.asset, timing: timing,
		metres: metres, from: l.from, to: l.to, byAir: true, basis: b,
	}
}

func (p *problem) drive(l leg) (node, []Reason) {
	law := p.Settings.Road
	if l.asset.Road != nil {
		law = *l.asset.Road
	}
	route, err := p.Road.Route(l.from, l.to, law, time.Time{})
	if err != nil {
		why := "no way by road"
		if errors.Is(err, road.ErrUnreachable) {
			why = err.Error()
		}
		return node{}, []Reason{reason(ReasonUnreachable, "%s", why)}
	}
	return node{
		id: l.id, kind: KindTravel, lane: l.lane, asset: l.asset,
		timing: facilities.Timing{TypicalS: route.TypicalS, SlowS: route.SlowS},
		metres: route.DistanceM, from: l.from, to: l.to, path: route.Path,
		basis: basis{form: fromRoad, text: route.Basis},
	}, nil
}
