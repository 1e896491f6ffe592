package coverage

import (
	"context"
	"fmt"
	"math"

	"golang.org/x/sync/errgroup"

	"surgeonward/routing"
)

// Ranges is what a difference may be, as durations vary: each cell's option before
// and each cell's option after in the same routing.Draws draws. A draw is one world,
// the same before and after and in all cells: the roads and the air are as slow or as
// quick everywhere, and so is what one asset or one hospital needs. What both
// options share cancels.
//
// Not in it: in each draw the options stay those that are the first at typical
// durations, though in some draws another would be quicker, so that a change that
// only adds may seem to lose in single draws; and neither the errors of the model's
// own numbers, nor of the demand, nor what other calls keep busy.
type Ranges struct {
	GainS []routing.Range // by cell, in seconds, positive: sooner; NaN unless somebody is reached before and after
	MeanS routing.Range   // of the mean gain by people, of those who are reached before and after; 0 where nobody is
	Net   []routing.Range // by BandsS: how many people more are within it after than before
}

// RangesMethod says in words how Ranges come about and what is not in them.
var RangesMethod = fmt.Sprintf("How sure that is comes from %s draws of how long things take, the same before and after and in "+
	"all cells: in one draw the roads and the air are as slow or as quick everywhere, and so is what one vehicle or one hospital "+
	"needs, so that what both share cancels; 8 of 10 draws lie between the two figures. In every draw each cell keeps the ways "+
	"that are the soonest at typical durations. Not in it: errors of the region's own numbers, of where people are, and of what "+
	"other calls keep busy.", Count(routing.Draws))

// rangesBlock is how many cells one worker adds up before its sums join the others'.
// Sums join in the order of the cells, so that they are the same with any number of
// workers; another block changes their last digits.
const rangesBlock = 32

// Draw fills in the Ranges of the difference. The plans are those that the two results
// came from; the progress of the first is told.
func (d *Difference) Draw(ctx context.Context, before, after Plan) error {
	n := len(d.LongerS)
	was, err := before.Engine.Batch(before.Situation.Question)
	if err != nil {
		return err
	}
	is, err := after.Engine.Batch(after.Situation.Question)
	if err != nil {
		return err
	}
	workers := make([]ranger, before.workers())
	for w := range workers {
		workers[w] = ranger{of: d, was: was.Drawer(), is: is.Drawer(), gain: make([]float64, routing.Draws), sums: newRangeSums()}
	}
	r := &Ranges{GainS: make([]routing.Range, n)}
	total := newRangeSums()
	for first := 0; first < n; first += rangesBlock * len(workers) {
		group, ctx := errgroup.WithContext(ctx)
		for w := range workers {
			from := min(first+w*rangesBlock, n)
			group.Go(func() error { return workers[w].block(ctx, r.GainS, from, min(from+rangesBlock, n)) })
		}
		if err := group.Wait(); err != nil {
			return err
		}
		for w := range workers {
			total.join(&workers[w].sums)
		}
		if before.Progress != nil {
			before.Progress(min(first+rangesBlock*len(workers), n), n)
		}
	}
	if total.people > 0 {
		for i := range total.gain {
			total.gain[i] /= total.people
		}
		r.MeanS = routing.RangeOf(total.gain)
	}
	for k := range total.net {
		r.Net = append(r.Net, routing.RangeOf(total.net[k]))
	}
	d.Ranges = r
	return nil
}

// rangeSums are sums over cells in every draw.
type rangeSums struct {
	people float64     // who are reached before and after
	gain   []float64   // seconds times people, of those
	net    [][]float64 // by band: people
}

func newRangeSums() rangeSums {
	s := rangeSums{gain: make([]float64, routing.Draws)}
	for range BandsS {
		s.net = append(s.net, make([]float64, routing.Draws))
	}
	return s
}

// join adds the sums of the next cells and empties them.
func (s *rangeSums) join(next *rangeSums) {
	s.people += next.people
	addTo(s.gain, next.gain)
	for k := range s.net {
		addTo(s.net[k], next.net[k])
		clear(next.net[k])
	}
	clear(next.gain)
	next.people = 0
}

func addTo(sum, more []float64) {
	for i, v := range more {
		sum[i] += v
	}
}

// ranger draws cells one after the other.
type ranger struct {
	of      *Difference
	was, is *routing.Drawer
	gain    []float64
	sums    rangeSums
}

func (g *ranger) block(ctx context.Context, out []routing.Range, from, to int) error {
	for i := from; i < to; i++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		c := &g.of.Before.Demand.Cells[i]
		_, was, err := g.was.Best(ctx, c.At)
		if err != nil {
			return err
		}
		_, is, err := g.is.Best(ctx, c.At)
		if err != nil {
			return err
		}
		out[i] = g.cell(c, was, is)
	}
	return nil
}

// cell counts one cell; nil: nobody is reached.
func (g *ranger) cell(c *Cell, was, is []float64) routing.Range {
	if c.People > 0 {
		for k, limit := range BandsS {
			count(g.sums.net[k], was, is, limit, c.People)
		}
	}
	if was == nil || is == nil {
		return routing.Range{Low: math.NaN(), Median: math.NaN(), High: math.NaN()}
	}
	g.sums.people += c.People
	for i := range g.gain {
		g.gain[i] = was[i] - is[i]
		g.sums.gain[i] += c.People * g.gain[i]
	}
	return routing.RangeOf(g.gain)
}

// count adds people in the draws that bring them within a limit, and takes them away in
// those that bring them out of it.
func count(net, was, is []float64, limitS, people float64) {
	for i := range net {
		before, after := was != nil && was[i] <= limitS, is != nil && is[i] <= limitS
		switch {
		case after && !before:
			net[i] += people
		case before && !after:
			net[i] -= people
		}
	}
}
