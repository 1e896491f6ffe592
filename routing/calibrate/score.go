package calibrate

import (
	"math"
	"slices"

	"surgeonward/facilities"
)

// score compares what happened with what was said.
func score(items []item, said []facilities.Timing, withSlow bool) Score {
	n := len(items)
	off, part, ratio := make([]float64, n), make([]float64, n), make([]float64, n)
	within, sum := 0, 0.0
	losses := make([]float64, n)
	for i := range items {
		actual, t := items[i].DurationS, said[i]
		off[i] = actual - t.TypicalS
		part[i] = off[i] / t.TypicalS
		ratio[i] = actual / t.TypicalS
		losses[i] = quantileLoss(items[i].logS-math.Log(t.TypicalS), typicalShare) +
			quantileLoss(items[i].logS-math.Log(t.SlowS), slowShare)
		sum += losses[i]
		if actual <= t.SlowS {
			within++
		}
	}
	slices.Sort(ratio)
	s := Score{
		MedianErrorS:     round(medianAbs(off)),
		MedianErrorShare: round(medianAbs(part)),
		Ratio:            round(quantile(ratio, 0.5)),
		RatioInterval:    quantileInterval(ratio, 0.5).round(),
		Loss:             round(sum / float64(n)),
		losses:           losses,
	}
	if withSlow {
		seen := share(within, n)
		seen.Low, seen.High = round(seen.Low), round(seen.High)
		s.WithinSlow = &seen
	}
	return s
}

// quantileLoss is least on average where a share p of the deviations is below
// 0 (Koenker and Bassett, Econometrica 46, 1978, from memory).
func quantileLoss(deviation, p float64) float64 {
	if deviation < 0 {
		return (p - 1) * deviation
	}
	return p * deviation
}

// beats reports whether s is better than other on the same journeys by more
// than chance: the mean difference of the losses is over z of its standard
// errors.
func (s *Score) beats(other *Score, z float64) bool {
	n := float64(len(s.losses))
	mean, square := 0.0, 0.0
	for i := range s.losses {
		mean += (other.losses[i] - s.losses[i]) / n
	}
	for i := range s.losses {
		d := other.losses[i] - s.losses[i] - mean
		square += d * d
	}
	return mean > 0 && mean > z*math.Sqrt(square/(n-1)/n)
}
