package busy_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"surgeonward/routing/busy"
)

// random is a system of the seed. Orders leave units out where partial; service
// differs by atom where varied.
func random(seed uint64, units, atoms int, partial, varied, line bool) *busy.System {
	rnd := rand.New(rand.NewPCG(seed, 7))
	s := &busy.System{Line: line}
	load := (0.1 + 0.8*rnd.Float64()) * float64(units) // erlangs
	for range atoms {
		s.PerHour = append(s.PerHour, load/float64(atoms)*2*rnd.Float64()*0.95)
		order := rnd.Perm(units)
		if partial {
			order = order[:rnd.IntN(units+1)]
		}
		s.Orders = append(s.Orders, order)
	}
	for range units {
		times := []float64{3600 * (0.6 + 0.4*rnd.Float64())}
		if varied {
			for range atoms - 1 {
				times = append(times, 3600*(0.6+0.4*rnd.Float64()))
			}
			for j := range times {
				times[j] *= 0.3 + 1.7*rnd.Float64()
			}
		}
		s.ServiceS = append(s.ServiceS, times)
	}
	return s
}

// brute is the whole Markov chain with every atom's call on every unit as a state of its own
// (0: free, j+1: on a call of atom j), and the line as states up to longest calls,
// solved as dense equations. It returns the busy shares of the units and of lost or
// delayed calls of each atom. With a line, each unit has one service time.
func brute(t testing.TB, s *busy.System, longest int) (busyShare, missed []float64) {
	t.Helper()
	units, atoms := len(s.ServiceS), len(s.PerHour)
	base := atoms + 1
	if s.Line {
		base = 2 // which atom the call is of makes no difference
	}
	states := 1
	for range units {
		states *= base
	}
	all := states
	if s.Line {
		all += longest
	}
	digit := func(state, u int) int {
		for range u {
			state /= base
		}
		return state % base
	}
	power := func(u int) int {
		p := 1
		for range u {
			p *= base
		}
		return p
	}
	service := func(u, j int) float64 {
		if len(s.ServiceS[u]) == 1 {
			return s.ServiceS[u][0] / 3600
		}
		return s.ServiceS[u][j] / 3600
	}
	flow := mat.NewDense(all, all, nil) // column: from; row: to
	move := func(from, to int, rate float64) {
		flow.Set(to, from, flow.At(to, from)+rate)
		flow.Set(from, from, flow.At(from, from)-rate)
	}
	missed = make([]float64, atoms)
	lost := make([][]int, atoms) // states in which an atom's call finds nobody
	for state := range states {
		for j, rate := range s.PerHour {
			sent := false
			for _, u := range s.Orders[j] {
				if digit(state, u) == 0 {
					call := min(j+1, base-1)
					move(state, state+call*power(u), rate)
					sent = true
					break
				}
			}
			if !sent {
				lost[j] = append(lost[j], state)
			}
		}
		for u := range units {
			if d := digit(state, u); d > 0 {
				move(state, state-d*power(u), 1/service(u, d-1))
			}
		}
	}
	if s.Line {
		var rate, free float64
		for _, r := range s.PerHour {
			rate += r
		}
		for u := range units {
			free += 1 / service(u, 0)
		}
		for k := range longest {
			from := states - 1 + k
			move(from, from+1, rate)
			move(from+1, from, free)
			for j := range lost {
				lost[j] = append(lost[j], from+1)
			}
		}
	}
	right := mat.NewVecDense(all, nil)
	for i := range all { // one equation follows from the others
		flow.Set(0, i, 1)
	}
	right.SetVec(0, 1)
	var p mat.VecDense
	require.NoError(t, p.SolveVec(flow, right))
	busyShare = make([]float64, units)
	for i := range all {
		for u := range units {
			if i >= states || digit(i, u) > 0 {
				busyShare[u] += p.AtVec(i)
			}
		}
	}
	for j, at := range lost {
		for _, i := range at {
			missed[j] += p.AtVec(i)
		}
	}
	return busyShare, missed
}
