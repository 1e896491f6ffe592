package calibrate

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Wilson returns the interval of a share of which count of n were seen, by the
// score method of Wilson, Journal of the American Statistical Association 22,
// 1927, without continuity correction: the shares p for which count lies
// within z standard errors, sqrt(p(1-p)/n), of np. Of none it is 0 to 1.
func Wilson(count, n int, level float64) (low, high float64) {
	if n == 0 {
		return 0, 1
	}
	z := distuv.UnitNormal.Quantile((1 + level) / 2)
	size, share := float64(n), float64(count)/float64(n)
	zz := z * z / size
	middle := share + zz/2
	half := z * math.Sqrt(share*(1-share)/size+zz/(4*size))
	return max(0, (middle-half)/(1+zz)), min(1, (middle+half)/(1+zz))
}

// Share is how many of some journeys did something, with its interval.
type Share struct {
	Count int     `json:"count"`
	Of    int     `json:"of"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

func share(count, of int) Share {
	low, high := Wilson(count, of, Level)
	return Share{Count: count, Of: of, Low: low, High: high}
}

// Observed is the share itself, 0 to 1; NaN of none.
func (s Share) Observed() float64 { return float64(s.Count) / float64(s.Of) }

// Verdict says whether 9 in 10 arrived before the slow figure, as far as the
// journeys tell.
type Verdict string

// The verdicts.
const (
	Reliable Verdict = "9 in 10"            // 90 % is within the interval
	TooQuick Verdict = "fewer than 9 in 10" // the slow figure is too quick
	TooSlow  Verdict = "more than 9 in 10"  // it is slower than need be
	Unknown  Verdict = "too few to tell"    // fewer than MinGroup journeys
)

// Verdict compares the share with 9 in 10.
func (s Share) Verdict() Verdict {
	switch {
	case s.Of < MinGroup:
		return Unknown
	case s.High < slowShare:
		return TooQuick
	case s.Low > slowShare:
		return TooSlow
	}
	return Reliable
}
