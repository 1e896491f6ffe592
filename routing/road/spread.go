package road

import (
	"errors"
	"fmt"
	"math"

	"surgeonward/facilities"
)

// z90 is the 90th percentile of the standard normal distribution.
const z90 = 1.2815515655446004

// Spread says how road travel times vary about their median m, by the
// coefficient of variation
//
//	c(m) = sqrt(B0 (B2+1) + B1 (B2+1) m + B2 m²) / m,   m in minutes
//
// which falls from large values on short trips to sqrt(B2) on long ones. The
// form is of Budge, Ingolfsson and Zerom, Management Science 56(4), 2010
// (quoted from memory, as are the shipped values). The zero value is no spread.
type Spread struct {
	B0Min2 float64 // minutes squared, 0 to 100: what start and end vary by, whatever the trip
	B1Min  float64 // minutes, 0 to 100: what adds up along the trip
	B2     float64 // a share squared, 0 to 10: what the whole trip varies by
}

const (
	maxB0Min2 = 100.0
	maxB1Min  = 100.0
	maxB2     = 10.0

	shortestS = 1e-3 // medians below a millisecond spread like a millisecond
)

// Check returns an error that names each parameter out of its range.
func (s Spread) Check() error {
	if s == (Spread{}) {
		return nil
	}
	return errors.Join(
		inRange("spread b0", s.B0Min2, 0, maxB0Min2, " min²"),
		inRange("spread b1", s.B1Min, 0, maxB1Min, " min"),
		inRange("spread b2", s.B2, 0, maxB2, ""),
	)
}

// CoefficientOfVariation returns the standard deviation over the median of a
// travel whose median is medianS seconds; below a millisecond it no longer
// rises. It returns an error if the spread does not pass Check or the median
// is not a finite number above 0.
func (s Spread) CoefficientOfVariation(medianS float64) (float64, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	if !(medianS > 0) || math.IsInf(medianS, 0) {
		return 0, fmt.Errorf("median %v s is not a finite number above 0", medianS)
	}
	return s.cv(medianS), nil
}

// cv works in 1/m, which cannot overflow on a long trip; shortestS keeps it
// from overflowing on a short one. The conversions keep compilers from fusing
// the sums, so that all processors give the same bits.
func (s Spread) cv(medianS float64) float64 {
	perMin := 60 / max(medianS, shortestS)
	short := float64(float64(s.B0Min2*perMin)*perMin) + float64(s.B1Min*perMin)
	return math.Sqrt(float64(short*(s.B2+1)) + s.B2)
}

// slow is the 9-in-10 figure of a lognormal with the median and the
// coefficient of variation: median exp(z90 sigma), sigma² = ln(1+c²).
func (s Spread) slow(medianS float64) float64 {
	if medianS == 0 || s == (Spread{}) {
		return medianS
	}
	c := s.cv(medianS)
	return medianS * math.Exp(z90*math.Sqrt(math.Log1p(c*c)))
}

// Timing returns the travel time over distanceM metres of road: the median of
// Time, and the figure that 9 in 10 travels stay under, taking them as
// lognormal with the law's Spread. Both increase with distance. Besides the
// errors of Time it returns ErrUnreachable when the slow figure is over
// facilities.MaxTiming, longer than anything the product times.
func (l Law) Timing(distanceM float64) (facilities.Timing, error) {
	typical, err := l.Time(distanceM)
	if err != nil {
		return facilities.Timing{}, err
	}
	timing := facilities.Timing{TypicalS: typical, SlowS: l.Spread.slow(typical)}
	if !timing.Valid() {
		return facilities.Timing{}, fmt.Errorf("%w: %.6g km of road would take up to %.4g h, over the limit of %g h",
			ErrUnreachable, distanceM/1000, timing.SlowS/3600, facilities.MaxTiming/3600)
	}
	return timing, nil
}
