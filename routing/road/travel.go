package road

import (
	"errors"
	"fmt"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/geo"
)

var (
	_ Estimator = (*Terrain)(nil)
	_ Rooted    = (*Terrain)(nil)
)

// Route returns the quickest way that begins at depart. Ferries are taken as
// their timetable says then; what is closed at depart is closed for the whole
// way. A zero depart is refused where a crossing depends on the time.
//
// A point in the water within the map's tolerance of the coast is taken to the
// shore, with a note in the basis. Where there is no way the error wraps
// ErrUnreachable and names what is closed, if opening it would help.
func (t *Terrain) Route(from, to orb.Point, law Law, depart time.Time) (Route, error) {
	tree, err := t.From(from, law, depart)
	if err != nil {
		return Route{}, err
	}
	return tree.To(to)
}

// From prepares the ways from one point, so that many destinations cost little
// more than one.
func (t *Terrain) From(from orb.Point, law Law, depart time.Time) (Tree, error) {
	if t.simple {
		return GreatCircle{Factor: t.region.Factor}.From(from, law, depart)
	}
	if err := law.Check(); err != nil {
		return nil, err
	}
	if err := geo.Check(from); err != nil {
		return nil, fmt.Errorf("start of the road travel: %w", err)
	}
	s, err := t.season(depart)
	if err != nil {
		return nil, err
	}
	origin, err := t.place(from)
	if err != nil {
		return nil, fmt.Errorf("%w: no road leads from %s", ErrUnreachable, t.offRoad(origin, err))
	}
	w := &travels{t: t, law: law, depart: depart, season: s}
	w.stops = []stop{{tree: t.treeFrom(origin, s), before: -1, crossing: -1}}
	w.sail()
	return w, nil
}

