package coverage

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"surgeonward/routing"
)

// Candidate is a place where an asset may be put.
type Candidate struct {
	Name     string
	At       orb.Point
	Facility string // the id of what stands there already; empty: nothing
}

// Asset is the asset as it would be at the candidate: at its base there, free,
// with full fuel. Its id says which candidate it is.
func (c *Candidate) Asset(like routing.Asset, n int) routing.Asset {
	at := c.At
	like.ID, like.Name = fmt.Sprintf("site-%d", n), "new at "+c.Name
	like.Base, like.Position, like.State, like.FuelS = c.Facility, &at, routing.AtBase, nil
	return like
}

// SiteTimes is, for each candidate, the typical seconds to a surgeon at every cell
// if an asset is added there and nowhere else: one run of the engine each, the fleet
// of the plan's situation with it. They are for routing/siting, where a choice of
// several sites counts, at each cell, the best of them: what new assets could do
// only together is not in it, so that the whole of a choice is to be run once more.
// Progress counts the cells of all runs. Slow totals are not drawn for it.
func SiteTimes(ctx context.Context, p Plan, like routing.Asset, at []Candidate) ([][]float64, error) {
	if len(at) == 0 {
		return nil, errors.New("there is no candidate to look at")
	}
	p.typical = true
	times := make([][]float64, len(at))
	progress, cells := p.Progress, len(p.Demand.Cells)
	for i := range at {
		if progress != nil {
			p.Progress = func(done, of int) { progress(i*cells+done, len(at)*of) }
		}
		r, err := Run(ctx, p.Adding(at[i].Asset(like, i)))
		if err != nil {
			return nil, fmt.Errorf("candidate %s: %w", at[i].Name, err)
		}
		times[i] = r.Times()
	}
	return times, nil
}

// Adding is the plan with more assets in its situation.
func (p Plan) Adding(assets ...routing.Asset) Plan {
	p.Situation.Question.Assets.Add = slices.Concat(p.Situation.Question.Assets.Add, assets)
	return p
}

// Times are the typical seconds at every cell; +Inf where nobody is reached.
func (r *Result) Times() []float64 {
	out := make([]float64, len(r.Outcomes))
	for i := range out {
		out[i] = r.Outcomes[i].Seconds()
	}
	return out
}

// Away is the situation with assets committed, nobody knowing until when.
func (s Situation) Away(ids ...string) Situation {
	states := slices.DeleteFunc(slices.Clone(s.Question.Assets.States), func(c routing.StateChange) bool { return slices.Contains(ids, c.Asset) })
	for _, id := range ids {
		states = append(states, routing.StateChange{Asset: id, State: routing.Committed})
	}
	s.Question.Assets.States = states
	return s
}
