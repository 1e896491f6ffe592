package routing

import (
	"cmp"
	"context"
	"slices"

	"surgeonward/facilities"
	"surgeonward/geo"
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
	return p.inBrief(ctx, newContest())
}

// inBrief is the first option alone.
func (p *problem) inBrief(ctx context.Context, c *contest) (Best, error) {
	p.Limit, p.brief = 1, true
	s := p.newSearch()
	if err := s.pairs(ctx); err != nil {
		return Best{}, err
	}
	return s.first(ctx, c)
}

// pair is an asset that goes to a hospital alone, with what its total cannot
// beat, in seconds.
type pair struct {
	a      *approach
	d      *destination
	leastS float64
}

// pairs looks at every pair for the best total only: what cannot be as soon as
// something that was found is not looked at. Vehicles that go alone come first,
// in the order of their bounds: they are timed at once, and cut most of the
// rest.
func (s *search) pairs(ctx context.Context) error {
	s.cuts = !s.RankBySlow // a slow total says nothing of what is cut
	var alone []pair
	for i := range s.from {
		for j := range s.to {
			if a, d := &s.from[i], &s.to[j]; a.Kind != Aeroplane && a.Carries() && len(a.reasons) == 0 && len(d.reasons) == 0 {
				alone = append(alone, pair{a, d, s.leastAlone(a, d)})
			}
		}
	}
	slices.SortStableFunc(alone, func(x, y pair) int { return cmp.Compare(x.leastS, y.leastS) })
	for _, x := range alone {
		if s.cuts && x.leastS > s.cutS {
			break
		}
		s.alone(x.a, x.d)
	}
	for i := range s.from {
		if err := ctx.Err(); err != nil {
			return err
		}
		a := &s.from[i]
		for j := range s.to {
			if a.Kind == Aeroplane {
				s.alone(a, &s.to[j])
			}
			s.joint(a, &s.to[j])
		}
	}
	return nil
}

// leastAlone is what the asset's own way to the hospital cannot beat, whether or
// not it stops for fuel: its way to the patient and on, from distances alone,
// and getting surgeon and theatre ready. With facts there is no bound: they have
// ways of their own to be over.
func (p *problem) leastAlone(a *approach, d *destination) float64 {
	return max(p.leastRide(a, d), d.readyS())
}

// leastRide is the same for the patient's clock alone.
func (p *problem) leastRide(a *approach, d *destination) float64 {
	if len(p.Facts) > 0 {
		return 0
	}
	least := a.soonestS(p, geo.Distance(a.at, a.spot.at)) + p.atLeast(a.Asset, geo.Distance(a.spot.at, stand(a.Asset, d)))
	return least * notLess
}

// notLess keeps bounds that are added up in another order than totals from
// exceeding what they bound by rounding.
const notLess = 1 - 1e-12

// readyS is when surgeon and theatre are ready at typical durations, in seconds.
func (d *destination) readyS() float64 {
	s := d.theatre.timing.TypicalS
	if d.callIn != nil {
		s = max(s, d.callIn.timing.TypicalS)
	}
	return (d.preAlert.timing.TypicalS + s) * notLess
}

// newContest is a contest with nobody in it.
func newContest() *contest {
	c := &contest{sampler: newSampler()}
	c.draw = make([]float64, c.n)
	return c
}

// first is the best of what was found, with its slow total drawn.
func (s *search) first(ctx context.Context, c *contest) (Best, error) {
	if len(s.found) == 0 {
		return Best{}, nil
	}
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
		first.total.SlowS = c.p90(c.draw, first.total.TypicalS)
	}
	return Best{true, first.name(), first.way.shape, first.way.dest.ID, first.way.assets(), first.total}, nil
}
