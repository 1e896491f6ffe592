package busy

import (
	"context"
	"math"
)

// Result is how busy a fleet is. Shares are from 0 to 1.
type Result struct {
	Busy []float64 // by unit: share of the time
	// Shares are, by atom, then unit, the share of its calls that the unit takes. Atoms
	// with the same order have the same row: do not write to it.
	Shares [][]float64
	Lost   []float64 // by atom: share of its calls that nobody takes; 0 with a line

	LostShare float64 // of all calls; 0 where there are none
	WaitShare float64 // of all calls that wait in the line
	InLine    float64 // mean number of calls in the line
	MeanWaitS float64 // over all calls, those that do not wait among them

	// States are the shares of the time of each set of busy units, unit u as the bit 1<<u; the
	// last one includes every length of the line. Nil where the result is approximate.
	States []float64
	// Imbalance is the largest difference between the share of the time that a unit is
	// busy and the calls it takes times their service time, which Little's law makes equal
	// (Little 1961): rounding only where States are given, a sign of the error where not.
	Imbalance float64
}

// MeanBusy is the mean over units.
func (r *Result) MeanBusy() float64 {
	var sum float64
	for _, b := range r.Busy {
		sum += b
	}
	return sum / float64(len(r.Busy))
}

// MaxExact is how many units Exact takes: 4096 states.
const MaxExact = 12

// Solve is Exact for small fleets and Approximate for larger.
func Solve(ctx context.Context, s *System) (*Result, error) {
	if len(s.ServiceS) <= MaxExact {
		return Exact(ctx, s)
	}
	return Approximate(ctx, s)
}

// fill puts the atoms' rows and the sums over calls from the groups' shares.
func (r *Result) fill(g *grouped, shares [][]float64, line bool) {
	lost := make([]float64, len(g.groups))
	r.Busy = append([]float64{}, r.Busy...)
	taken := make([]float64, len(r.Busy))
	var calls, missed float64
	for i := range g.groups {
		group := &g.groups[i]
		left := 1.0
		for k, u := range group.order {
			left -= shares[i][u]
			taken[u] += shares[i][u] * group.work[k]
		}
		if !line {
			lost[i] = max(left, 0)
		}
		calls += group.rate
		missed += group.rate * lost[i]
	}
	if calls > 0 {
		r.LostShare = missed / calls
	}
	for u, b := range r.Busy {
		r.Imbalance = max(r.Imbalance, math.Abs(b-taken[u]))
	}
	r.Shares, r.Lost = make([][]float64, len(g.of)), make([]float64, len(g.of))
	for j, i := range g.of {
		r.Shares[j], r.Lost[j] = shares[i], lost[i]
	}
}