// place puts a point on land.
func (t *Terrain) place(p orb.Point) (place, error) {
	t.mu.Lock()
	known, ok := t.places[p]
	t.mu.Unlock()
	if ok {
		return known.place, known.err
	}
	pl, err := t.ground.place(p)
	if err == nil {
		pl.area = t.country.areaAt(pl.at)
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.places == nil || len(t.places) >= keptPlaces {
		t.places = make(map[orb.Point]placed, keptPlaces)
	}
	t.places[p] = placed{pl, err}
	return pl, err
}

// keptPlaces bounds how many points are remembered with where they lie: bases,
// hospitals and sites are asked for again and again. Where a point lies does
// not depend on what was asked before, so that forgetting all changes no answer.
const keptPlaces = 4096

type placed struct {
	place
	err error
}

// offRoad says where a point is that no road leads to.
func (t *Terrain) offRoad(p place, err error) string {
	if !errors.Is(err, errOffCoast) {
		return "a point " + err.Error()
	}
	return fmt.Sprintf("a point %.0f m off the coast (%s)", p.offM, t.m.Barriers[p.coast].Name)
}

// travels is every way from one point at one time.
type travels struct {
	t      *Terrain
	law    Law
	depart time.Time
	season *season
	stops  []stop // the start, then where ferries land, in order of time
}

// stop is where a stretch begins.
type stop struct {
	tree     *tree
	afterS   float64 // typical, from depart
	before   int     // the stop before it, -1 at the start
	crossing int     // the ferry that lands here
	end      int     // the end of the crossing that it lands at
}

// sail finds when each ferry can have landed at each of its ends: the earliest
// arrivals over stretches of road and sailings (Dijkstra's method with times
// that depend on the time; right because who comes later to a ferry never lands
// earlier, Dreyfus 1969, from memory).
func (w *travels) sail() {
	type landing struct {
		stop
		settled bool
	}
	var open []landing
	for i, ok := range w.season.ferry {
		if ok {
			for end := range 2 {
				open = append(open, landing{stop: stop{afterS: never, crossing: i, end: end}})
			}
		}
	}
	for at := 0; at >= 0; {
		from := &w.stops[len(w.stops)-1]
		for k := range open {
			if l := &open[k]; !l.settled {
				if s, ok := w.arrive(from, l.crossing, l.end); ok && s < l.afterS {
					l.afterS, l.before = s, len(w.stops)-1
				}
			}
		}
		at = -1
		for k := range open {
			if l := &open[k]; !l.settled && l.afterS < never && (at < 0 || l.afterS < open[at].afterS) {
				at = k
			}
		}
		if at >= 0 {
			l := &open[at]
			l.settled = true
			l.tree = w.t.treeFrom(w.t.landingPlace(l.crossing, l.end), w.season)
			w.stops = append(w.stops, l.stop)
		}
	}
}

func (t *Terrain) landingPlace(crossing, end int) place {
	pl := t.ground.places[crossing][end]
	pl.area = t.nodes[t.ends+2*crossing+end].area
	return pl
}

// arrive is when, in seconds after depart, a ferry lands at an end for a
// vehicle that comes from a stop.
func (w *travels) arrive(from *stop, crossing, end int) (float64, bool) {
	quay := w.t.ends + 2*crossing + 1 - end
	cost := from.tree.cost[quay]
	if cost == never {
		return 0, false
	}
	cost += w.t.offCost(&from.tree.root)
	at := from.afterS + w.t.median(w.law, cost, from.tree.root.area, w.t.nodes[quay].area)
	if !(at <= facilities.MaxTiming) {
		return 0, false
	}
	s, ok := w.t.m.Crossings[crossing].Service.sail(w.depart.Add(seconds(at)), 1-end, false, w.t.m.zone)
	if !ok {
		return 0, false
	}
	after := s.arrives.Sub(w.depart).Seconds()
	return after, after <= facilities.MaxTiming
}

// offCost is what the way from the shore to a point off it costs.
func (t *Terrain) offCost(p *place) float64 {
	return p.offM * t.country.in(p.area).perMetre()
}

// To returns the quickest way to a point; see Route.
func (w *travels) To(to orb.Point) (Route, error) {
	if err := geo.Check(to); err != nil {
		return Route{}, fmt.Errorf("end of the road travel: %w", err)
	}
	end, err := w.t.place(to)
	if err != nil {
		return Route{}, fmt.Errorf("%w: no road leads to %s", ErrUnreachable, w.t.offRoad(end, err))
	}
	last, via, cost := w.quickest(&end)
	if last < 0 {
		return Route{}, fmt.Errorf("%w: %s", ErrUnreachable, w.why(&end))
	}
	return w.route(&end, last, via, cost, false)
}

// Time is that of To in the same arithmetic.
func (w *travels) Time(to orb.Point) (facilities.Timing, error) {
	if err := geo.Check(to); err != nil {
		return facilities.Timing{}, fmt.Errorf("end of the road travel: %w", err)
	}
	end, err := w.t.place(to)
	if err != nil {
		return facilities.Timing{}, ErrUnreachable
	}
	last, via, cost := w.quickest(&end)
	if last < 0 {
		return facilities.Timing{}, ErrUnreachable
	}
	route, err := w.route(&end, last, via, cost, true)
	return facilities.Timing{TypicalS: route.TypicalS, SlowS: route.SlowS}, err
}

// quickest is the last stop of the quickest way to a place, the last node after
// it and what that last stretch costs; a negative stop where there is no way.
func (w *travels) quickest(end *place) (best int, bestVia int32, bestCost float64) {
	t := w.t
	bestS := never
	best, bestVia, bestCost = -1, nowhere, never
	for i := range w.stops {
		s := &w.stops[i]
		root := &s.tree.root
		off := t.offCost(root) + t.offCost(end)
		least := t.country.least*chord(root.unit, end.unit) + off
		if s.afterS+t.median(w.law, least, root.area, end.area) >= bestS {
			continue
		}
		cost, via := t.reach(s.tree, end)
		if via == nowhere {
			continue
		}
		if after := s.afterS + t.median(w.law, cost+off, root.area, end.area); after < bestS {
			bestS, best, bestVia, bestCost = after, i, via, cost
		}
	}
	return best, bestVia, bestCost
}
