package siting

import (
	"context"
	"math"
)

// improve exchanges one site for another as long as that helps. The gain of
// all exchanges with one newcomer comes from one pass over the demands
// (Whitaker 1983).
func (m *median) improve(ctx context.Context, units, lower, upper []int) float64 {
	first, at, second := m.nearest(units)
	value := sum(first)
	for {
		in, out := m.exchange(ctx, units, lower, upper, -improvement*(1+value), first, at, second)
		if ctx.Err() != nil {
			return value
		}
		if in < 0 {
			return value
		}
		units[in], units[out] = 1, 0
		first, at, second = m.nearest(units)
		was := value
		if value = sum(first); value >= was { // the gain was an error in the last digits
			units[in], units[out] = 0, 1
			return was
		}
	}
}

// exchange is the best exchange that changes the value by less than a limit; in is -1 where there is none.
func (m *median) exchange(ctx context.Context, units, lower, upper []int, limit float64, first []float64, at []int, second []float64) (in, out int) {
	if m.near != nil {
		if x := m.near.exchanges(units, first, at, second); x != nil {
			return x.best(units, lower, upper, limit)
		}
	}
	loss := make([]float64, m.sites())
	in, out = -1, -1
	for j := range units {
		if ctx.Err() != nil {
			return -1, -1
		}
		if units[j] > 0 || upper[j] == 0 {
			continue
		}
		gain := m.newcomer(j, first, at, second, loss)
		for o, u := range units {
			if u == 0 || lower[o] > 0 {
				continue
			}
			if change := loss[o] - gain; change < limit {
				limit, in, out = change, j, o
			}
		}
	}
	return in, out
}

// improvement is the least share of the value that counts as better, so that
// rounding cannot make exchanges go round in circles.
const improvement = 1e-12

// newcomer is what a site saves if nothing is given up for it; loss is what
// giving up each other site costs then.
func (m *median) newcomer(j int, first []float64, at []int, second, loss []float64) (gain float64) {
	clear(loss)
	for i, c := range m.costs[j] {
		if c < first[i] {
			gain += first[i] - c
			continue
		}
		loss[at[i]] += min(second[i], c) - first[i]
	}
	return gain
}

func sum(values []float64) float64 {
	var s float64
	for _, v := range values {
		s += v
	}
	return s
}

// greedy adds the site that lowers the sum most, until there are count.
func (m *median) greedy(ctx context.Context, lower, upper []int, count int) []int {
	units := append([]int{}, lower...)
	first, _, _ := m.nearest(units)
	for have := len(chosen(units)); have < count; have++ {
		best, at := math.Inf(1), -1
		for j, row := range m.costs {
			if units[j] >= upper[j] {
				continue
			}
			var total float64
			for i, c := range row {
				total += min(first[i], c)
			}
			if total < best {
				best, at = total, j
			}
			if ctx.Err() != nil {
				break
			}
		}
		if at < 0 {
			break // fewer may be chosen than are asked for
		}
		units[at]++
		for i, c := range m.costs[at] {
			first[i] = min(first[i], c)
		}
	}
	return units
}
