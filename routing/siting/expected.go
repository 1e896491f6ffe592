package siting

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
)

// ExpectedCover chooses Count units, several at one site allowed, so that the
// expected weight covered within radiusS seconds is the greatest, when each unit is
// busy for the share busy of the time and units are busy independently: the sum
// of weight times 1 - busy^k for a demand that k units reach. Daskin 1983. Keep
// gives each kept site one unit. Value and bound are expected weights.
func ExpectedCover(ctx context.Context, p *Problem, radiusS, busy float64, effort Effort) (Solution, error) {
	faults := []error{checkRadius(radiusS), p.Check()}
	if !(busy >= 0 && busy < 1) {
		faults = append(faults, fmt.Errorf("the busy share is %g, not from 0 to under 1", busy))
	}
	if p.Count > MaxUnits {
		faults = append(faults, fmt.Errorf("count is %d units, more than %d", p.Count, MaxUnits))
	}
	if err := errors.Join(faults...); err != nil {
		return Solution{}, err
	}
	m := p.expected(radiusS, busy)
	total := p.Total()
	r := solve(ctx, m, p.bounds(p.Count), effort.from(total), total, math.Inf(1))
	return r.covered(total), nil
}

// expected is the expected weight that finds every unit in reach busy.
type expected struct {
	weights []float64
	busy    float64
	count   int
	left    []float64 // by number of units: the chance that all are busy
	whole   float64   // divides every value; 0: nothing is known
	reach   [][]int32 // by site: the demands it covers, ascending
}

func (p *Problem) expected(radiusS, busy float64) *expected {
	m := &expected{weights: p.Weights, busy: busy, count: p.Count, reach: make([][]int32, len(p.TimesS))}
	for k := range min(p.Count, max(len(p.TimesS), MaxUnits)) + 1 {
		m.left = append(m.left, math.Pow(busy, float64(k)))
	}
	if busy == 0 && !slices.ContainsFunc(p.Weights, func(w float64) bool { return w != math.Trunc(w) || w > 1<<40 }) {
		m.whole = 1
	}
	for j, row := range p.TimesS {
		for i, t := range row {
			if t <= radiusS && p.Weights[i] > 0 {
				m.reach[j] = append(m.reach[j], int32(i))
			}
		}
	}
	return m
}

func (m *expected) demands() int  { return len(m.weights) }
func (m *expected) sites() int    { return len(m.reach) }
func (m *expected) step() float64 { return m.whole }
func (m *expected) signed() bool  { return false }

// missed is the weight of a demand that is expected to find k units busy.
func (m *expected) missed(i, k int) float64 { return m.weights[i] * m.left[k] }

// taken is the number of units that a demand takes at a price of mult for each: the first number after
// which another one brings less than it costs.
func (m *expected) taken(i int, mult float64) int {
	k := 0
	for left := m.weights[i] * (1 - m.busy); k < m.count && left > mult; k++ {
		left *= m.busy
	}
	return k
}

func (m *expected) price(mult, scores []float64) float64 {
	var constant float64
	for i, v := range mult {
		k := m.taken(i, v)
		constant += m.missed(i, k) + v*float64(k)
	}
	for j, reach := range m.reach {
		var sum float64
		for _, i := range reach {
			sum -= mult[i]
		}
		scores[j] = sum
	}
	return constant
}

func (m *expected) ascent(mult []float64, units []int, g []float64) {
	for i, v := range mult {
		g[i] = float64(m.taken(i, v))
	}
	for j, u := range units {
		if u == 0 {
			continue
		}
		for _, i := range m.reach[j] {
			g[i] -= float64(u)
		}
	}
}

// cover is how many units reach each demand.
func (m *expected) cover(units []int) []int {
	k := make([]int, len(m.weights))
	for j, u := range units {
		if u == 0 {
			continue
		}
		for _, i := range m.reach[j] {
			k[i] += u
		}
	}
	return k
}

func (m *expected) value(units []int) float64 {
	var sum float64
	for i, k := range m.cover(units) {
		sum += m.missed(i, k)
	}
	return sum
}

// begin prices a demand between what its last unit brings and what one more would.
func (m *expected) begin(units []int, mult []float64) {
	for i, k := range m.cover(units) {
		mult[i] = m.missed(i, k) * (1 - m.busy)
		if k > 0 {
			mult[i] = (mult[i] + m.missed(i, k-1)*(1-m.busy)) / 2
		}
	}
}

// gain is what one more unit at a site brings.
func (m *expected) gain(j int, k []int) float64 {
	var sum float64
	for _, i := range m.reach[j] {
		sum += m.missed(int(i), k[i])
	}
	return sum * (1 - m.busy)
}

// best is the site where one more unit brings most.
func (m *expected) best(ctx context.Context, units, upper, k []int) (at int, gain float64) {
	at, gain = -1, -1
	for j := range units {
		if units[j] >= upper[j] {
			continue
		}
		if g := m.gain(j, k); g > gain {
			at, gain = j, g
		}
		if ctx.Err() != nil {
			break
		}
	}
	return at, gain
}

func (m *expected) greedy(ctx context.Context, lower, upper []int, count int) []int {
	units := append([]int{}, lower...)
	k := m.cover(units)
	for have := len(chosen(units)); have < count; have++ {
		at, _ := m.best(ctx, units, upper, k)
		if at < 0 {
			break
		}
		m.move(at, 1, units, k)
	}
	return units
}

func (m *expected) move(j, by int, units, k []int) {
	units[j] += by
	for _, i := range m.reach[j] {
		k[i] += by
	}
}

// improve takes a unit away and puts it where it brings most, as long as that helps.
func (m *expected) improve(ctx context.Context, units, lower, upper []int) float64 {
	k := m.cover(units)
	least := improvement * (1 + m.value(units))
	for moved := true; moved && ctx.Err() == nil; {
		moved = false
		for o := range units {
			if units[o] <= lower[o] {
				continue
			}
			m.move(o, -1, units, k)
			at, gain := m.best(ctx, units, upper, k)
			if gain > m.gain(o, k)+least {
				moved = true
			} else {
				at = o
			}
			m.move(at, 1, units, k)
		}
	}
	return m.value(units)
}
