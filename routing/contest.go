package routing

import (
	"bytes"
	"cmp"
	"context"
	"slices"

	"surgeonward/facilities"
)

// rivals is how many of the options that are best at typical durations are
// sampled beside those that are returned.
const rivals = 24

// contender is a candidate that has been sampled.
type contender struct {
	candidate
	steps  []step
	spread Spread
	atDoor *facilities.Timing // see Option
	lands  *facilities.Timing
}

// contest is the options that are returned, in order of rank, and then others
// that could be quicker than they.
type contest struct {
	*sampler
	all   []contender
	shown int
	draw  []float64
}

// contest ranks what was found, cuts it at the limit, and samples what is
// returned with its rivals.
func (s *search) contest(ctx context.Context) (*contest, error) {
	c := newContest()
	rank(s.found, typical)
	limit := len(s.found)
	if s.Limit > 0 {
		limit = min(limit, s.Limit)
	}
	chosen := s.found[:limit]
	if s.RankBySlow {
		var err error
		if chosen, err = c.bySlow(ctx, s, limit); err != nil {
			return nil, err
		}
	}
	c.shown = len(chosen)
	shown := map[string]bool{}
	for i := range chosen {
		shown[chosen[i].id] = true
		c.all = append(c.all, contender{candidate: chosen[i]})
	}
	for i := range s.found[:min(rivals, len(s.found))] {
		if !shown[s.found[i].id] {
			c.all = append(c.all, contender{candidate: s.found[i]})
		}
	}
	return c, c.chances(ctx, s)
}

// bySlow is the best of the candidates, which come in order of their typical
// totals, by the P90 of their drawn totals. No P90 is below its typical total
// (see sampler.spread), so that the search ends when the next typical total is
// beyond the last P90 that counts.
func (c *contest) bySlow(ctx context.Context, s *search, limit int) ([]candidate, error) {
	var best []candidate
	for i := range s.found {
		next := s.found[i]
		if len(best) == limit && (limit == 0 || next.total.TypicalS > best[limit-1].total.SlowS) {
			break
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s.build(&next.way, &s.w)
		c.totals(c.steps(&s.w), c.draw)
		next.total.SlowS = c.p90(c.draw, next.total.TypicalS)
		if len(best) == limit && bySlowThenID(next, best[limit-1]) > 0 {
			continue
		}
		at, _ := slices.BinarySearchFunc(best, next, bySlowThenID)
		best = slices.Insert(best, at, next)
		best = best[:min(len(best), limit)]
	}
	return best, nil
}

func bySlowThenID(a, b candidate) int { return a.compare(&b, slow) }

// chances samples all contenders and says in how many draws each of them is
// the quickest, and how those that are returned spread.
func (c *contest) chances(ctx context.Context, s *search) error {
	r := newRace(c.n)
	for i := range c.all {
		if err := ctx.Err(); err != nil {
			return err
		}
		o := &c.all[i]
		s.build(&o.way, &s.w)
		o.steps = c.steps(&s.w)
		s.longer(o.steps, &s.w)
		c.totals(o.steps, c.draw)
		r.enter(c.draw)
		if i < c.shown {
			o.spread = c.spread(c.draw, o.total.TypicalS, s.TargetS)
			o.total.SlowS = o.spread.P90S
			c.arrivals(o, &s.w)
		}
	}
	for i, chance := range r.chances() {
		c.all[i].spread.Quickest = chance
	}
	return nil
}

// race counts who is the quickest in each draw. Who enters first, the better
// rank, takes what is equal.
type race struct {
	entered int
	bestS   []float64
	by      []int
}

func newRace(n int) *race { return &race{bestS: make([]float64, n), by: make([]int, n)} }

func (r *race) enter(totals []float64) {
	for k, total := range totals {
		if r.entered == 0 || total < r.bestS[k] {
			r.bestS[k], r.by[k] = total, r.entered
		}
	}
	r.entered++
}

// chances are in the order of entering, and add up to 1.
func (r *race) chances() []float64 {
	out := make([]float64, r.entered)
	for _, i := range r.by[:len(r.by)*min(1, r.entered)] {
		out[i] += 1 / float64(len(r.by))
	}
	return out
}

// rank orders by the chosen total, then by fewer changes of vehicle, then by id.
func rank(found []candidate, key func(facilities.Timing) float64) {
	slices.SortFunc(found, func(a, b candidate) int { return a.compare(&b, key) })
}

func (c *candidate) compare(d *candidate, key func(facilities.Timing) float64) int {
	if by := cmp.Compare(key(c.total), key(d.total)); by != 0 {
		return by // nearly always: ids need not be made
	}
	if by := cmp.Compare(c.way.transfers(), d.way.transfers()); by != 0 {
		return by
	}
	var x, y [160]byte
	return bytes.Compare(c.way.appendID(x[:0]), d.way.appendID(y[:0]))
}
