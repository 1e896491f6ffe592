package busy_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/routing/busy"
)

// TestExactIsTheChain: the dense equations of the chain with every call as a state.
func TestExactIsTheChain(t *testing.T) {
	for seed := range uint64(30) {
		s := random(seed, 2+int(seed%3), 3, true, false, false)
		r, err := busy.Exact(t.Context(), s)
		require.NoError(t, err)
		want, lost := brute(t, s, 0)
		assert.InDeltaSlice(t, want, r.Busy, 1e-10, "seed %d", seed)
		assert.InDeltaSlice(t, lost, r.Lost, 1e-10, "seed %d", seed)
	}
}

// TestLineIsTheChain: the same with a line cut at 250 calls, which leaves out less
// than 0.9^250 of a share, 4e-12.
func TestLineIsTheChain(t *testing.T) {
	checked := 0
	for seed := range uint64(12) {
		s := random(seed, 2+int(seed%3), 4, false, false, true)
		r, err := busy.Exact(t.Context(), s)
		if err != nil {
			assert.ErrorIs(t, err, busy.ErrOverloaded)
			continue
		}
		if r.MeanBusy() > 0.9 {
			continue
		}
		checked++
		want, delayed := brute(t, s, 250)
		assert.InDeltaSlice(t, want, r.Busy, 1e-9, "seed %d", seed)
		assert.InDelta(t, delayed[0], r.WaitShare, 1e-9, "seed %d", seed)
	}
	assert.GreaterOrEqual(t, checked, 6)
}

// TestServiceByAtom: the chain that knows which call each unit is on.
func TestServiceByAtom(t *testing.T) {
	var worst float64
	for seed := range uint64(30) {
		s := random(seed, 2+int(seed%2), 4, seed%3 == 0, true, false)
		r, err := busy.Exact(t.Context(), s)
		require.NoError(t, err)
		want, _ := brute(t, s, 0)
		for u := range want {
			worst = max(worst, math.Abs(want[u]-r.Busy[u]))
		}
	}
	t.Logf("largest error of a unit's share: %.4f", worst)
	assert.LessOrEqual(t, worst, 0.01, "as the comment of Exact says")
}

// TestErlangIsTheHypercube: with like units and whole orders the number of busy units is
// Erlang's system whatever the orders (Larson 1974).
func TestErlangIsTheHypercube(t *testing.T) {
	for seed := range uint64(20) {
		units := 1 + int(seed)%12
		s := random(seed, units, 9, false, false, false)
		var calls float64
		for u := range s.ServiceS {
			s.ServiceS[u] = []float64{1800}
		}
		for _, rate := range s.PerHour {
			calls += rate
		}
		load := calls / 2
		for _, line := range []bool{false, true} {
			s.Line = line
			r, err := busy.Exact(t.Context(), s)
			require.NoError(t, err)
			assert.Less(t, r.Imbalance, 1e-11)
			if line {
				c, err := busy.ErlangC(units, load)
				require.NoError(t, err)
				assert.InDelta(t, c, r.WaitShare, 1e-12)
				assert.InDelta(t, load/float64(units), r.MeanBusy(), 1e-12)
				assert.InDelta(t, c*1800/(float64(units)-load), r.MeanWaitS, 1e-8)
				assert.InDelta(t, r.MeanWaitS/3600*calls, r.InLine, 1e-10, "Little's law")
				continue
			}
			b, err := busy.ErlangB(units, load)
			require.NoError(t, err)
			assert.InDelta(t, b, r.LostShare, 1e-12)
			assert.InDelta(t, load*(1-b)/float64(units), r.MeanBusy(), 1e-12)
		}
	}
}

// TestLikeUnits: units that nothing tells apart are equally busy (identity).
func TestLikeUnits(t *testing.T) {
	s := &busy.System{PerHour: []float64{0.5, 0.5, 0.5}, Orders: [][]int{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}},
		ServiceS: [][]float64{{3000}, {3000}, {3000}}}
	for _, solve := range []solver{busy.Exact, busy.Approximate} {
		r, err := solve(t.Context(), s)
		require.NoError(t, err)
		b, err := busy.ErlangB(3, 1.25)
		require.NoError(t, err)
		for u := range 3 {
			assert.InDelta(t, 1.25*(1-b)/3, r.Busy[u], 1e-11)
			assert.InDelta(t, b, r.Lost[u], 1e-11)
		}
	}
}

