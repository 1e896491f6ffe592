package wind_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/geo/wind"
)

const kt = geo.Knot

// A row gives the published answer, rounded as printed, beside the exact one
// computed from the published inputs. A source marked "from memory" was not seen
// again when the row was written.
type row struct {
	name, source                string
	trackDeg, tasKt             float64
	fromDeg, speedKt            float64
	printedHeadingDeg           float64
	printedGroundSpeedKt        float64
	headingDeg, correctionDeg   float64
	groundSpeedKt               float64
	headingRounding, speedRound float64 // how far the printed answer may be off: rounding or graphical work
}

func TestTriangle(t *testing.T) {
	const ppl = "ppl-monkey.com, Worked Examples - Wind Correction"
	for _, r := range []row{
		{
			name:     "east in a north-easter",
			source:   "FAA-H-8083-25, Navigation chapter, wind triangle from E to P; the numbers from memory",
			trackDeg: 90, tasKt: 120, fromDeg: 45, speedKt: 40,
			printedHeadingDeg: 76, printedGroundSpeedKt: 88, headingRounding: 0.5, speedRound: 0.5,
			headingDeg: 76.3670, correctionDeg: -13.6330, groundSpeedKt: 88.3348,
		},
		{
			name:     "heading given, course found",
			source:   "TM 1-900, Mathematics for Air Crew Trainees, p. 73, exercise (2): course 304, ground speed 153",
			trackDeg: 303.6901, tasKt: 150, fromDeg: 45, speedKt: 30,
			printedHeadingDeg: 315, printedGroundSpeedKt: 153, headingRounding: 0.0005, speedRound: 0.5,
			headingDeg: 315, correctionDeg: 11.3099, groundSpeedKt: 152.9706,
		},
		{
			name:     "wind from heading and track",
			source:   "computer handbook, Smithsonian transcription 19964, example 16 (graphical): heading 104, ground speed 146",
			trackDeg: 94, tasKt: 165, fromDeg: 154.0734, speedKt: 33.0600,
			printedHeadingDeg: 104, printedGroundSpeedKt: 146, headingRounding: 0.001, speedRound: 0.001,
			headingDeg: 104, correctionDeg: 10, groundSpeedKt: 146,
		},
		{
			name:     "same, with the wind as printed",
			source:   "same, example 16: wind from 154 at 34 kt read off the instrument",
			trackDeg: 94, tasKt: 165, fromDeg: 154, speedKt: 34,
			printedHeadingDeg: 104, printedGroundSpeedKt: 146, headingRounding: 1, speedRound: 1,
			headingDeg: 104.2797, correctionDeg: 10.2797, groundSpeedKt: 145.3515,
		},
		{
			name:     "helicopter, heading given, track found",
			source:   "atplquestions.com, ATPL(H) General Navigation: track 262, ground speed 182",
			trackDeg: 261.8766, tasKt: 163, fromDeg: 130, speedKt: 30,
			printedHeadingDeg: 254, printedGroundSpeedKt: 182, headingRounding: 0.0005, speedRound: 0.52,
			headingDeg: 254, correctionDeg: -7.8766, groundSpeedKt: 181.4880,
		},
		{
			name: "straight against", source: ppl + ", exercise 1",
			trackDeg: 180, tasKt: 100, fromDeg: 180, speedKt: 20,
			printedHeadingDeg: 180, printedGroundSpeedKt: 80, headingRounding: 0.0005, speedRound: 0.0005,
			headingDeg: 180, correctionDeg: 0, groundSpeedKt: 80,
		},
		{
			name: "straight across", source: ppl + ", exercise 2: 14.5 left",
			trackDeg: 270, tasKt: 120, fromDeg: 180, speedKt: 30,
			printedHeadingDeg: 255.5, printedGroundSpeedKt: 116, headingRounding: 0.05, speedRound: 0.5,
			headingDeg: 255.5225, correctionDeg: -14.4775, groundSpeedKt: 116.1895,
		},
		{
			name: "quartering", source: ppl + ", exercise 3: 9.3 right",
			trackDeg: 45, tasKt: 110, fromDeg: 90, speedKt: 25,
			printedHeadingDeg: 54, printedGroundSpeedKt: 91, headingRounding: 0.5, speedRound: 0.5,
			headingDeg: 54.2479, correctionDeg: 9.2479, groundSpeedKt: 90.8926,
		},
		{
			name: "straight behind", source: ppl + ", exercise 4: heading 360",
			trackDeg: 360, tasKt: 80, fromDeg: 180, speedKt: 15,
			printedHeadingDeg: 0, printedGroundSpeedKt: 95, headingRounding: 0.0005, speedRound: 0.0005,
			headingDeg: 0, correctionDeg: 0, groundSpeedKt: 95,
		},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := wind.Triangle(r.trackDeg, r.tasKt*kt, wind.Wind{FromDeg: r.fromDeg, SpeedMS: r.speedKt * kt})
			require.NoError(t, err)
			const toleranceDeg, toleranceKt = 0.0001, 0.0001
			around := func(deg float64) float64 { return math.Remainder(deg, 360) }
			assert.InDelta(t, 0, around(got.HeadingDeg-r.printedHeadingDeg), r.headingRounding, r.source)
			assert.InDelta(t, r.printedGroundSpeedKt, got.GroundSpeedMS/kt, r.speedRound, r.source)
			assert.InDelta(t, 0, around(got.HeadingDeg-r.headingDeg), toleranceDeg, r.source)
			assert.InDelta(t, r.correctionDeg, got.CorrectionDeg, toleranceDeg, r.source)
			assert.InDelta(t, r.groundSpeedKt, got.GroundSpeedMS/kt, toleranceKt, r.source)
		})
	}
}

