package siting

import (
	"container/heap"
	"context"
	"encoding/binary"
	"math"
	"slices"
)

// search is branch and bound over parts, the most promising first.
type search struct {
	ctx          context.Context
	m            model
	count        int
	lower, upper []int // bounds on all choices
	effort       Effort
	whole        float64 // what the value is missing from, as the uncovered from all; 0: nothing
	enough       float64 // a value at which nothing better is wanted, and above which none is

	best   float64
	noise  float64 // what rounding may make of a bound's sums
	units  []int
	parts  parts
	nodes  int
	serial int
	order  []int
	tried  map[string]bool
}

// bounds are the units a choice may have at each site, and how many in all.
type bounds struct {
	lower, upper []int
	count        int
}

// result is what a search came to.
type result struct {
	units        []int
	value, bound float64
	nodes        int
}

// solve finds the units within the bounds that make the model's value least, at
// most count of them where more would not help, else count. With an enough that
// is finite it stops at the first choice of at most that value, or when there
// cannot be one.
func solve(ctx context.Context, m model, limits bounds, effort Effort, whole, enough float64) result {
	lower, upper, count := limits.lower, limits.upper, limits.count
	s := &search{
		ctx: ctx, m: m, count: count, lower: lower, upper: upper, effort: effort, whole: whole, enough: enough,
		best: math.Inf(1), tried: map[string]bool{},
	}
	s.improve(m.greedy(ctx, lower, upper, count))
	root := &part{lower: slices.Clone(lower), upper: slices.Clone(upper), mult: make([]float64, m.demands()), bound: math.Inf(-1)}
	m.begin(s.units, root.mult)
	s.noise = rounding * math.Abs(m.price(root.mult, make([]float64, m.sites())))
	if !s.beaten(0) {
		s.add(root, rootRounds)
	}
	s.tell()
	for len(s.parts) > 0 && !s.finished() {
		s.split(heap.Pop(&s.parts).(*part))
		s.tell()
	}
	return result{s.units, s.best, s.lowest(), s.nodes}
}

func (s *search) tell() {
	if s.effort.Progress != nil {
		s.effort.Progress(s.best, s.lowest())
	}
}

// add keeps a part for splitting, unless nothing better can be in it.
func (s *search) add(p *part, rounds int) {
	s.nodes++
	s.serial++
	p.serial = s.serial
	if s.ascend(p, rounds) {
		heap.Push(&s.parts, p)
	}
}

// lowest is what no choice can be below: the best itself where what is left
// makes no difference.
func (s *search) lowest() float64 {
	if len(s.parts) == 0 {
		return s.best
	}
	bound := max(0, s.rounded(s.parts[0].bound))
	if bound >= s.best-s.slack() {
		return s.best
	}
	return bound
}

// rounded lifts a bound to the next value there can be, but never because of an
// error in its last digits.
func (s *search) rounded(bound float64) float64 {
	if step := s.m.step(); step > 0 {
		return math.Ceil((bound-max(1e-6*step, s.noise))/step) * step
	}
	return bound
}

// beaten reports whether nothing that is wanted can have the bound.
func (s *search) beaten(bound float64) bool {
	bound = s.rounded(bound)
	return bound >= s.best-s.slack() || bound > s.enough
}

// tolerance is the share of a value that counts as no difference; rounding is the
// share of a bound's sums that their last digits may be wrong by, far above the
// 1e-16 of one sum. Without it a best near zero could never be proven.
const (
	tolerance = 1e-9
	rounding  = 1e-12
)

// slack is the difference in value that counts as none.
func (s *search) slack() float64 { return max(tolerance*s.best, s.noise) }

func (s *search) finished() bool {
	return s.ctx.Err() != nil || (s.effort.Nodes > 0 && s.nodes >= s.effort.Nodes) || s.best <= s.enough && !math.IsInf(s.enough, 1) ||
		s.best-s.lowest() <= max(0, s.effort.Gap*math.Abs(s.best-s.whole))
}

// How much worse than the best a choice may be for exchanges to be worth trying,
// and how often they are tried whatever it is. Common practice, no source.
const (
	nearBest = 0.02
	tryEvery = 25
)

// try looks at a choice that the multipliers came upon.
func (s *search) try(units []int, round int) {
	if round%tryEvery == 0 || s.m.value(units) <= s.best*(1+nearBest) {
		s.improve(slices.Clone(units))
	}
}

// mostTried bounds the memory of choices that were improved already.
const mostTried = 100_000

// improve makes a choice better by exchanges and takes it over if it is the best.
func (s *search) improve(units []int) {
	key := keyOf(units)
	if s.tried[key] {
		return
	}
	if len(s.tried) > mostTried {
		clear(s.tried) // trying a choice again costs time, not trying one could cost the best
	}
	s.tried[key] = true
	v := s.m.improve(s.ctx, units, s.lower, s.upper)
	s.tried[keyOf(units)] = true
	if v < s.best {
		s.best, s.units = v, units
	}
}

func keyOf(units []int) string {
	var key []byte
	for j, u := range units {
		if u > 0 {
			key = binary.AppendUvarint(binary.AppendUvarint(key, uint64(j)), uint64(u))
		}
	}
	return string(key)
}

// split halves a part at the site that the multipliers are least sure of. A
// part of a single choice is done with: the last pick was that choice, and it was
// tried if it was any better than the best.
func (s *search) split(p *part) {
	at, unsure := -1, -1.0
	for j, f := range p.often {
		if p.lower[j] == p.upper[j] {
			continue
		}
		share := f - math.Floor(f)
		if u := min(share, 1-share); u > unsure {
			at, unsure = j, u
		}
	}
	if at < 0 {
		return
	}
	few := min(max(int(math.Floor(p.often[at])), p.lower[at]), p.upper[at]-1)
	more := &part{lower: slices.Clone(p.lower), upper: slices.Clone(p.upper), mult: p.mult, bound: p.bound}
	more.lower[at] = few + 1
	fewer := &part{lower: p.lower, upper: p.upper, mult: p.mult, bound: p.bound}
	fewer.upper[at] = few
	s.add(more, innerRounds)
	s.add(fewer, innerRounds)
}

type parts []*part

func (h parts) Len() int { return len(h) }
func (h parts) Less(i, j int) bool {
	if h[i].bound != h[j].bound {
		return h[i].bound < h[j].bound
	}
	return h[i].serial < h[j].serial
}
func (h parts) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *parts) Push(x any)   { *h = append(*h, x.(*part)) }
func (h *parts) Pop() any {
	old := *h
	last := old[len(old)-1]
	*h = old[:len(old)-1]
	return last
}
