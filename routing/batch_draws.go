package routing

import (
	"context"
	"slices"

	"github.com/paulmach/orb"

	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
)

// Draws is how many draws an answer's spreads rest on.
const Draws = draws

// Drawer asks a batch scene by scene and tells the draws of the first option's
// total as well. Draw i is the same world at every scene, in every batch and in
// every region: what has the same cause, such as the roads or one asset's
// mobilisation, is drawn alike wherever its name is the same. Totals of two drawers
// may therefore be set against each other draw by draw: what they share cancels. One
// goroutine uses a Drawer at a time.
//
// The option stays the one that is the first at typical durations (with RankBySlow,
// by slow totals): in a draw in which another would be quicker, nobody changes over.
type Drawer struct {
	batch *Batch
	c     *contest
}

// Drawer is a new drawer of the batch.
func (b *Batch) Drawer() *Drawer { return &Drawer{b, newContest()} }

// Best is Batch.Best with the first option's total in each of the draws, in seconds;
// nil where nobody is reached. The 90th percentile of the draws, or the typical total
// where that is more, is the slow total. The totals hold until the next call.
func (d *Drawer) Best(ctx context.Context, scene orb.Point) (Best, []float64, error) {
	if err := geo.Check(scene); err != nil {
		return Best{}, nil, &QuestionError{Faults: []strictjson.Fault{{Pointer: "/scene/position", Detail: err.Error()}}}
	}
	p, err := d.problem(scene)
	if err != nil {
		return Best{}, nil, err
	}
	p.Limit = 1
	s := p.newSearch()
	if err = s.pairs(ctx); err != nil {
		return Best{}, nil, err
	}
	best, err := s.first(ctx, d.c)
	if err != nil || !best.Reached {
		return best, nil, err
	}
	if s.RankBySlow { // others were drawn after it
		again, err := d.c.bySlow(ctx, s, 1)
		if err != nil {
			return Best{}, nil, err
		}
		s.build(&again[0].way, &s.w)
		d.c.totals(d.c.steps(&s.w), d.c.draw)
	}
	return best, d.c.draw, nil
}

// problem is the batch's question at the scene.
func (d *Drawer) problem(scene orb.Point) (*problem, error) {
	b := d.batch
	if b.each {
		q := b.p.Question
		q.Scene.Position = scene
		p, _, err := b.p.Engine.problem(q)
		if err == nil {
			p.needs()
		}
		return p, err
	}
	p := *b.p
	p.Scene.Position, p.shared, p.drives = scene, b.shared, map[driveKey]trip{}
	return &p, nil
}

// Range is what a figure may be over draws: 1, 5 and 9 in 10 of them are lower.
type Range struct{ Low, Median, High float64 }

// RangeOf is the range of a figure from its value in every draw, all of them finite.
// It sorts them.
func RangeOf(drawn []float64) Range {
	slices.Sort(drawn)
	return Range{percentile(drawn, 0.1), percentile(drawn, 0.5), percentile(drawn, 0.9)}
}
