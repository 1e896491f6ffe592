package record

import (
	"math"
	"slices"
)

// Summary is what many cases say together of how good the predictions were.
type Summary struct {
	Answers int // rows
	Chosen  int // rows in which a choice was noted
	Arrived int // rows with the arrival of a choice that was among the options: those compared

	MedianS    float64 // median difference of the arrival from the typical time, in seconds; 0 where Arrived is 0
	WithinSlow int     // arrivals no later than the slow time; by definition of slow, 9 in 10 should be
}

// Summarise compares what was predicted with what happened. The median of an
// even number is the mean of the middle two.
func Summarise(rows []Row) Summary {
	out := Summary{Answers: len(rows)}
	var differences []float64
	for i := range rows {
		r := &rows[i]
		if r.Chosen != "" {
			out.Chosen++
		}
		arrived, ok := r.Arrived()
		if !ok || arrived.Predicted.IsZero() {
			continue
		}
		differences = append(differences, float64(arrived.DifferenceS))
		if !arrived.At.After(r.PredictedSlow) {
			out.WithinSlow++
		}
	}
	out.Arrived = len(differences)
	if n := len(differences); n > 0 {
		slices.Sort(differences)
		out.MedianS = (differences[(n-1)/2] + differences[n/2]) / 2
	}
	return out
}

// Share is WithinSlow of Arrived; NaN where nobody arrived.
func (s *Summary) Share() float64 {
	if s.Arrived == 0 {
		return math.NaN()
	}
	return float64(s.WithinSlow) / float64(s.Arrived)
}
