package calibrate

import (
	"hash/fnv"
	"math/rand/v2"
	"slices"
)

// source is the random numbers of one finding. Each has its own, so that a new
// area does not change what is said of the others.
func source(seed uint64, purpose, stage string, g Group) *rand.Rand {
	h := fnv.New64a()
	for _, word := range append([]string{purpose, stage, g.By, g.Value}, g.Pooled...) {
		_, _ = h.Write([]byte(word)) // a hash takes everything
		_, _ = h.Write([]byte{0})
	}
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// resample draws as many journeys as there are, with replacement, and leaves in
// times how often each came up.
func resample(r *rand.Rand, times []float64) {
	clear(times)
	for range times {
		times[r.IntN(len(times))]++
	}
}

// percentiles is the interval that the middle of bootstrapped values spans
// (Efron and Tibshirani, An Introduction to the Bootstrap, 1993, chapter 13,
// from memory). It sorts the values.
func percentiles(values []float64) Interval {
	slices.Sort(values)
	tail := (1 - Level) / 2
	return between(quantile(values, tail), quantile(values, 1-tail))
}
