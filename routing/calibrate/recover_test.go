package calibrate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
	"surgeonward/routing/calibrate"
	"surgeonward/routing/road"
)

// quick are options for tests that calibrate many times.
var quick = calibrate.Options{Replicates: 80, Folds: 2}

// inForce are settings of which none is the truth of a synthetic world.
func inForce(t testing.TB) *routing.Settings {
	t.Helper()
	settings, faults, _ := routing.DecodeSettings([]byte(`{"region": {"name": "Invented", "time_zone": "Etc/GMT+2"},
		"road": {"road_factor": 1.2, "cruise_kmh": 100, "acceleration_kmh_per_min": 60}}`))
	require.Empty(t, faults)
	return settings
}

func estimates(f calibrate.Finding) map[string]calibrate.Estimate {
	out := map[string]calibrate.Estimate{}
	for _, e := range f.Estimates {
		out[e.Parameter] = e
	}
	return out
}

// slowShare is the slow over the typical figure of the law at a median.
func slowShare(t testing.TB, law road.Law, medianMin float64) float64 {
	t.Helper()
	c, err := law.Spread.CoefficientOfVariation(60 * medianMin)
	require.NoError(t, err)
	return math.Exp(1.2815515655446004 * math.Sqrt(math.Log1p(c*c)))
}

// fewestHits is how many of n intervals of level 0.9 must hold the truth: 3
// standard errors of the binomial below what is expected. Source: identity.
func fewestHits(n int) int {
	return int(0.9*float64(n) - 3*math.Sqrt(float64(n)*0.9*0.1))
}

// The figures the journeys were drawn from are within the tool's own 90 %
// interval in about 9 of 10 worlds, with 5 % of the times absurd. Source: the
// definition of an interval, and road.Law with lognormal noise as the world.
func TestRecoversTheTruth(t *testing.T) {
	const worlds = 50
	settings := inForce(t)
	for _, tc := range []struct {
		name    string
		winding float64 // of the driven distance about its median
		n       int
		want    map[string]float64
	}{
		{"factor and law", 0.1, 200, map[string]float64{
			"road_factor": 1.34, "road_cruise_kmh": 84, "road_acceleration_kmh_per_min": 36}},
		// Where driven is not exactly factor x great circle the spread is that of
		// both, for which there is no closed form.
		{"spread", 0, 250, map[string]float64{
			"road_cruise_kmh": 84, "road_acceleration_kmh_per_min": 36,
			"slow_over_typical_at_5_min":  slowShare(t, truth.law, 5),
			"slow_over_typical_at_10_min": slowShare(t, truth.law, 10),
			"slow_over_typical_at_20_min": slowShare(t, truth.law, 20)}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			w := truth
			w.windingSD, w.gross = tc.winding, 0.05
			hits := map[string]int{}
			for seed := range worlds {
				journeys := w.journeys(t, rand.New(rand.NewPCG(uint64(seed), 11)), tc.n)
				found := calibrate.Calibrate(journeys, settings, nil, quick).Findings[0]
				require.True(t, found.Proposed)
				for id, e := range estimates(found) {
					if e.Interval.Has(tc.want[id]) {
						hits[id]++
					}
				}
			}
			for id := range tc.want {
				assert.GreaterOrEqual(t, hits[id], fewestHits(worlds), "%s in %d worlds", id, worlds)
			}
		})
	}
}

// timed are journeys of an allowance that is lognormal with the two figures.
func timed(stage string, r *rand.Rand, n int, typicalS, slowS, gross float64) []calibrate.Journey {
	out := make([]calibrate.Journey, n)
	for i := range out {
		durationS := typicalS * math.Exp(math.Log(slowS/typicalS)/1.2815515655446004*r.NormFloat64())
		if r.Float64() < gross {
			durationS *= []float64{1.0 / 12, 12}[r.IntN(2)]
		}
		out[i] = calibrate.Journey{Row: i + 2, ID: fmt.Sprint(i), Stage: stage, StartedAt: noon, From: [2]float64{-29.4, 45.5}, DurationS: max(1, durationS)}
	}
	return out
}

