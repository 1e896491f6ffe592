package calibrate

import (
	"math"
	"strconv"
)

// The digits that count. Results carry more than they are sure of, so that
// they can be checked; a patch carries what a person would write.
const (
	resultDigits = 6
	patchDigits  = 4
)

// round keeps the digits of a result. Besides sparing the reader, it hides the
// last bits, in which processors differ.
func round(v float64) float64 { return roundTo(v, resultDigits) }

func roundTo(v float64, digits int) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	out, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	if err != nil {
		return v
	}
	return out
}

func (i Interval) round() Interval {
	if i.Low != nil {
		low := round(*i.Low)
		i.Low = &low
	}
	if i.High != nil {
		high := round(*i.High)
		i.High = &high
	}
	return i
}
