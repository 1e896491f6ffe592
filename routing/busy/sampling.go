package busy

import "math"

// sampling is the fleet as a system of like units (Erlang's) from which units are drawn at
// random, without putting back, until one is free.
type sampling struct {
	busy float64   // mean share of the time that a unit is busy
	full float64   // share of the time that all are
	at   []float64 // by place from 0: chance that the draws before find busy units and this one a free one
}

// sample is for units under a load in erlangs, which with a line is less than the units.
func sample(units int, load float64, line bool) sampling {
	out := sampling{at: make([]float64, units)}
	if load == 0 {
		out.at[0] = 1
		return out
	}
	if line {
		out.full, out.busy = erlangC(units, load), load/float64(units)
	} else {
		out.full = erlangB(units, load)
		out.busy = load * (1 - out.full) / float64(units)
	}
	// The shares of 0 to units-1 busy are as load^k / k!, in logarithms for large loads.
	logs, most := make([]float64, units), math.Inf(-1)
	for k := range logs {
		gamma, _ := math.Lgamma(float64(k) + 1)
		logs[k] = float64(k)*math.Log(load) - gamma
		most = max(most, logs[k])
	}
	var sum float64
	for k, v := range logs {
		logs[k] = math.Exp(v - most)
		sum += logs[k]
	}
	for k := range logs {
		chance := logs[k] / sum * (1 - out.full) // that k are busy and all draws so far were
		for j := 0; j <= k; j++ {
			left := float64(units - j)
			out.at[j] += chance * float64(units-k) / left
			chance *= float64(k-j) / left
		}
	}
	return out
}

// factor is Larson's correction factor Q at a place from 0: by how much being busy together
// makes it more or less likely than if units were busy independently that the draws before
// find busy units and this one a free one. Larson & Odoni 1981, equation (5.62).
func (s *sampling) factor(place int) float64 {
	return s.at[place] / (math.Pow(s.busy, float64(place)) * (1 - s.busy))
}

// loadFor is the load under which like units without a line are busy for a share of the
// time, by halving: the share grows with the load.
func loadFor(units int, busy float64) float64 {
	low, high := 0.0, 1.0
	carried := func(load float64) float64 { return load * (1 - erlangB(units, load)) / float64(units) }
	for carried(high) < busy && high < 1e9 {
		low, high = high, 2*high
	}
	for range 200 {
		mid := low + (high-low)/2
		if mid == low || mid == high {
			break
		}
		if carried(mid) < busy {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}
