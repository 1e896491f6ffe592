package calibrate

import (
	"math/rand/v2"

	"surgeonward/facilities"
)

// held says every journey by figures fitted without it: the journeys are dealt
// into folds at random, and each fold is said by a fit to the others.
func held(items []item, folds int, r *rand.Rand, refit func([]item) func(*item) facilities.Timing) []facilities.Timing {
	fold := make([]int, len(items))
	for place, i := range r.Perm(len(items)) {
		fold[i] = place % folds
	}
	said := make([]facilities.Timing, len(items))
	for k := range folds {
		var others []item
		for i := range items {
			if fold[i] != k {
				others = append(others, items[i])
			}
		}
		says := refit(others)
		for i := range items {
			if fold[i] == k {
				said[i] = says(&items[i])
			}
		}
	}
	return said
}
