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
	cell  *cell // nil where nothing is shared between scenes
	draw  []float64
}

// Drawer is a new drawer of the batch.
func (b *Batch) Drawer() *Drawer {
	d := &Drawer{batch: b, draw: make([]float64, draws)}
	if !b.each {
		d.cell = b.newCell()
	}
	return d
}

// Best is Batch.Typical with the first option's total in each of the draws, in seconds;
// nil where nobody is reached. The 90th percentile of the draws, or the typical total
// where that is more, is the slow total. The totals hold until the next call.
func (d *Drawer) Best(ctx context.Context, scene orb.Point) (Best, []float64, error) {
	if err := geo.Check(scene); err != nil {
		return Best{}, nil, &QuestionError{Faults: []strictjson.Fault{{Pointer: "/scene/position", Detail: err.Error()}}}
	}
	if d.cell == nil {
		return d.apart(ctx, scene)
	}
	best, err := d.cell.best(ctx, scene, true)
	best.Total.SlowS = 0
	if err != nil || !best.Reached {
		return best, nil, err
	}
	d.totals(&d.cell.search, d.cell.contest, d.cell.by)
	return best, d.draw, nil
}

// apart asks for one scene by itself.
func (d *Drawer) apart(ctx context.Context, scene orb.Point) (Best, []float64, error) {
	q := d.batch.p.Question
	q.Scene.Position = scene
	p, _, err := d.batch.p.Engine.problem(q)
	if err != nil {
		return Best{}, nil, err
	}
	p.needs()
	p.Limit, p.brief = 1, true
	s := p.newSearch()
	if err = s.pairs(ctx); err != nil || len(s.found) == 0 {
		return Best{}, nil, err
	}
	c := newContest()
	rank(s.found, typical)
	first := s.found[0]
	if s.RankBySlow {
		best, err := c.bySlow(ctx, s, 1)
		if err != nil {
			return Best{}, nil, err
		}
		first = best[0]
	}
	d.totals(s, c, first.way)
	first.total.SlowS = 0
	return Best{true, first.name(), first.way.shape, first.way.dest.ID, first.way.assets(), first.total}, d.draw, nil
}

func (d *Drawer) totals(s *search, c *contest, by way) {
	s.build(&by, &s.w)
	c.totals(c.steps(&s.w), d.draw)
}

// Range is what a figure may be over draws: 1, 5 and 9 in 10 of them are lower.
type Range struct{ Low, Median, High float64 }

// RangeOf is the range of a figure from its value in every draw, all of them finite.
// It sorts them.
func RangeOf(drawn []float64) Range {
	slices.Sort(drawn)
	return Range{percentile(drawn, 0.1), percentile(drawn, 0.5), percentile(drawn, 0.9)}
}
