package busy_test

import (
	"testing"

	"surgeonward/routing/busy"
)

// BenchmarkSmallFleet sets the rounds over the sets of busy units beside the naive
// baseline, dense equations of the same chain: six units, like calls.
func BenchmarkSmallFleet(b *testing.B) {
	s := random(5, 6, 1, false, false, false)
	var rounds, dense float64
	b.Run("rounds", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			r, err := busy.Exact(b.Context(), s)
			if err != nil {
				b.Fatal(err)
			}
			rounds = r.Busy[0]
		}
		b.ReportMetric(rounds, "answer")
	})
	b.Run("dense", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			shares, _ := brute(b, s, 0)
			dense = shares[0]
		}
		b.ReportMetric(dense, "answer")
	})
	if d := rounds - dense; d > 1e-9 || d < -1e-9 {
		b.Fatalf("rounds say %g, dense equations %g", rounds, dense)
	}
}

// BenchmarkFleet sets the approximation beside the exact model, whose shares it may miss
// by a few hundredths, with 12 units and 1000 atoms.
func BenchmarkFleet(b *testing.B) {
	s := random(6, 12, 1000, false, false, false)
	for _, way := range []struct {
		name  string
		solve solver
	}{{"exact", busy.Exact}, {"approximate", busy.Approximate}} {
		b.Run(way.name, func(b *testing.B) {
			b.ReportAllocs()
			var mean float64
			for b.Loop() {
				r, err := way.solve(b.Context(), s)
				if err != nil {
					b.Fatal(err)
				}
				mean = r.MeanBusy()
			}
			b.ReportMetric(mean, "answer")
		})
	}
}
