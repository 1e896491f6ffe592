package road

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
)

// route puts the way to end together: from the start over the stops that lead
// to the last, and from there over the node via. Times are worked out once
// more along it, so that typical and slow come from the same arithmetic. In brief
// it has no more than its times.
func (w *travels) route(end *place, last int, via int32, cost float64, brief bool) (Route, error) {
	var few [4]int
	stops := few[:0]
	for at := last; at >= 0; at = w.stops[at].before {
		stops = append(stops, at)
	}
	slices.Reverse(stops)
	b := builder{w: w, end: end, brief: brief}
	b.begin(&w.stops[stops[0]].tree.root)
	for k, at := range stops[1:] {
		s := &w.stops[at]
		before := w.stops[stops[k]].tree
		quay := int32(w.t.ends + 2*s.crossing + 1 - s.end)
		b.drive(before, func() leg { return w.t.trace(before, quay) }, before.cost[quay], w.t.nodes[quay].area, nil)
		b.sail(s)
	}
	tree := w.stops[last].tree
	b.drive(tree, func() leg { return w.t.traceTo(tree, end, via) }, cost, end.area, end)
	timing := facilities.Timing{TypicalS: b.typicalS, SlowS: b.slowS}
	if b.missed && b.typicalS <= facilities.MaxTiming {
		timing.SlowS = facilities.MaxTiming
	}
	if !timing.Valid() && brief {
		return Route{}, ErrUnreachable
	}
	if !timing.Valid() {
		return Route{}, fmt.Errorf("%w: %.6g km of road would take up to %.4g h, over the limit of %g h",
			ErrUnreachable, b.roadM/1000, timing.SlowS/3600, facilities.MaxTiming/3600)
	}
	if brief {
		return Route{TypicalS: timing.TypicalS, SlowS: timing.SlowS}, nil
	}
	b.arrive()
	return Route{DistanceM: b.roadM, TypicalS: timing.TypicalS, SlowS: timing.SlowS, Path: b.path, Basis: b.basis()}, nil
}

// builder gathers a route stretch by stretch.
type builder struct {
	w               *travels
	start, end      *place
	typicalS, slowS float64
	brief           bool // no words, no path, no length
	missed          bool // a slow vehicle has no sailing within facilities.MaxTiming
	roadM           float64
	path            []orb.Point
	words           words
}

func (b *builder) begin(start *place) {
	b.start = start
	b.pass(start.given)
	b.pass(start.road)
}

// drive adds a stretch of that cost from a tree's root to a quay, or to the
// end of the way. What lies between the shore and a point off it comes on top.
// In brief the stretch is traced only where areas have a spread of their own.
func (b *builder) drive(tr *tree, trace func() leg, cost float64, area int16, end *place) {
	t := b.w.t
	cost += t.offCost(&tr.root)
	if end != nil {
		cost += t.offCost(end)
	}
	typicalS := t.median(b.w.law, cost, tr.root.area, area)
	b.typicalS += typicalS
	if b.brief && !t.country.spreads {
		b.slowS += b.w.law.Spread.slow(typicalS)
		return
	}
	l := trace()
	b.slowS += t.spread(b.w.law, &l.stretch).slow(typicalS)
	if b.brief {
		return
	}
	roadM := l.roadM + tr.root.offM*t.country.in(tr.root.area).factor
	if end != nil {
		roadM += end.offM * t.country.in(end.area).factor
	}
	b.roadM += roadM
	for _, k := range l.nodes {
		b.pass(t.pointOf(k))
	}
	b.words.drive(t, b.w.law, &l, roadM)
}

// sail adds the ferry that lands at a stop. A slow vehicle may miss the sailing
// that a typical one takes, and waits for the next.
func (b *builder) sail(s *stop) {
	t := b.w.t
	c := &t.m.Crossings[s.crossing]
	board := func(after float64, slow bool) (sailing, float64) {
		got, ok := c.Service.sail(b.w.depart.Add(seconds(after)), 1-s.end, slow, t.m.zone)
		if !ok {
			return sailing{}, never
		}
		return got, got.arrives.Sub(b.w.depart).Seconds()
	}
	var typical, slow sailing
	typical, b.typicalS = board(b.typicalS, false)
	if !b.missed && b.slowS <= facilities.MaxTiming {
		slow, b.slowS = board(b.slowS, true)
	}
	b.missed = b.missed || b.slowS > facilities.MaxTiming
	if b.brief {
		return
	}
	b.words.sail(c, typical, slow, b.missed, t.m.zone)
	b.pass(s.tree.root.road)
}

func (b *builder) arrive() {
	b.pass(b.end.road)
	if len(b.path) < 2 || b.end.given != b.end.road {
		b.path = append(b.path, b.end.given)
	}
}

// pass adds a point to the path unless it is there.
func (b *builder) pass(p orb.Point) {
	if n := len(b.path); n == 0 || b.path[n-1] != p {
		b.path = append(b.path, p)
	}
}

// pointOf is where a node is drawn: a crossing's end as it is in the file.
func (t *Terrain) pointOf(k int32) orb.Point {
	if i := int(k) - t.ends; i >= 0 {
		return t.ground.places[i/2][i%2].road
	}
	return t.ground.plane.point(t.nodes[k].at)
}
