package siting

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// TestNearIsAll: the lists by cost give the bounds of all pairs, to the last bit, and exchanges that
// are as good. Source: identity.
func TestNearIsAll(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		sites, demands := rapid.IntRange(1, 9).Draw(rt, "sites"), rapid.IntRange(1, 20).Draw(rt, "demands")
		random := rand.New(rand.NewPCG(seed, 3))
		costs := make([][]float64, sites)
		for j := range costs {
			for range demands {
				costs[j] = append(costs[j], float64(random.IntN(6))*[]float64{1, 0.3}[seed%2]) // ties too
			}
		}
		quick, all := newMedian(costs), newMedian(costs)
		all.near = nil
		mult := make([]float64, demands)
		for i := range mult {
			mult[i] = random.Float64()*8 - 1
		}
		a, b := make([]float64, sites), make([]float64, sites)
		assert.Equal(rt, all.price(mult, a), quick.price(mult, b))
		assert.Equal(rt, a, b)

		units, lower, upper := make([]int, sites), make([]int, sites), make([]int, sites)
		units[random.IntN(sites)] = 1
		for j := range units {
			if random.IntN(3) == 0 {
				units[j] = 1
			}
			lower[j], upper[j] = units[j]*random.IntN(2), max(units[j], random.IntN(2))
		}
		first, at, second := all.nearest(units)
		after := func(m *median) float64 {
			in, out := m.exchange(t.Context(), units, lower, upper, -1e-9, first, at, second)
			if in < 0 {
				return math.Inf(1)
			}
			units[in], units[out] = 1, 0
			defer func() { units[in], units[out] = 0, 1 }()
			return m.value(units)
		}
		x, y := after(quick), after(all)
		assert.True(rt, x == y || math.Abs(x-y) <= 1e-9, "%g and %g", x, y)
	})
}
