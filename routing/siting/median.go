package siting

import "math"

// median is the sum over demands of the least cost among the sites chosen.
type median struct {
	costs [][]float64 // by site, then demand; finite
	whole float64
	near  *near // nil: too many pairs
}

func newMedian(costs [][]float64) *median {
	m := &median{costs: costs, whole: 1, near: newNear(costs)}
	for _, row := range costs {
		for _, c := range row {
			if c != math.Trunc(c) || c > 1<<40 {
				m.whole = 0
				return m
			}
		}
	}
	return m
}

func (m *median) demands() int  { return len(m.costs[0]) }
func (m *median) sites() int    { return len(m.costs) }
func (m *median) step() float64 { return m.whole }
func (m *median) signed() bool  { return true }

func (m *median) price(mult, scores []float64) float64 {
	if m.near != nil {
		m.near.price(mult, scores)
		return sum(mult)
	}
	for j, row := range m.costs {
		var sum float64
		for i, c := range row[:len(mult)] {
			sum += min(0, c-mult[i])
		}
		scores[j] = sum
	}
	return sum(mult)
}

func (m *median) ascent(mult []float64, units []int, g []float64) {
	for i := range g {
		g[i] = 1
	}
	for j, n := range units {
		if n == 0 {
			continue
		}
		for i, c := range m.costs[j][:len(g)] {
			if c < mult[i] {
				g[i]--
			}
		}
	}
}

func (m *median) value(units []int) float64 {
	first, _, _ := m.nearest(units)
	return sum(first)
}

// nearest is each demand's least cost, the site that has it, and the least of
// the others.
func (m *median) nearest(units []int) (first []float64, at []int, second []float64) {
	n := m.demands()
	first, second, at = make([]float64, n), make([]float64, n), make([]int, n)
	for i := range n {
		first[i], second[i], at[i] = math.Inf(1), math.Inf(1), -1
	}
	for j, u := range units {
		if u == 0 {
			continue
		}
		for i, c := range m.costs[j] {
			switch {
			case c < first[i]:
				second[i] = first[i]
				first[i], at[i] = c, j
			case c < second[i]:
				second[i] = c
			}
		}
	}
	return first, at, second
}

// begin sets a demand's multiplier between what it costs and what it would cost
// without its site.
func (m *median) begin(units []int, mult []float64) {
	first, _, second := m.nearest(units)
	for i := range mult {
		mult[i] = first[i]
		if !math.IsInf(second[i], 1) {
			mult[i] = (first[i] + second[i]) / 2
		}
	}
}
