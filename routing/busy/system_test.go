package busy_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/busy"
)

// TestFaults: what cannot be solved is refused in words, by every solver alike.
func TestFaults(t *testing.T) {
	ok := func() *busy.System {
		return &busy.System{PerHour: []float64{0.2, 0.3}, Orders: [][]int{{0, 1}, {1, 0}}, ServiceS: [][]float64{{3600}, {1800, 5400}}}
	}
	for _, row := range []struct {
		name   string
		change func(*busy.System)
		says   string
	}{
		{"nothing", func(s *busy.System) { *s = busy.System{} }, "0 units and 0 atoms"},
		{"no units", func(s *busy.System) { s.ServiceS = nil }, "0 units and 2 atoms"},
		{"NaN calls", func(s *busy.System) { s.PerHour[1] = math.NaN() }, "atom 1 has NaN calls per hour"},
		{"endless calls", func(s *busy.System) { s.PerHour[0] = math.Inf(1) }, "atom 0 has +Inf calls"},
		{"negative calls", func(s *busy.System) { s.PerHour[0] = -1 }, "atom 0 has -1 calls"},
		{"an order missing", func(s *busy.System) { s.Orders = s.Orders[:1] }, "1 orders for 2 atoms"},
		{"a unit twice", func(s *busy.System) { s.Orders[0] = []int{1, 1} }, "names unit 1 twice"},
		{"no such unit", func(s *busy.System) { s.Orders[1] = []int{2} }, "names unit 2, and there are units 0 to 1"},
		{"below the first", func(s *busy.System) { s.Orders[1] = []int{-1} }, "names unit -1"},
		{"no service", func(s *busy.System) { s.ServiceS[0] = nil }, "unit 0 has 0 service times"},
		{"service for others", func(s *busy.System) { s.ServiceS[0] = []float64{1, 2, 3} }, "unit 0 has 3 service times"},
		{"NaN service", func(s *busy.System) { s.ServiceS[0][0] = math.NaN() }, "service time of unit 0 is NaN"},
		{"endless service at an atom", func(s *busy.System) { s.ServiceS[1][1] = math.Inf(1) }, "service time of unit 1 at atom 1 is +Inf"},
		{"service of no time", func(s *busy.System) { s.ServiceS[1][0] = 0 }, "service time of unit 1 at atom 0 is 0"},
		{"a partial order with a line", func(s *busy.System) { s.Line = true; s.Orders[0] = []int{1} }, "has 1 of 2 units: with a line"},
		{"hours for seconds", func(s *busy.System) { s.PerHour[0] = 900_000; s.ServiceS = [][]float64{{36000}, {36000}} }, "check the unit of calls"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := ok()
			row.change(s)
			for _, solve := range []solver{busy.Exact, busy.Approximate, busy.Solve} {
				_, err := solve(t.Context(), s)
				assert.ErrorContains(t, err, row.says)
			}
		})
	}
	s := ok()
	s.PerHour[0], s.Orders[0], s.ServiceS[0][0] = -1, []int{7}, -1
	require.Equal(t, 3, strings.Count(s.Check().Error(), "\n")+1, "all sorts at once: %v", s.Check())
	_, err := busy.Solve(t.Context(), ok())
	require.NoError(t, err)
}

// TestOverloadedLine: calls for as many units as there are, or more.
func TestOverloadedLine(t *testing.T) {
	for _, calls := range []float64{2, 2.5, 100} {
		s := &busy.System{PerHour: []float64{calls}, Orders: [][]int{{0, 1}}, ServiceS: [][]float64{{3600}, {3600}}, Line: true}
		for _, solve := range []solver{busy.Exact, busy.Approximate} {
			_, err := solve(t.Context(), s)
			assert.ErrorIs(t, err, busy.ErrOverloaded, "%g", calls)
		}
	}
}

func TestTooManyForExact(t *testing.T) {
	_, err := busy.Exact(t.Context(), random(1, busy.MaxExact+1, 2, false, false, false))
	assert.ErrorContains(t, err, "use Approximate")
}

func TestStops(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for _, solve := range []solver{busy.Exact, busy.Approximate} {
		_, err := solve(ctx, random(1, 4, 4, false, false, false))
		assert.ErrorIs(t, err, context.Canceled)
	}
}

// TestPrefer: by definition.
func TestPrefer(t *testing.T) {
	inf := math.Inf(1)
	got := busy.Prefer([][]float64{{300, 200, inf, 5}, {100, 200, inf}, {200, 100, math.NaN(), -1}})
	assert.Equal(t, [][]int{{1, 2, 0}, {2, 0, 1}, {}, {2, 0}}, got)
	assert.Nil(t, busy.Prefer(nil))
}

// TestSameBytes: the same system gives the same answer to the last bit.
func TestSameBytes(t *testing.T) {
	for _, solve := range []solver{busy.Exact, busy.Approximate} {
		a, err := solve(t.Context(), random(3, 8, 40, true, true, false))
		require.NoError(t, err)
		b, err := solve(t.Context(), random(3, 8, 40, true, true, false))
		require.NoError(t, err)
		assert.Equal(t, a, b)
	}
}