// TestApart: units that never stand in for each other are each Erlang's system of one
// (identity), one that is in no order is never busy, and an atom without units loses every call.
func TestApart(t *testing.T) {
	s := &busy.System{PerHour: []float64{2, 1, 3, 0}, Orders: [][]int{{0}, {1}, {}, {1, 0}},
		ServiceS: [][]float64{{900}, {3600}, {3600}}}
	r, err := busy.Exact(t.Context(), s)
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0.5 / 1.5, 0.5, 0}, r.Busy, 1e-12)
	assert.InDeltaSlice(t, []float64{0.5 / 1.5, 0.5, 1, 0.5 / 3}, r.Lost, 1e-12)
	assert.InDelta(t, (2.0/3+0.5+3)/6, r.LostShare, 1e-12)
}

// TestNoCalls: everybody is free, and the first of the order would go.
func TestNoCalls(t *testing.T) {
	s := &busy.System{PerHour: []float64{0}, Orders: [][]int{{1, 0}}, ServiceS: [][]float64{{900}, {900}}}
	for _, solve := range []solver{busy.Exact, busy.Approximate} {
		for _, line := range []bool{false, true} {
			s.Line = line
			r, err := solve(t.Context(), s)
			require.NoError(t, err)
			assert.Equal(t, []float64{0, 0}, r.Busy)
			assert.Equal(t, []float64{0, 1}, r.Shares[0])
			assert.Zero(t, r.LostShare+r.WaitShare+r.MeanWaitS+r.Imbalance)
		}
	}
}

// drawn is a system without a line with rates far apart and service times between powers
// of ten seconds, or nil.
func drawn(t *rapid.T, low, high float64) *busy.System {
	units := rapid.IntRange(1, 6).Draw(t, "units")
	atoms := rapid.IntRange(1, 6).Draw(t, "atoms")
	s := &busy.System{}
	for range atoms {
		s.PerHour = append(s.PerHour, math.Pow(10, rapid.Float64Range(-6, 2).Draw(t, "log rate")))
		all := make([]int, units)
		for u := range all {
			all[u] = u
		}
		order := rapid.Permutation(all).Draw(t, "order")
		s.Orders = append(s.Orders, order[:rapid.IntRange(0, units).Draw(t, "in order")])
	}
	for range units {
		s.ServiceS = append(s.ServiceS, []float64{math.Pow(10, rapid.Float64Range(low, high).Draw(t, "log service"))})
	}
	if s.Check() != nil { // more than 1000 erlangs for each unit
		return nil
	}
	return s
}

// areShares: every call is taken or lost, once.
func areShares(t require.TestingT, r *busy.Result) {
	for _, b := range r.Busy {
		require.True(t, b >= 0 && b <= 1+1e-12, "%g", b)
	}
	for j, shares := range r.Shares {
		sum := r.Lost[j]
		for _, v := range shares {
			require.True(t, v >= 0 && v <= 1+1e-12, "%g", v)
			sum += v
		}
		assert.InDelta(t, 1, sum, 1e-9)
	}
}

// TestExactBalances: shares are shares, and calls taken times their service time is the
// time that a unit is busy, however far apart rates and times are (Little's law).
func TestExactBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawn(t, 1, 5)
		if s == nil {
			return
		}
		r, err := busy.Exact(t.Context(), s)
		require.NoError(t, err)
		assert.Less(t, r.Imbalance, 1e-9)
		areShares(t, r)
	})
}

// TestApproximateSettles for missions of a quarter of an hour to nine hours, and with times
// farther apart it settles or says that it does not.
func TestApproximateSettles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawn(t, 3, 4.5)
		if s == nil {
			return
		}
		r, err := busy.Approximate(t.Context(), s)
		require.NoError(t, err)
		areShares(t, r)
		if s = drawn(t, 1, 5); s == nil {
			return
		}
		if r, err = busy.Approximate(t.Context(), s); err == nil {
			areShares(t, r)
		} else {
			assert.ErrorIs(t, err, busy.ErrUnsettled)
		}
	})
}

// TestMoreUnitsLoseFewer: a unit more at the end of every order never loses more calls.
func TestMoreUnitsLoseFewer(t *testing.T) {
	for seed := range uint64(20) {
		s := random(seed, 3, 5, true, false, false)
		fewer, err := busy.Exact(t.Context(), s)
		require.NoError(t, err)
		s.ServiceS = append(s.ServiceS, []float64{3600})
		for j := range s.Orders {
			s.Orders[j] = append(s.Orders[j], 3)
		}
		more, err := busy.Exact(t.Context(), s)
		require.NoError(t, err)
		for j := range s.PerHour {
			assert.LessOrEqual(t, more.Lost[j], fewer.Lost[j]+1e-12, "seed %d", seed)
		}
	}
}
