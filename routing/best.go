package routing

import (
	"context"
	"slices"

	"surgeonward/facilities"
)

// Best is the first option of an answer in brief, for many scenes at once. Every
// figure is that of Options, to the last bit.
type Best struct {
	Reached     bool // there is an option at all
	ID          string
	Shape       Shape
	Destination string   // facility id
	Assets      []string // ids, the first is the one that the option is named after
	Total       facilities.Timing
}

// Best answers what Options would rank first, without its timeline and without
// what is not possible. With RankBySlow the rank is by the slow total as there.
// TargetS and Limit count for nothing.
func (e *Engine) Best(ctx context.Context, q Question) (Best, error) {
	p, _, err := e.problem(q)
	if err != nil {
		return Best{}, err
	}
	p.needs()
	p.Limit = 1
	s := p.newSearch()
	if err := s.pairs(ctx); err != nil {
		return Best{}, err
	}
	return s.first(ctx)
}

// pairs looks at every pair for the best total only: what cannot be as soon as
// something that was found is not looked at. Vehicles that go alone come first:
// they are timed at once, and cut most of the rest.
func (s *search) pairs(ctx context.Context) error {
	s.cuts = !s.RankBySlow // a slow total says nothing of what is cut
	for _, sooner := range []bool{true, false} {
		for i := range s.from {
			if err := ctx.Err(); err != nil {
				return err
			}
			a := &s.from[i]
			for j := range s.to {
				if sooner == (a.Kind != Aeroplane) {
					s.alone(a, &s.to[j])
				}
				if !sooner {
					s.joint(a, &s.to[j])
				}
			}
		}
	}
	return nil
}

// first is the best of what was found, with its slow total drawn.
func (s *search) first(ctx context.Context) (Best, error) {
	if len(s.found) == 0 {
		return Best{}, nil
	}
	c := &contest{sampler: newSampler()}
	c.draw = make([]float64, c.n)
	var first candidate
	if s.RankBySlow {
		rank(s.found, typical)
		best, err := c.bySlow(ctx, s, 1)
		if err != nil {
			return Best{}, err
		}
		first = best[0]
	} else {
		first = slices.MinFunc(s.found, func(a, b candidate) int { return a.compare(&b, typical) })
		s.build(&first.way, &s.w)
		c.totals(c.steps(&s.w), c.draw)
		first.total.SlowS = c.spread(c.draw, first.total.TypicalS, 0).P90S
	}
	return Best{true, first.id, first.way.shape, first.way.dest.ID, first.way.assets(), first.total}, nil
}
