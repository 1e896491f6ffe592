package testdata_test

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing"
)

// somewhere is a point in or around the demo region, the sea included.
func somewhere(random *rand.Rand) orb.Point {
	return orb.Point{-29.5 + (random.Float64()-0.5)*1.9, 45.55 + (random.Float64()-0.5)*1.1}
}

// hours of the demo region, at most of which something differs: surgeons'
// hours, crews, daylight, the ferry.
var hours = []time.Time{
	time.Date(2031, 3, 14, 12, 0, 0, 0, time.UTC), time.Date(2031, 3, 14, 23, 30, 0, 0, time.UTC),
	time.Date(2031, 3, 15, 6, 40, 0, 0, time.UTC), time.Date(2031, 1, 5, 18, 45, 0, 0, time.UTC),
}

// TestBatchIsWhatTheDeskGets: in the demo region, a prepared question has at
// every scene the first option of the whole answer, to the last bit. Source:
// identity. SURGEONWARD_TEST_SCENES asks for more scenes than the usual.
func TestBatchIsWhatTheDeskGets(t *testing.T) {
	e := engine(t)
	random := rand.New(rand.NewPCG(7, 2031))
	n := scenes(t, 80)
	for _, at := range hours {
		for _, landing := range []routing.Landing{routing.LandingPossible, routing.LandingImpossible} {
			q := routing.Question{At: at, Scene: routing.Scene{Landing: landing}, Limit: 1}
			b, err := e.Batch(q)
			require.NoError(t, err)
			for range n / 8 {
				sameAsDesk(t, e, b, q, somewhere(random))
			}
		}
	}
}

// TestBatchUnderWeather: the same with reports and forecasts of the region's stations,
// in strong wind and in fog, ranked by either total. Source: identity.
func TestBatchUnderWeather(t *testing.T) {
	e := engine(t)
	random := rand.New(rand.NewPCG(8, 2031))
	n := scenes(t, 84)
	for _, kind := range weathers[1:] {
		for i, s := range titles {
			at := scenarios(t)[s.name].At // the hours that the reports are of
			q := routing.Question{At: at, Scene: routing.Scene{Landing: routing.LandingPossible}, Limit: 1, RankBySlow: i%2 == 1}
			q.Conditions.Reports = reports(t, kind, at)
			b, err := e.Batch(q)
			require.NoError(t, err)
			for range n / 21 {
				sameAsDesk(t, e, b, q, somewhere(random))
			}
		}
	}
}

// sameAsDesk holds a batch's answer at a scene to that of the desk.
func sameAsDesk(t *testing.T, e *routing.Engine, b *routing.Batch, q routing.Question, scene orb.Point) {
	t.Helper()
	q.Scene.Position = scene
	ans, err := e.Options(t.Context(), q)
	require.NoError(t, err)
	want := routing.Best{}
	if len(ans.Options) > 0 {
		o := ans.Options[0]
		want = routing.Best{Reached: true, ID: o.ID, Shape: o.Shape, Destination: o.Destination.ID, Assets: o.Assets, Total: o.Total}
	}
	got, err := b.Best(t.Context(), scene)
	require.NoError(t, err)
	require.Equal(t, want, got, "%s, %v, landing %s", q.At, scene, q.Scene.Landing)
}

// BenchmarkCells is one situation over scenes of the demo region: prepared,
// by the whole answer each, and the bare scan for the nearest hospital.
func BenchmarkCells(b *testing.B) {
	e, err := loadEngine()
	require.NoError(b, err)
	random := rand.New(rand.NewPCG(1, 2))
	at := make([]orb.Point, 64)
	for i := range at {
		at[i] = somewhere(random)
	}
	q := routing.Question{At: hours[0], Scene: routing.Scene{Landing: routing.LandingPossible}, Limit: 1}
	report := func(b *testing.B, sumS float64) {
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(at)), "ns/cell")
		b.ReportMetric(sumS, "sum_s")
	}
	b.Run("batch", func(b *testing.B) {
		b.ReportAllocs()
		batch, err := e.Batch(q)
		require.NoError(b, err)
		sumS := 0.0
		for b.Loop() {
			sumS = 0
			for _, p := range at {
				best, err := batch.Best(b.Context(), p)
				require.NoError(b, err)
				sumS += best.Total.SlowS
			}
		}
		report(b, sumS)
	})
	b.Run("options", func(b *testing.B) {
		b.ReportAllocs()
		sumS := 0.0
		for b.Loop() {
			sumS = 0
			for _, p := range at {
				q.Scene.Position = p
				ans, err := e.Options(b.Context(), q)
				require.NoError(b, err)
				if len(ans.Options) > 0 {
					sumS += ans.Options[0].Total.SlowS
				}
			}
		}
		report(b, sumS)
	})
	b.Run("nearest hospital", func(b *testing.B) {
		b.ReportAllocs()
		var hospitals []geo.Vector
		for _, f := range e.Facilities.All() {
			if f.Has("cardiothoracic_surgery") {
				hospitals = append(hospitals, geo.Unit(f.Position))
			}
		}
		sumM := 0.0
		for b.Loop() {
			sumM = 0
			for _, p := range at {
				v := geo.Unit(p)
				nearest := -2.0
				for i := range hospitals {
					nearest = max(nearest, v.Dot(hospitals[i]))
				}
				sumM += nearest
			}
		}
		report(b, sumM)
	})
}

// scenes is how many scenes to compare.
func scenes(t *testing.T, usual int) int {
	text := os.Getenv("SURGEONWARD_TEST_SCENES")
	if text == "" {
		return usual
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return n
}
