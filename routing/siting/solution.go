package siting

import "math"

// Solution is a choice of sites with what is known of how good it is.
type Solution struct {
	Sites []int   // ascending; a site stands as often as units stand at it
	Value float64 // of the objective
	Bound float64 // no choice is better than this by more than a billionth of what the objective sums up
	Nodes int     // parts that the choices were split into
	// Found is false where no choice does what was asked for: FullCover of a
	// demand that no site covers, WorstTime where somebody is always left out or
	// the search ended before there was a choice.
	Found bool
}

// Gap is the distance between value and bound as a share of the value; 0: the
// choice is proven to be the best.
func (s *Solution) Gap() float64 {
	gap := math.Abs(s.Value - s.Bound)
	if gap == 0 {
		return 0
	}
	if s.Value == 0 {
		return 1
	}
	return gap / math.Abs(s.Value)
}

// Proven reports whether no choice is better.
func (s *Solution) Proven() bool { return s.Found && s.Gap() == 0 }

// Effort bounds the search. The zero value searches until the choice is proven.
type Effort struct {
	Gap   float64 // stop when the gap is at most this, 0.01 for 1 %
	Nodes int     // stop after as many parts; 0: no bound
	// Progress, where it is set, is called whenever a part has been split, with the
	// best value and the bound so far, in the sense of Solution.
	Progress func(value, bound float64)
}
