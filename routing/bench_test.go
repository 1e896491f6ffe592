package routing_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

// bench is 12 assets and 40 facilities, half of them hospitals, seeded.
func bench() *fixture {
	random := rand.New(rand.NewPCG(12, 40))
	f := toy()
	for i := range 20 {
		f.hospital(fmt.Sprintf("h%02d", i), place(random.Float64()*360, 2_000+random.Float64()*100_000))
		f.facility(fmt.Sprintf("b%02d", i), "base", place(random.Float64()*360, 1_000+random.Float64()*60_000), "")
	}
	for i := range 12 {
		kind := []string{"ambulance", "ambulance", "helicopter", "response_car"}[i%4]
		f.asset(fmt.Sprintf("a%02d", i), kind, fmt.Sprintf(`"base":"b%02d","skills":["physician"]`, i))
	}
	return f
}

func question() routing.Question {
	age := 34.0
	return routing.Question{At: noon, Scene: routing.Scene{Position: scene, Landing: routing.LandingPossible},
		Patient: routing.Patient{AgeYears: &age}, Limit: 10}
}

// checksum ties a benchmark to its answer: a fast wrong one fails.
func checksum(t require.TestingT, options []routing.Option) float64 {
	sum := 0.0
	for _, o := range options {
		sum += float64(o.Rank) * o.Total.TypicalS
	}
	require.Len(t, options, 10)
	return sum
}

func TestNaiveAgrees(t *testing.T) {
	e := bench().engine(t)
	ans, err := e.Options(t.Context(), question())
	require.NoError(t, err)
	naive, err := e.Naive(question())
	require.NoError(t, err)
	for i := range naive {
		require.Equal(t, naive[i].ID, ans.Options[i].ID)
		require.InDelta(t, naive[i].Total.TypicalS, ans.Options[i].Total.TypicalS, 1e-6)
	}
}

func BenchmarkOptions(b *testing.B) {
	e := bench().engine(b)
	naive, err := e.Naive(question())
	require.NoError(b, err)
	want := checksum(b, naive)
	b.Run("engine", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			ans, err := e.Options(b.Context(), question())
			if err != nil {
				b.Fatal(err)
			}
			require.InDelta(b, want, checksum(b, ans.Options), 1e-6)
		}
	})
	b.Run("naive", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			options, err := e.Naive(question())
			if err != nil {
				b.Fatal(err)
			}
			require.InDelta(b, want, checksum(b, options), 1e-6)
		}
	})
}

// BenchmarkAllShapes is every shape of option on a region of 20 assets, 40
// hospitals and 200 landing sites, beside trying every meeting place.
func BenchmarkAllShapes(b *testing.B) {
	e := crowd(rand.New(rand.NewPCG(20, 200)), 20, 40, 200, 120_000).engine(b)
	brute, err := e.BruteForce(question())
	require.NoError(b, err)
	want := checksum(b, brute)
	for _, way := range []struct {
		name   string
		answer func() ([]routing.Option, error)
	}{
		{"engine", func() ([]routing.Option, error) {
			ans, err := e.Options(b.Context(), question())
			return ans.Options, err
		}},
		{"brute force", func() ([]routing.Option, error) { return e.BruteForce(question()) }},
	} {
		b.Run(way.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				options, err := way.answer()
				if err != nil {
					b.Fatal(err)
				}
				require.InDelta(b, want, checksum(b, options), 1e-6)
			}
		})
	}
}