// Source: the definition of an interval; order statistics hold at least their
// level, whatever the distribution.
func TestRecoversAllowances(t *testing.T) {
	const worlds, typicalS, slowS = 100, 200.0, 380.0
	settings := inForce(t)
	hits := map[string]int{}
	for seed := range worlds {
		journeys := timed("handover", rand.New(rand.NewPCG(uint64(seed), 12)), 120, typicalS, slowS, 0.05)
		for id, e := range estimates(calibrate.Calibrate(journeys, settings, nil, quick).Findings[0]) {
			if e.Interval.Has(map[string]float64{"handover typical_s": typicalS, "handover slow_s": slowS}[id]) {
				hits[id]++
			}
		}
	}
	for _, id := range []string{"handover typical_s", "handover slow_s"} {
		assert.GreaterOrEqual(t, hits[id], fewestHits(worlds), id)
	}
}

// The same journeys without the absurd ones, and with: no figure of the law
// moves by more than half its interval. Source: what a robust fit is.
func TestOutliersDoNotMoveTheFit(t *testing.T) {
	clean := truth
	clean.windingSD = 0.1
	settings := inForce(t)
	for seed := range 10 {
		journeys := clean.journeys(t, rand.New(rand.NewPCG(uint64(seed), 13)), 300)
		before := estimates(calibrate.Calibrate(journeys, settings, nil, quick).Findings[0])
		r := rand.New(rand.NewPCG(uint64(seed), 14))
		spoilt := 0
		for i := range journeys {
			if r.Float64() < 0.05 {
				journeys[i].DurationS = min(journeys[i].DurationS*20, 172800) // all the same way, which is worse
				spoilt++
			}
		}
		found := calibrate.Calibrate(journeys, settings, nil, quick).Findings[0]
		after := estimates(found)
		assert.GreaterOrEqual(t, len(found.OutOfLine), spoilt, "every one of them is named")
		assert.LessOrEqual(t, len(found.OutOfLine), spoilt+2)
		for _, id := range []string{"road_factor", "road_cruise_kmh", "road_acceleration_kmh_per_min", "slow_over_typical_at_10_min"} {
			b := before[id]
			assert.LessOrEqual(t, math.Abs(after[id].Fitted-b.Fitted), (*b.Interval.High-*b.Interval.Low)/2, id)
		}
	}
}

// Source: identity. Times that follow a law exactly give the law back.
func TestLawWithoutNoise(t *testing.T) {
	for _, want := range []road.Law{
		{CruiseMS: 84 * road.KilometrePerHour, AccelerationMS2: 36 * road.KilometrePerHourPerMinute},
		{CruiseMS: 100.7 * road.KilometrePerHour, AccelerationMS2: 41 * road.KilometrePerHourPerMinute},
		{CruiseMS: 40 * road.KilometrePerHour, AccelerationMS2: 300 * road.KilometrePerHourPerMinute},
		{CruiseMS: 130 * road.KilometrePerHour, AccelerationMS2: 10 * road.KilometrePerHourPerMinute},
	} {
		var metres, seconds []float64
		for i := range 200 {
			d := 500 * math.Exp(float64(i)/200*math.Log(200))
			s, err := want.Time(d)
			require.NoError(t, err)
			metres, seconds = append(metres, d), append(seconds, s)
		}
		got := calibrate.LawOf(metres, seconds)
		const tolerance = 1e-3 // a share of the figure
		assert.InEpsilon(t, want.CruiseMS, got.CruiseMS, tolerance)
		assert.InEpsilon(t, want.AccelerationMS2, got.AccelerationMS2, tolerance)
	}
}

// Source: definition. Many deviates of a known spread give its coefficient of
// variation back at every median.
func TestSpreadOfManyDeviates(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, want := range []road.Spread{
		{B0Min2: 0.336, B1Min: 0.000058, B2: 0.0388}, // Budge, Ingolfsson and Zerom 2010 (from memory)
		{B0Min2: 0, B1Min: 0.4, B2: 0},
		{B0Min2: 2, B1Min: 0, B2: 0.01},
		{B2: 0.05},
	} {
		var residuals, medians []float64
		for range 40000 {
			m := 60 * math.Exp(4*r.Float64())
			c, err := want.CoefficientOfVariation(m)
			require.NoError(t, err)
			residuals = append(residuals, math.Sqrt(math.Log1p(c*c))*r.NormFloat64())
			medians = append(medians, m)
		}
		got := calibrate.SpreadOf(residuals, medians)
		for _, m := range []float64{90, 300, 900, 2400} {
			a, err := want.CoefficientOfVariation(m)
			require.NoError(t, err)
			b, err := got.CoefficientOfVariation(m)
			require.NoError(t, err)
			const tolerance = 0.03 // a share of the coefficient: 40 000 deviates say it to 1 %
			assert.InEpsilon(t, a, b, tolerance, "%+v at %v s", want, m)
		}
	}
}
