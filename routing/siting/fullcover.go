package siting

import (
	"context"
	"errors"
	"math"
	"slices"
)

// FullCover chooses the fewest sites so that every demand with a weight is
// within radiusS seconds of one. Value and bound are numbers of sites, those
// that are kept included. The effort's nodes are those of each number that is
// tried; its gap and progress are not used. Toregas et al. 1971.
func FullCover(ctx context.Context, p *Problem, radiusS float64, effort Effort) (Solution, error) {
	if err := errors.Join(checkRadius(radiusS), p.check(len(p.TimesS))); err != nil {
		return Solution{}, err
	}
	if p.Total() == 0 {
		return p.nobody(float64(len(p.Keep))), nil
	}
	c := p.covering(radiusS)
	if c.impossible {
		return Solution{Sites: []int{}}, nil
	}
	out := Solution{Sites: everySite(len(p.TimesS)), Found: true}
	low := max(1, len(p.Keep)) // fewer are known to be too few
	for high := len(out.Sites); low < high; {
		count := (low + high) / 2
		sites, known, nodes := c.within(ctx, count, effort)
		out.Nodes += nodes
		switch {
		case sites != nil:
			out.Sites, high = sites, len(sites)
		case known:
			low = count + 1
		default:
			high = low // the effort is spent: the gap is left
		}
	}
	out.Value, out.Bound = float64(len(out.Sites)), float64(low)
	return out, nil
}

// nobody is the solution where no demand has a weight: the kept sites are as
// good as any.
func (p *Problem) nobody(value float64) Solution {
	sites := append([]int{}, p.Keep...)
	slices.Sort(sites)
	return Solution{Sites: sites, Value: value, Bound: value, Found: true}
}

// WorstTime chooses at most Count sites so that the longest time from a demand
// with a weight to the nearest of them is the shortest; fewer, where more would
// not help. Value and bound are seconds. The effort's nodes are those of each
// time that is tried; its gap and progress are not used. Hakimi 1964.
func WorstTime(ctx context.Context, p *Problem, effort Effort) (Solution, error) {
	if err := p.Check(); err != nil {
		return Solution{}, err
	}
	if p.Total() == 0 {
		return p.nobody(0), nil
	}
	times, longest := p.distinct(), p.Longest()
	out := Solution{Sites: []int{}}
	if len(times) == 0 {
		return out, nil
	}
	// The first time that is enough lies from low to high. The last is looked at
	// first: without a choice for it there is none for any.
	low, high := 0, len(times)
	for at := high - 1; low < high; at = (low + high) / 2 {
		sites, known, nodes := p.covering(times[at]).within(ctx, p.Count, effort)
		out.Nodes += nodes
		switch {
		case sites != nil:
			out.Sites, out.Found = sites, true
			high, _ = slices.BinarySearch(times, longest(sites)) // often sooner than was asked for
		case known:
			low = at + 1
		default:
			out.Bound = times[low]
			if out.Found {
				out.Value = times[high]
			}
			return out, nil
		}
	}
	if out.Found {
		out.Value, out.Bound = times[high], times[high]
	}
	return out, nil
}

// distinct lists the finite times of demands with a weight, ascending.
func (p *Problem) distinct() []float64 {
	var times []float64
	for _, row := range p.TimesS {
		for i, t := range row {
			if p.Weights[i] > 0 && !math.IsInf(t, 1) {
				times = append(times, t)
			}
		}
	}
	slices.Sort(times)
	return slices.Compact(times)
}

func everySite(n int) []int {
	out := make([]int, n)
	for j := range out {
		out[j] = j
	}
	return out
}