func TestTimeOfTheTextbookFlight(t *testing.T) {
	const source = "FAA-H-8083-25, Navigation chapter: 220 NM take 2.5 h; exact 2.4905 h (from memory)"
	got, err := wind.Triangle(90, 120*kt, wind.Wind{FromDeg: 45, SpeedMS: 40 * kt})
	require.NoError(t, err)
	assert.InDelta(t, 2.4905, 220*geo.NauticalMile/got.GroundSpeedMS/3600, 0.0001, source)
}

// The heading is the course with the correction applied toward the wind.
func TestSignOfTheCorrection(t *testing.T) {
	for _, r := range []struct {
		name, source                            string
		trackDeg, correctionDeg, wantHeadingDeg float64
	}{
		{"drift 14 left is corrected to the right", "TM 1-900, p. 73, fig. 55: heading 56, drift 14 left, course 42", 42, 14, 56},
		{"correction +8", "Smithsonian transcription 19964, example 15: course 236, +8, heading 244", 236, 8, 244},
	} {
		t.Run(r.name, func(t *testing.T) {
			// A wind straight across from the right that needs this correction.
			speed := 100 * math.Sin(r.correctionDeg*math.Pi/180)
			got, err := wind.Triangle(r.trackDeg, 100, wind.Wind{FromDeg: r.trackDeg + 90, SpeedMS: speed})
			require.NoError(t, err)
			const toleranceDeg = 1e-9
			assert.InDelta(t, r.correctionDeg, got.CorrectionDeg, toleranceDeg, r.source)
			assert.InDelta(t, r.wantHeadingDeg, got.HeadingDeg, toleranceDeg, r.source)
			assert.InDelta(t, speed, got.CrossWindMS, 1e-9, r.source)
		})
	}
}

func TestUnsolvable(t *testing.T) {
	for _, r := range []struct {
		name, source, says string
		fromDeg, speedMS   float64
	}{
		{"more across than airspeed", "definition: w |sin a| > tas", "cannot be held", 90, 51},
		{"as much against as airspeed", "definition: ground speed 0", "no headway", 0, 50},
		{"more against than airspeed", "definition: ground speed below 0", "no headway", 0, 80},
		{"blown back at a slant", "definition: ground speed below 0", "no headway", 30, 70},
		{"across exactly as the airspeed", "definition: ground speed 0 (rounding may leave a trace)", "", 90, 50},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := wind.Triangle(0, 50, wind.Wind{FromDeg: r.fromDeg, SpeedMS: r.speedMS})
			if r.says == "" {
				assert.LessOrEqual(t, got.GroundSpeedMS, 1e-12, r.source)
				return
			}
			var unsolvable *wind.UnsolvableError
			require.ErrorAs(t, err, &unsolvable, r.source)
			assert.Contains(t, err.Error(), r.says, r.source)
			assert.Equal(t, 50.0, unsolvable.AirspeedMS)
			assert.InDelta(t, r.speedMS*math.Sin(r.fromDeg*math.Pi/180), unsolvable.CrossWindMS, 1e-9)
			assert.InDelta(t, r.speedMS*math.Cos(r.fromDeg*math.Pi/180), unsolvable.HeadWindMS, 1e-9)
			assert.Zero(t, got)
		})
	}
}

func TestTailWindBeyondAirspeedIsSolvable(t *testing.T) {
	const source = "definition: only the part across has to be below the airspeed"
	got, err := wind.Triangle(0, 50, wind.Wind{FromDeg: 180, SpeedMS: 80})
	require.NoError(t, err)
	assert.InDelta(t, 130, got.GroundSpeedMS, 1e-9, source)
}

func TestAllFaultsAtOnce(t *testing.T) {
	_, err := wind.Triangle(math.NaN(), -1, wind.Wind{FromDeg: math.Inf(1), SpeedMS: 201, GustMS: math.NaN()})
	require.Error(t, err)
	for _, says := range []string{"track NaN", "true airspeed -1 m/s", "wind direction +Inf", "wind speed 201 m/s", "gust NaN"} {
		assert.Contains(t, err.Error(), says)
	}
	_, err = wind.Triangle(0, 0, wind.Wind{})
	assert.ErrorContains(t, err, "above 0")
	_, err = wind.Triangle(0, 50, wind.Wind{SpeedMS: 12, GustMS: 11})
	assert.ErrorContains(t, err, "gust 11 m/s is below the mean wind speed 12 m/s")
}
