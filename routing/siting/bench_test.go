package siting_test

import (
	"testing"

	"surgeonward/routing/siting"
)

// BenchmarkMeanTime sets the proof beside what it costs to try every choice: the
// naive baseline looks at all choices of three sites.
func BenchmarkMeanTime(b *testing.B) {
	p := scattered(400, 40, 7)
	p.Count = 3
	var search, every float64
	b.Run("search", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			s, err := siting.MeanTime(b.Context(), p, 1e6, siting.Effort{})
			if err != nil {
				b.Fatal(err)
			}
			search = s.Value
		}
		b.ReportMetric(search, "answer")
	})
	b.Run("every choice", func(b *testing.B) {
		b.ReportAllocs()
		value := p.Seconds(1e6)
		for b.Loop() {
			every = value([]int{0, 1, 2})
			choices(p, p.Count, false, func(sites []int) { every = min(every, value(sites)) })
		}
		b.ReportMetric(every, "answer")
	})
	if d := search - every; d > 1e-6*every || d < -1e-6*every {
		b.Fatalf("the search says %g, every choice %g", search, every)
	}
}
