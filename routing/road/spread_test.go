package road_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities"
	"surgeonward/routing/road"
)

func TestCoefficientOfVariationWorkedNumbers(t *testing.T) {
	const source = "arithmetic on Budge, Ingolfsson and Zerom 2010 (form and parameters from memory)"
	for _, c := range []struct{ distanceKM, want float64 }{
		{0.5, 0.3976}, {1, 0.3138}, {2, 0.2620}, {4, 0.2318}, {5, 0.2250}, {10, 0.2091}, {20, 0.2012},
	} {
		got, err := calgary.Spread.CoefficientOfVariation(median(t, calgary, c.distanceKM*1000))
		require.NoError(t, err)
		assert.InDelta(t, c.want, got, 5e-5, "%v km: %s", c.distanceKM, source)
	}
	limit, err := calgary.Spread.CoefficientOfVariation(1e9)
	require.NoError(t, err)
	assert.InDelta(t, 0.196977, limit, 1e-6, "limit sqrt(b2): %s", source)
}

// The slow figure is the 90th percentile of a lognormal of that median, with
// sigma from the coefficient of variation.
func TestTimingSlow(t *testing.T) {
	// b2 alone makes the coefficient of variation the same at all distances.
	steady := road.Law{CruiseMS: 20, AccelerationMS2: 0.2, Spread: road.Spread{B2: 0.09}}
	got, err := steady.Timing(20 * (600 - 100)) // v/a = 100 s, then 20 m/s: 600 s
	require.NoError(t, err)
	const source = "reference value: median 10, coefficient of variation 0.3: sigma 0.293560379209, 90th percentile 14.5675704561"
	assert.InDelta(t, 600, got.TypicalS, 1e-9, "identity: v/a + d/v")
	assert.InDelta(t, 60*14.5675704561, got.SlowS, 60*1e-9, source)

	none := road.Law{CruiseMS: 20, AccelerationMS2: 0.2}
	got, err = none.Timing(10000)
	require.NoError(t, err)
	assert.Equal(t, facilities.Fixed(600), got, "definition: the zero spread is none")

	got, err = calgary.Timing(0)
	require.NoError(t, err)
	assert.Zero(t, got, "identity: no distance, no time")
}

// The slow figure is what nine in ten draws stay under.
func TestTimingSlowAgainstDraws(t *testing.T) {
	timing, err := calgary.Timing(5000)
	require.NoError(t, err)
	c, err := calgary.Spread.CoefficientOfVariation(timing.TypicalS)
	require.NoError(t, err)
	const seed, n = 20100401, 200_000
	random := rand.New(rand.NewPCG(seed, 0))
	draws := make([]float64, n)
	for i := range draws {
		draws[i] = timing.TypicalS * math.Exp(math.Sqrt(math.Log(1+c*c))*random.NormFloat64())
	}
	sort.Float64s(draws)
	const tolShare = 0.005
	assert.InEpsilon(t, draws[n/2], timing.TypicalS, tolShare, "seed %d", seed)
	assert.InEpsilon(t, draws[n*9/10], timing.SlowS, tolShare, "seed %d", seed)
}

func TestSpreadProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		law := laws(t)
		near := rapid.Float64Range(1e-6, 1e6).Draw(t, "near_m")
		far := near + rapid.Float64Range(1e-6, 1e6).Draw(t, "more_m")
		a, b := timing(t, law, near), timing(t, law, far)
		if a == nil || b == nil {
			return // beyond MaxTiming: TestTimingTooLong
		}
		assert.True(t, a.Valid() && b.Valid())
		assert.GreaterOrEqual(t, b.TypicalS, a.TypicalS*(1-1e-12), "farther is never sooner, typically")
		assert.GreaterOrEqual(t, b.SlowS, a.SlowS*(1-1e-12), "nor at the slow end")

		ca, err := law.Spread.CoefficientOfVariation(a.TypicalS)
		require.NoError(t, err)
		cb, err := law.Spread.CoefficientOfVariation(b.TypicalS)
		require.NoError(t, err)
		assert.LessOrEqual(t, cb, ca*(1+1e-12), "the coefficient of variation falls with distance")
		assert.GreaterOrEqual(t, cb, math.Sqrt(law.Spread.B2)*(1-1e-12), "and never below sqrt(b2)")

		wider := law
		wider.Spread.B2 += 0.1
		if w := timing(t, wider, near); w != nil {
			assert.Equal(t, a.TypicalS, w.TypicalS, "spread does not move the median")
			assert.GreaterOrEqual(t, w.SlowS, a.SlowS, "more spread is a later slow figure")
		}
	})
}

