package calibrate

import (
	"cmp"
	"math"
	"slices"
)

const (
	// madToSD makes the median absolute deviation of a normal distribution its
	// standard deviation: 1 over the 75th percentile of the standard normal.
	madToSD = 1.482602218505602

	// fence is how many robust standard deviations of the logarithm a journey
	// may be off before it counts as out of line, as a wrong clock or a stop for
	// fuel is. Of a lognormal 6 in 100 000 are beyond. An assumption.
	fence = 4.0

	// fenced is the variance of a standard normal cut off at the fence, over
	// the whole: 1 - 2 k phi(k) / (2 Phi(k) - 1).
	fenced = 0.998929

	// least is the smallest standard deviation of a logarithm that is believed,
	// 1 %: times written down to the minute can all be the same.
	least = 0.01
)

// inLine returns which logarithms are within the fence of their median. Each
// side has a scale of its own, from the median to the quartile, because slow
// journeys stretch farther than quick ones. Ties of more than a quarter leave
// a side without a scale; it then takes the other's.
func inLine(logs []float64) []bool {
	sorted := slices.Clone(logs)
	slices.Sort(sorted)
	middle := quantile(sorted, 0.5)
	down := madToSD * (middle - quantile(sorted, 0.25))
	up := madToSD * (quantile(sorted, 0.75) - middle)
	if both := max(down, up); both > 0 {
		down, up = cmp.Or(down, both), cmp.Or(up, both)
	} else {
		down, up = math.Inf(1), math.Inf(1) // nothing says what is out of line
	}
	down, up = max(down, least), max(up, least)
	kept := make([]bool, len(logs))
	for i, v := range logs {
		kept[i] = v >= middle-fence*down && v <= middle+fence*up
	}
	return kept
}

// medianAbs is the median of the absolute values of the slice, which it sorts.
func medianAbs(values []float64) float64 {
	for i, v := range values {
		values[i] = math.Abs(v)
	}
	slices.Sort(values)
	return quantile(values, 0.5)
}
