package road_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/geo"
	"surgeonward/routing/road"
)

// eastOf is the point straight km east of the origin along the equator.
func eastOf(straightKM float64) orb.Point {
	return orb.Point{straightKM * 1000 / geo.MeanRadius * 180 / math.Pi, 0}
}

func TestGreatCircleCircuity(t *testing.T) {
	for _, c := range []struct {
		name, source string
		straightKM   float64
		factor       float64
		wantKM       float64
		tolKM        float64
	}{
		{"detour index, 10 km", "Boscoe, Henry and Zdeb 2012: mean detour index 1.417", 10, 1.417, 14.170, 1e-9},
		{"detour index, 50 km", "Boscoe, Henry and Zdeb 2012: mean detour index 1.417", 50, 1.417, 70.85, 1e-9},
		{"Switzerland, between hospitals", "Di Rocco 2018, BMC Emerg Med 18:13: medians 47.7 km by road, 35.4 km by air; ratio 1.3475", 35.4, 1.3475, 47.7, 0.005},
		{"Boston to Dallas", "C. Wolfram: 1750 mi by road, 1520 mi geodesic; ratio 1.1513", 1520 * 1.609344, 1.1513, 1750 * 1.609344, 0.1},
		{"South Korea, national", "Kim, Shin, Lee and Suh 2015: 1.26", 100, 1.26, 126, 1e-9},
		{"as the crow flies", "identity", 25, 1, 25, 1e-9},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := road.GreatCircle{Factor: c.factor}.Route(orb.Point{0, 0}, eastOf(c.straightKM), calgary, noon)
			require.NoError(t, err)
			assert.InDelta(t, c.wantKM, got.DistanceM/1000, c.tolKM, c.source)
			want, err := calgary.Timing(got.DistanceM)
			require.NoError(t, err)
			assert.Equal(t, want.TypicalS, got.TypicalS, "identity: the law over the road distance")
			assert.Equal(t, want.SlowS, got.SlowS, "identity: the law over the road distance")
			assert.Equal(t, []orb.Point{{0, 0}, eastOf(c.straightKM)}, got.Path)
		})
	}
}

func TestGreatCircleBasis(t *testing.T) {
	got, err := road.GreatCircle{Factor: 1.417}.Route(orb.Point{0, 0}, eastOf(10), calgary, noon)
	require.NoError(t, err)
	assert.Equal(t, "road 14.2 km: great circle 10.0 km x 1.417, accelerating at 41 km/h per minute to 100.7 km/h", got.Basis,
		"definition: the law's parameters and both distances, in words")
}

func TestGreatCircleRefuses(t *testing.T) {
	here, nan := orb.Point{-29.4, 45.5}, math.NaN()
	for _, c := range []struct {
		name     string
		factor   float64
		from, to orb.Point
		law      road.Law
		says     string
	}{
		{"factor below 1", 0.99, here, here, calgary, "road factor 0.99 is outside 1 to 5"},
		{"factor of nothing", 0, here, here, calgary, "road factor 0"},
		{"factor too high", 13, here, here, calgary, "road factor 13"},
		{"factor not a number", nan, here, here, calgary, "road factor NaN"},
		{"start", 1.3, orb.Point{45.5, -129.4}, here, calgary, "start of the road travel: latitude -129.4"},
		{"end", 1.3, here, orb.Point{nan, 0}, calgary, "end of the road travel: longitude NaN"},
		{"law", 1.3, here, here, road.Law{}, "cruise speed 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := road.GreatCircle{Factor: c.factor}.Route(c.from, c.to, c.law, noon)
			assert.ErrorContains(t, err, c.says)
			assert.NotErrorIs(t, err, road.ErrUnreachable, "a fault in the input is not an answer")
		})
	}
	_, err := road.GreatCircle{Factor: 1.3}.Route(here, orb.Point{150.6, -45.5}, calgary, noon)
	assert.ErrorIs(t, err, road.ErrUnreachable, "the other side of the world is longer than anything timed")
}

func TestGreatCircleProperties(t *testing.T) {
	point := rapid.Custom(func(t *rapid.T) orb.Point {
		return orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-90, 90).Draw(t, "lat")}
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b := point.Draw(t, "a"), point.Draw(t, "b")
		there, errThere := road.GreatCircle{Factor: 1.3}.Route(a, b, calgary, noon)
		back, errBack := road.GreatCircle{Factor: 1.3}.Route(b, a, calgary, noon)
		assert.Equal(t, errThere, errBack)
		assert.Equal(t, there.DistanceM, back.DistanceM, "the way back is as long, to the last bit")
		assert.Equal(t, there.SlowS, back.SlowS)
		if errThere == nil {
			assert.InDelta(t, 1.3*geo.Distance(a, b), there.DistanceM, 1e-6)
			mirror, err := road.GreatCircle{Factor: 1.3}.Route(orb.Point{-a[0], a[1]}, orb.Point{-b[0], b[1]}, calgary, noon)
			require.NoError(t, err)
			assert.InDelta(t, there.TypicalS, mirror.TypicalS, 1e-6, "mirror image, same time")
		}
	})
}

func BenchmarkGreatCircleRoute(b *testing.B) {
	estimator, from, to := road.GreatCircle{Factor: 1.3}, orb.Point{-29.4, 45.5}, orb.Point{-29.1, 45.7}
	b.Run("route", func(b *testing.B) {
		b.ReportAllocs()
		sumS := 0.0
		for b.Loop() {
			r, err := estimator.Route(from, to, calgary, noon)
			if err != nil {
				b.Fatal(err)
			}
			sumS += r.TypicalS
		}
		b.ReportMetric(sumS/float64(b.N), "typical_s")
	})
	b.Run("one speed throughout, for comparison", func(b *testing.B) {
		b.ReportAllocs()
		sumS := 0.0
		for b.Loop() {
			sumS += geo.Distance(from, to) * estimator.Factor / calgary.CruiseMS
		}
		b.ReportMetric(sumS/float64(b.N), "typical_s")
	})
}
