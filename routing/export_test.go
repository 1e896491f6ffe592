package routing

import (
	"cmp"
	"context"
	"slices"
	"strings"
)

// Naive answers the question the slow, obvious way: every pair from scratch,
// nothing shared between pairs, every shape with every meeting place, every
// road vehicle and every stop, no bounds; the total as the longest of all
// chains found by name; every option put into words, and only then sorted and
// cut.
func (e *Engine) Naive(q Question) ([]Option, error) { return e.everything(q, true) }

// BruteForce is Naive with what the pairs have in common worked out once, so
// that only the search itself is compared.
func (e *Engine) BruteForce(q Question) ([]Option, error) { return e.everything(q, false) }

func (e *Engine) everything(q Question, fresh bool) ([]Option, error) {
	p, _, err := e.problem(q)
	if err != nil {
		return nil, err
	}
	p.needs()
	n := naive{search: p.newSearch()}
	var out []Option
	for i := range n.from {
		for j := range n.to {
			if fresh {
				n = naive{search: p.newSearch()}
			}
			for _, c := range n.pair(&n.from[i], &n.to[j]) {
				p.build(&c.way, &n.w)
				o := p.option(0, &contender{candidate: c}, &n.w)
				o.Total.TypicalS = longestChain(o.Plan)
				out = append(out, o)
			}
		}
	}
	slices.SortFunc(out, func(a, b Option) int {
		return cmp.Or(cmp.Compare(a.Total.TypicalS, b.Total.TypicalS),
			cmp.Compare(a.Transfers, b.Transfers), strings.Compare(a.ID, b.ID))
	})
	for i := range out {
		out[i].Rank = i + 1
	}
	return out[:min(len(out), q.Limit)], nil
}

type naive struct{ *search }

// pair is every shape in which the asset brings the patient to the hospital,
// each the best of everything that is possible.
func (n naive) pair(a *approach, d *destination) (out []candidate) {
	keep := func(c candidate, ok bool) {
		if ok {
			out = append(out, c)
		}
	}
	if c, why := n.direct(a, d); a.Kind != Aeroplane && len(why) == 0 {
		out = append(out, c)
	}
	if len(a.unit.reason) > 0 || a.never || len(d.reasons) > 0 && !hosts(d.Facility) || !takesPatients(d) || n.patientAt() != "" {
		return out
	}
	if len(d.reasons) == 0 {
		switch {
		case a.Kind == Aeroplane:
			keep(n.every(n.aeroplanes(a, d)))
		case a.Kind == Helicopter && d.Pad != nil:
			if n.Scene.Facility == "" && a.State != AtScene {
				keep(n.every(n.rendezvous(a, d)))
			}
			keep(n.every(n.vias(a, d)))
		case a.Kind == Ambulance:
			keep(n.every(n.vias(a, d)))
		}
	}
	if hosts(d.Facility) && a.Kind != Aeroplane && a.EscortSeats >= n.Settings.TeamSeats {
		keep(n.every(n.teamsTo(a, d)))
	}
	return out
}

// tried is a way with what orders ways that are equally good.
type tried struct {
	way  way
	key  string
	late float64 // when the patient is at the meeting place
	turn int     // the road vehicle's place in the order of readiness
	last float64 // when the far ambulance is there, by aeroplane
}

func (n naive) every(all []tried) (candidate, bool) {
	best, bestHanded, found := tried{}, 0.0, candidate{}
	for _, t := range all {
		if len(n.build(&t.way, &n.w)) > 0 {
			continue
		}
		total, handed := n.w.total(), n.w.handedS
		if found.id == "" || cmp.Or(cmp.Compare(total.TypicalS, found.total.TypicalS), cmp.Compare(handed, bestHanded),
			strings.Compare(t.key, best.key), cmp.Compare(t.late, best.late), cmp.Compare(t.turn, best.turn), cmp.Compare(t.last, best.last)) < 0 {
			found, best, bestHanded = candidate{way: t.way, total: total, id: t.way.id()}, t, handed
		}
	}
	return found, found.id != ""
}

// brought is every road vehicle that can bring the patient to the place.
func (n naive) brought(at place, without *unit, y way, key string) (out []tried) {
	for i := range n.meets.ground {
		g := &n.meets.ground[i]
		if g.needs(without) {
			continue
		}
		l := g.carrier.away(leg{asset: g.carrier.Asset, lane: LanePatient, from: g.carrier.spot.at, to: at})
		l.leavesS = g.readyS - l.spentS
		t := n.travel(l)
		if len(t.reasons) > 0 {
			continue
		}
		y.carrier, y.escort = g.carrier, g.escort
		out = append(out, tried{way: y, key: key, turn: i,
			late: g.readyS + t.timing.TypicalS + n.load(g.carrier.Asset, "unload", false).timing.TypicalS})
	}
	return out
}

func (n naive) rendezvous(a *approach, d *destination) (out []tried) {
	if len(n.ridesAlong(a.Asset)) > 0 {
		return nil
	}
	for i := range n.meets.places {
		m := &n.meets.places[i]
		if m.id == d.ID {
			continue
		}
		there := n.approachTo(a.unit, spot{place: m.place}, nil)
		out = append(out, n.brought(m.byRoad(), a.unit, way{shape: Rendezvous, dest: d, meet: m, onward: &there}, m.id)...)
	}
	return out
}

