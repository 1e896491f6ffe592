package siting

import (
	"context"
	"math"
	"slices"
)

// FullCover chooses the fewest sites so that every demand with a weight is
// within radiusS seconds of one. Value and bound are numbers of sites, those
// that are kept included. Toregas et al. 1971.
func FullCover(ctx context.Context, p *Problem, radiusS float64, effort Effort) (Solution, error) {
	if err := p.checkRadius(radiusS); err != nil {
		return Solution{}, err
	}
	if p.Total() == 0 { // nobody is anywhere: no site is needed but those that are kept
		n := float64(len(p.Keep))
		return Solution{Sites: slices.Sorted(slices.Values(p.Keep)), Value: n, Bound: n, Found: true}, nil
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

// WorstTime chooses Count sites so that the longest time from a demand with a
// weight to the nearest of them is the shortest. Value and bound are seconds.
// Hakimi 1964.
func WorstTime(ctx context.Context, p *Problem, effort Effort) (Solution, error) {
	if err := p.Check(); err != nil {
		return Solution{}, err
	}
	times := p.distinct()
	out := Solution{Sites: []int{}}
	if p.Total() == 0 { // nobody is anywhere: the kept sites are as good as any
		out.Sites, out.Found = slices.Sorted(slices.Values(p.Keep)), true
		return out, nil
	}
	low, high := 0, len(times) // the first time that is enough lies from low to high
	for low < high {
		at := (low + high) / 2
		c := p.covering(times[at])
		sites, known, nodes := c.within(ctx, p.Count, effort)
		out.Nodes += nodes
		switch {
		case sites != nil:
			out.Sites, out.Found, high = sites, true, at
		case known:
			low = at + 1
		case out.Found:
			out.Value, out.Bound = times[high], times[low]
			return out, nil
		default:
			// undecided, and nothing is found yet: what is longer may be easier
			return p.anyCentre(ctx, times, at, out, effort)
		}
	}
	if out.Found {
		out.Value, out.Bound = times[high], times[high]
	}
	return out, nil
}

// anyCentre looks for a choice with the longest time, when the search ended before
// one was found.
func (p *Problem) anyCentre(ctx context.Context, times []float64, low int, out Solution, effort Effort) (Solution, error) {
	c := p.covering(times[len(times)-1])
	sites, _, nodes := c.within(context.WithoutCancel(ctx), p.Count, effort)
	out.Nodes += nodes
	if sites == nil {
		return out, nil
	}
	out.Sites, out.Found = sites, true
	out.Value, out.Bound = times[len(times)-1], times[low]
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