func TestTimingTooLong(t *testing.T) {
	slow := road.Law{CruiseMS: road.MinCruiseKMH * road.KilometrePerHour, AccelerationMS2: 0.2}
	_, err := slow.Timing(1e6)
	require.ErrorIs(t, err, road.ErrUnreachable, "1000 km at 5 km/h is 200 h")
	assert.EqualError(t, err, "not reachable by road: 1000 km of road would take up to 200 h, over the limit of 48 h")
	for _, d := range []float64{1e9, 1e300, math.MaxFloat64} {
		_, err := calgary.Timing(d)
		assert.ErrorIs(t, err, road.ErrUnreachable, "%v m", d)
	}
}

func TestCoefficientOfVariationRefuses(t *testing.T) {
	for _, m := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := calgary.Spread.CoefficientOfVariation(m)
		assert.ErrorContains(t, err, "median", "%v", m)
	}
	_, err := road.Spread{B2: -0.1}.CoefficientOfVariation(60)
	assert.ErrorContains(t, err, "spread b2 -0.1")
	for _, m := range []float64{math.SmallestNonzeroFloat64, 1e-300, 1e-3, math.MaxFloat64} {
		c, err := calgary.Spread.CoefficientOfVariation(m)
		require.NoError(t, err)
		assert.False(t, math.IsNaN(c) || math.IsInf(c, 0), "%v s gives %v", m, c)
	}
}

func FuzzTiming(f *testing.F) {
	extremes := []float64{0, math.Copysign(0, -1), 1, -1, math.SmallestNonzeroFloat64, 1e-160, 1e300, math.MaxFloat64, math.Inf(1), math.NaN()}
	for _, x := range extremes {
		f.Add(x, calgary.CruiseMS, calgary.AccelerationMS2, 0.336, 0.000058, 0.0388)
		f.Add(1e-323, 2.8, 7.6, x, x, x)
		f.Add(5000.0, x, calgary.AccelerationMS2, 0.0, 0.0, 0.0)
		f.Add(5000.0, calgary.CruiseMS, x, x, x, x)
	}
	f.Fuzz(func(t *testing.T, distanceM, cruiseMS, accelerationMS2, b0, b1, b2 float64) {
		law := road.Law{CruiseMS: cruiseMS, AccelerationMS2: accelerationMS2, Spread: road.Spread{B0Min2: b0, B1Min: b1, B2: b2}}
		got, err := law.Timing(distanceM)
		if err != nil {
			assert.Zero(t, got)
			return
		}
		assert.True(t, got.Valid(), "%+v over %v m gives %+v", law, distanceM, got)
		// Subnormal times have hardly a digit left: 1e-300 s is no time at all.
		assert.GreaterOrEqual(t, got.TypicalS, distanceM/cruiseMS*(1-1e-12)-1e-300, "never faster than cruise speed")
	})
}

// timing returns nil where the travel is longer than anything the product times.
func timing(t require.TestingT, law road.Law, distanceM float64) *facilities.Timing {
	got, err := law.Timing(distanceM)
	if errors.Is(err, road.ErrUnreachable) {
		return nil
	}
	require.NoError(t, err)
	return &got
}
