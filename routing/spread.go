package routing

import (
	"math"
	"slices"
)

// Spread is how an option's total varies, in seconds after the decision time,
// over draws in which everything that has the same cause varies together in
// all options.
type Spread struct {
	P10S, P50S, P90S float64 // 1, 5 and 9 in 10 are quicker; P90S is the option's Total.SlowS
	// Quickest is the chance that no other option is quicker, among all that
	// were sampled (see Answer.Sampled); it goes to the better rank where two
	// are equally quick. Over the options of the answer it adds up to
	// 1 - Answer.QuickestOther.
	Quickest float64
	Within   *float64 // the chance of a total of at most Question.TargetS; nil: no target
}

// spread is the percentiles of drawn totals. The 90th is never below the total
// at typical durations: that is a fact of the model and not of the draws. With
// every score 0 the total is the typical one, the sum M of the medians on the
// critical path, which is a bound of the total in every draw. As the weighted
// arithmetic mean is not below the geometric one, the path takes at least
// M exp(sum of m/M sigma z), which is M or more in half of all draws. The
// median of the total, and the more its P90, is therefore M at least.
func (s *sampler) spread(totals []float64, typicalS, targetS float64) Spread {
	s.sorted = append(s.sorted[:0], totals...)
	slices.Sort(s.sorted)
	out := Spread{P10S: percentile(s.sorted, 0.1), P50S: percentile(s.sorted, 0.5)}
	out.P90S = max(typicalS, percentile(s.sorted, 0.9))
	if targetS > 0 {
		within, _ := slices.BinarySearchFunc(s.sorted, targetS, func(total, target float64) int {
			if total <= target {
				return -1
			}
			return 1
		})
		chance := float64(within) / float64(len(s.sorted))
		out.Within = &chance
	}
	return out
}

// percentile of sorted draws: each stands for the middle of its stratum
// (Hazen's position), linear in between.
func percentile(sorted []float64, p float64) float64 {
	at := p*float64(len(sorted)) - 0.5
	i := int(math.Floor(at))
	switch {
	case i < 0:
		return sorted[0]
	case i+1 >= len(sorted):
		return sorted[len(sorted)-1]
	}
	return between(sorted[i], sorted[i+1], at-float64(i))
}

// between is the number a share of the way from a to b.
func between(a, b, share float64) float64 {
	if share == 0 || a == b {
		return a
	}
	return a + (b-a)*share
}
