package calibrate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing/calibrate"
	"surgeonward/routing/road"
)

// world makes road journeys in an invented region whose figures are known.
type world struct {
	factor      float64
	law         road.Law
	windingSD   float64 // of the logarithm of driven over great circle x factor
	gross       float64 // share of journeys that a wrong clock makes absurd, half of them each way
	withDriven  bool
	leastM      float64
	mostM       float64
	area, asset string
}

var truth = world{
	factor: 1.34,
	law: road.Law{
		CruiseMS:        84 * road.KilometrePerHour,
		AccelerationMS2: 36 * road.KilometrePerHourPerMinute,
		Spread:          road.Spread{B0Min2: 0.5, B1Min: 0.01, B2: 0.03},
	},
	withDriven: true, leastM: 700, mostM: 60000,
	area: "north", asset: "amb-1",
}

// noon is by day everywhere near the demonstration region.
var noon = time.Date(2031, 3, 14, 14, 0, 0, 0, time.UTC)

// lognormal is a factor of median 1 that 9 in 10 draws stay under slow.
func (w world) lognormal(r *rand.Rand, medianS float64) float64 {
	c, err := w.law.Spread.CoefficientOfVariation(medianS)
	if err != nil {
		panic(err)
	}
	return math.Exp(math.Sqrt(math.Log1p(c*c)) * r.NormFloat64())
}

// journeys draws n journeys: great circles evenly in the logarithm.
func (w world) journeys(t testing.TB, r *rand.Rand, n int) []calibrate.Journey {
	t.Helper()
	out := make([]calibrate.Journey, n)
	for i := range out {
		from := orb.Point{-29.6 + 0.3*r.Float64(), 45.3 + 0.3*r.Float64()}
		directM := math.Exp(math.Log(w.leastM) + r.Float64()*math.Log(w.mostM/w.leastM))
		to := geo.Destination(from, 360*r.Float64(), directM)
		drivenM := directM * w.factor * math.Exp(w.windingSD*r.NormFloat64())
		medianS, err := w.law.Time(drivenM)
		require.NoError(t, err)
		durationS := medianS * w.lognormal(r, medianS)
		if r.Float64() < w.gross {
			by := 6 + 14*r.Float64()
			if r.IntN(2) == 0 {
				by = 1 / by
			}
			durationS *= by
		}
		out[i] = calibrate.Journey{
			Row: i + 2, ID: fmt.Sprintf("j%d", i), Stage: calibrate.TravelRoad, Area: w.area, Asset: w.asset,
			StartedAt: noon.Add(time.Duration(i) * 24 * time.Hour), DurationS: max(1, durationS), From: from, To: to,
		}
		if w.withDriven {
			out[i].DrivenM = drivenM
		}
	}
	return out
}
