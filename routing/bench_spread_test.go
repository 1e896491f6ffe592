package routing_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// withSpread gives everything in the toy region a spread: slow allowances are
// half as long again, roads and wind as shipped.
func (f *fixture) withSpread() *fixture {
	for id, v := range f.allowances {
		f.allowances[id] = [2]float64{v[0], v[0] * 1.5}
	}
	f.settings = map[string]any{
		"wind_slow_kt": 8,
		"road": map[string]any{"road_factor": f.roadFactor, "cruise_kmh": 72, "acceleration_kmh_per_min": 216,
			"spread": map[string]any{"b0": 0.336, "b1": 0.000058, "b2": 0.0388}},
	}
	return f
}

// BenchmarkSpread is what drawing costs: every shape of option on a region of
// 20 assets, 40 hospitals and 200 landing sites, ranked by typical and by slow
// totals, beside the same ranked at typical durations with nothing drawn.
func BenchmarkSpread(b *testing.B) {
	e := crowd(rand.New(rand.NewPCG(20, 200)), 20, 40, 200, 120_000).withSpread().engine(b)
	plain, err := e.WithoutSpread(b.Context(), question())
	require.NoError(b, err)
	want := checksum(b, plain)
	b.Run("without", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			options, err := e.WithoutSpread(b.Context(), question())
			if err != nil {
				b.Fatal(err)
			}
			require.InDelta(b, want, checksum(b, options), 1e-6)
		}
	})
	b.Run("typical", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			ans, err := e.Options(b.Context(), question())
			if err != nil {
				b.Fatal(err)
			}
			require.InDelta(b, want, checksum(b, ans.Options), 1e-6)
		}
	})
	bySlow := question()
	bySlow.RankBySlow = true
	every, err := e.EverySlow(b.Context(), bySlow)
	require.NoError(b, err)
	wantSlow := checksum(b, every)
	b.Run("slow", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			ans, err := e.Options(b.Context(), bySlow)
			if err != nil {
				b.Fatal(err)
			}
			require.InDelta(b, wantSlow, checksum(b, ans.Options), 1e-6)
		}
	})
	b.Run("slow, naive", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			options, err := e.EverySlow(b.Context(), bySlow)
			if err != nil {
				b.Fatal(err)
			}
			require.InDelta(b, wantSlow, checksum(b, options), 1e-6)
		}
	})
}
