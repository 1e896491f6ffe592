package siting

import (
	"cmp"
	"math"
	"slices"
)

// Reasons say why a choice of sites is what it is.
type Reasons struct {
	Gains        []Gain        // each chosen site, the one that counts most first
	Alternatives []Alternative // other choices that are nearly as good, the best first
}

// Gain is what one of the chosen sites adds to the others.
type Gain struct {
	Site  int
	Adds  float64 // by how much the value would be worse without one of its units; not negative
	Alone float64 // demand weight that it serves: nearer than any other, or, of several as near, the lowest
}

// Alternative is the choice with one unit elsewhere.
type Alternative struct {
	Out, In int
	Value   float64 // of the objective
	Worse   float64 // than the choice, not negative where the choice is proven
}

// Value is an objective's value of any sites, as Solution.Value is; each stands as often as
// it has units.
type Value func(sites []int) float64

// Explain works out what each site of a choice adds, and up to most alternatives
// within slack, a share of the value, by one exchange. Greater says whether
// greater values are better. Kept sites are not exchanged.
func (p *Problem) Explain(sites []int, value Value, greater bool, slack float64, most int) Reasons {
	best := value(sites)
	worse := func(v float64) float64 {
		if greater {
			return best - v
		}
		return v - best
	}
	var out Reasons
	served := p.served(sites)
	for i, j := range sites {
		if i > 0 && sites[i-1] == j {
			continue
		}
		without := slices.Delete(slices.Clone(sites), i, i+1)
		out.Gains = append(out.Gains, Gain{j, worse(value(without)), served[j]})
		if slices.Contains(p.Keep, j) {
			continue
		}
		for in := range p.TimesS {
			if slices.Contains(sites, in) {
				continue
			}
			v := value(append(slices.Clone(without), in))
			if w := worse(v); w <= slack*max(best, -best) {
				out.Alternatives = append(out.Alternatives, Alternative{j, in, v, w})
			}
		}
	}
	slices.SortStableFunc(out.Gains, func(a, b Gain) int { return cmp.Compare(b.Adds, a.Adds) })
	slices.SortStableFunc(out.Alternatives, func(a, b Alternative) int { return cmp.Compare(a.Worse, b.Worse) })
	out.Alternatives = out.Alternatives[:min(len(out.Alternatives), max(most, 0))]
	return out
}

// served is the weight for which each site is the nearest that can be reached.
func (p *Problem) served(sites []int) map[int]float64 {
	out := map[int]float64{}
	for i, w := range p.Weights {
		at := -1
		for _, j := range sites {
			if t := p.TimesS[j][i]; t <= MaxTimeS && (at < 0 || t < p.TimesS[at][i]) {
				at = j
			}
		}
		if at >= 0 {
			out[at] += w
		}
	}
	return out
}

// Covered is the weight within radiusS seconds of a site: the value of MaxCover.
func (p *Problem) Covered(radiusS float64) Value {
	return p.ExpectedCovered(radiusS, 0)
}

// ExpectedCovered is the value of ExpectedCover.
func (p *Problem) ExpectedCovered(radiusS, busy float64) Value {
	return func(sites []int) float64 {
		var sum float64
		for i, w := range p.Weights {
			missed := 1.0
			for _, j := range sites {
				if p.TimesS[j][i] <= radiusS {
					missed *= busy
				}
			}
			sum += w * (1 - missed)
		}
		return sum
	}
}

// Seconds is the sum of weight times seconds to the nearest site, at most lostS:
// the value of MeanTime.
func (p *Problem) Seconds(lostS float64) Value {
	return func(sites []int) float64 {
		var sum float64
		for i, w := range p.Weights {
			if w > 0 {
				sum += w * min(p.nearest(sites, i), lostS)
			}
		}
		return sum
	}
}

// Longest is the longest time from a demand with a weight to its nearest site: the value
// of WorstTime; +Inf where somebody is not reached.
func (p *Problem) Longest() Value {
	return func(sites []int) float64 {
		var longest float64
		for i, w := range p.Weights {
			if w > 0 {
				longest = max(longest, p.nearest(sites, i))
			}
		}
		return longest
	}
}

func (p *Problem) nearest(sites []int, i int) float64 {
	t := math.Inf(1)
	for _, j := range sites {
		t = min(t, p.TimesS[j][i])
	}
	return t
}
