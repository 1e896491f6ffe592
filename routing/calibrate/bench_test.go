package calibrate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/calibrate"
)

func benchJourneys(t testing.TB, n int) []calibrate.Journey {
	w := truth
	w.windingSD, w.gross = 0.1, 0.05
	return w.journeys(t, rand.New(rand.NewPCG(1, 30)), n)
}

// The checksum is the fitted cruise speed, to a tenth of km/h.
func BenchmarkCalibrate(b *testing.B) {
	journeys, settings := benchJourneys(b, 1000), inForce(b)
	b.ReportAllocs()
	sum := 0.0
	for b.Loop() {
		result := calibrate.Calibrate(journeys, settings, nil, calibrate.Options{})
		sum = result.Patch.Road.CruiseKMH
	}
	b.ReportMetric(math.Round(sum*10)/10, "checksum")
}

// The interval by replicates that start from the fit, and by replicates fitted
// from scratch; the checksum is its upper end.
func BenchmarkBootstrap(b *testing.B) {
	journeys := benchJourneys(b, 500)
	for name, plainly := range map[string]bool{"from the fit": false, "from scratch": true} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			high := 0.0
			for b.Loop() {
				high = *calibrate.Bootstrap(journeys, 100, plainly).High
			}
			b.ReportMetric(math.Round(high*10)/10, "checksum")
		})
	}
}

// Both ways of the benchmark give the same interval but for chance.
func TestBootstrapAgainstScratch(t *testing.T) {
	journeys := benchJourneys(t, 150)
	quickly, plainly := calibrate.Bootstrap(journeys, 200, false), calibrate.Bootstrap(journeys, 200, true)
	width := *plainly.High - *plainly.Low
	const tolerance = 0.2 // of the width: the ends of 200 replicates are that sure
	assert.InDelta(t, *plainly.Low, *quickly.Low, tolerance*width)
	assert.InDelta(t, *plainly.High, *quickly.High, tolerance*width)
}

func BenchmarkDecode(b *testing.B) {
	text := []byte(encode(benchJourneys(b, 10000)))
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		journeys, faults := calibrate.Decode(text)
		require.Empty(b, faults)
		n = len(journeys)
	}
	b.ReportMetric(float64(n), "checksum")
}
