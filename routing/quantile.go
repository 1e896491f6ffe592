package routing

import "math"

// p90 is spread's P90S alone, the draws not put in order but parted at that place
// (quickselect; Hoare 1961, Algorithm 65: Find, from memory): the same figure to the
// last bit.
func (s *sampler) p90(totals []float64, typicalS float64) float64 {
	s.sorted = append(s.sorted[:0], totals...)
	at := at90(len(totals))
	i := int(math.Floor(at))
	if i < 0 || i+1 >= len(totals) {
		return s.spread(totals, typicalS, 0).P90S // too few to part
	}
	low, high := parted(s.sorted, i)
	return max(typicalS, between(low, high, at-float64(i)))
}

// at90 is where the 90th percentile of n draws in order lies; see percentile.
func at90(n int) float64 { return 0.9*float64(n) - 0.5 }

// parted is the k-th smallest of the numbers and the next, of k+2 numbers at least.
func parted(v []float64, k int) (low, high float64) {
	part(v, k)
	next := v[k+1]
	for _, other := range v[k+2:] {
		if other < next {
			next = other
		}
	}
	return v[k], next
}

// part puts the k-th smallest number in its place, none before it larger and none
// after it smaller.
func part(v []float64, k int) {
	for low, high := 0, len(v)-1; low < high; {
		pivot := v[k]
		i, j := low, high
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for pivot < v[j] {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i++
				j--
			}
		}
		if j < k {
			low = i
		}
		if k < i {
			high = j
		}
	}
}
