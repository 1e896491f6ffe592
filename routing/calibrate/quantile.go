package calibrate

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Level is the confidence of every interval: the true figure lies within it in
// at least about 9 of 10 regions that record journeys like these.
const Level = 0.9

// The shares of journeys that the two figures of a timing stand for.
const (
	typicalShare = 0.5
	slowShare    = 0.9
)

// The 90th, 95th and 99th percentiles of the standard normal distribution.
const (
	z90 = 1.2815515655446004
	z95 = 1.6448536269514722
	z99 = 2.3263478740408408
)

// Interval is where a figure lies with confidence Level. A side on which so
// few journeys set no limit is nil.
type Interval struct {
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
}

func between(low, high float64) Interval { return Interval{&low, &high} }

// Has reports whether v lies within the interval, its ends included.
func (i Interval) Has(v float64) bool {
	return (i.Low == nil || v >= *i.Low) && (i.High == nil || v <= *i.High)
}

// quantile returns the value that a share p of sorted values stays under: the
// value at rank p(n+1), between two ranks in proportion (type 6 of Hyndman and
// Fan, The American Statistician 50(4), 1996, from memory). The rank is chosen
// for what a slow figure is for: the next journey stays under it with
// probability p, because the k-th of n values leaves a share k/(n+1) below it
// on average. Past either end it is the end. It is NaN of no values.
func quantile(sorted []float64, p float64) float64 {
	n := len(sorted)
	if n == 0 {
		return math.NaN()
	}
	rank := p * float64(n+1)
	k := int(math.Floor(rank))
	switch {
	case k < 1:
		return sorted[0]
	case k >= n:
		return sorted[n-1]
	}
	return sorted[k-1] + float64((rank-float64(k))*(sorted[k]-sorted[k-1]))
}

// quantileRanks returns the ranks, from 1, of the values that enclose the
// p-quantile of the population with confidence level at least, each tail
// holding at most half the rest. The number of n values below the quantile is
// binomial (n, p), whatever the distribution, as long as it is continuous. A
// rank of 0 or n+1 says that n values set no limit on that side.
func quantileRanks(n int, p, level float64) (low, high int) {
	tail := (1 - level) / 2
	below := distuv.Binomial{N: float64(n), P: p}
	// The mean is inside any interval: search outwards from it.
	low = int(math.Floor(float64(n) * p))
	for low > 0 && below.CDF(float64(low-1)) > tail {
		low--
	}
	high = min(int(math.Ceil(float64(n)*p)), n) + 1
	for high <= n && 1-below.CDF(float64(high-1)) > tail {
		high++
	}
	return low, high
}

// quantileInterval is the interval of the p-quantile by order statistics.
func quantileInterval(sorted []float64, p float64) Interval {
	low, high := quantileRanks(len(sorted), p, Level)
	var i Interval
	if low >= 1 {
		v := sorted[low-1]
		i.Low = &v
	}
	if high <= len(sorted) {
		v := sorted[high-1]
		i.High = &v
	}
	return i
}