func (n naive) aeroplanes(a *approach, d *destination) (out []tried) {
	if len(n.ridesAlong(a.Asset)) > 0 {
		return nil
	}
	for i := range n.meets.places {
		for j := range n.meets.places {
			from, to := &n.meets.places[i], &n.meets.places[j]
			if i == j || !from.runway || !to.runway {
				continue
			}
			there := n.approachTo(a.unit, spot{place: from.place}, nil)
			for _, t := range n.brought(from.byRoad(), a.unit, way{shape: ByAeroplane, dest: d, meet: from, far: to, onward: &there}, from.id+" "+to.id) {
				t.key += " " + t.way.carrier.ID
				for k := range n.meets.units {
					u := &n.meets.units[k]
					if u == t.way.carrier.unit || t.way.escort != nil && u == t.way.escort.unit || u.Kind != Ambulance || len(n.ridesAlong(u.Asset)) > 0 {
						continue
					}
					if last := n.approachTo(u, spot{place: to.byRoad()}, nil); len(last.reasons) == 0 {
						t.way.last, t.last = &last, last.arrives
						out = append(out, t)
					}
				}
			}
		}
	}
	return out
}

func (n naive) vias(a *approach, d *destination) (out []tried) {
	for i := range n.to {
		v := &n.to[i]
		if v.ID == d.ID || !v.helps() {
			continue
		}
		if a.timed && len(a.reasons) == 0 && (!a.Flies() || v.Pad != nil) {
			if escort, why := n.escortFor(n.from, a); len(why) == 0 {
				out = append(out, tried{key: v.ID + " same", way: way{shape: ViaHospital, dest: d, via: v, carrier: a, escort: escort, onward: a}})
			}
		}
		if a.Kind == Helicopter && v.Pad != nil && len(n.ridesAlong(a.Asset)) == 0 {
			there := n.approachTo(a.unit, spot{place: padPlace(v.Facility)}, nil)
			out = append(out, n.brought(doorPlace(v.Facility), a.unit, way{shape: ViaHospital, dest: d, via: v, onward: &there}, v.ID)...)
		}
	}
	return out
}

func (n naive) teamsTo(a *approach, d *destination) (out []tried) {
	for _, h := range n.teams {
		if h.ID == d.ID || a.Kind == Helicopter && (h.Pad == nil || d.Pad == nil) || len(n.unmet(&h, d)) > 0 {
			continue
		}
		at := doorPlace(h.Facility)
		if a.Kind == Helicopter {
			at = padPlace(h.Facility)
		}
		van := n.approachTo(a.unit, spot{place: at}, nil)
		for j := range n.from {
			if y, ok := n.meets.patientTo(&n.from[j], a.unit, d); ok {
				y.team, y.van = &h, &van
				out = append(out, tried{way: y, key: h.ID + " " + y.carrier.ID})
			}
		}
	}
	return out
}

// longestChain is the total without a schedule: the longest chain of
// activities, found by following every predecessor by its name.
func longestChain(p Plan) float64 {
	byID := map[string]Scheduled{}
	for _, s := range p {
		byID[s.ID] = s
	}
	known := map[string]float64{}
	var until func(id string) float64
	until = func(id string) float64 {
		if s, ok := known[id]; ok {
			return s
		}
		s, best := byID[id], 0.0
		for _, a := range s.After {
			best = max(best, until(a))
		}
		known[id] = best + s.Timing.TypicalS
		return known[id]
	}
	best := 0.0
	for _, s := range p {
		if s.Kind != KindWait {
			best = max(best, until(s.ID))
		}
	}
	return best
}

// WithoutSpread answers at typical durations with nothing drawn.
func (e *Engine) WithoutSpread(_ context.Context, q Question) ([]Option, error) {
	s, err := e.everyWay(q)
	if err != nil {
		return nil, err
	}
	rank(s.found, typical)
	w := &network{keep: true}
	var out []Option
	for i, c := range s.found[:min(len(s.found), q.Limit)] {
		s.build(&c.way, w)
		out = append(out, s.option(i+1, &contender{candidate: c}, w))
	}
	return out, nil
}

// EverySlow ranks by the slow total the obvious way: every candidate is drawn.
func (e *Engine) EverySlow(_ context.Context, q Question) ([]Option, error) {
	s, err := e.everyWay(q)
	if err != nil {
		return nil, err
	}
	d := newSampler()
	totals := make([]float64, draws)
	for i := range s.found {
		c := &s.found[i]
		s.build(&c.way, &s.w)
		d.totals(d.steps(&s.w), totals)
		c.total.SlowS = d.spread(totals, c.total.TypicalS, 0).P90S
	}
	rank(s.found, slow)
	var out []Option
	for i, c := range s.found[:min(len(s.found), q.Limit)] {
		s.build(&c.way, &s.w)
		out = append(out, s.option(i+1, &contender{candidate: c}, &s.w))
	}
	return out, nil
}

func (e *Engine) everyWay(q Question) (*search, error) {
	p, _, err := e.problem(q)
	if err != nil {
		return nil, err
	}
	p.needs()
	s := p.newSearch()
	for i := range s.from {
		for j := range s.to {
			s.pair(&s.from[i], &s.to[j])
		}
	}
	return s, nil
}
