package sun

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The intermediate values of the book's worked example are checked one by one, so
// that a slip in a coefficient shows where it is.
func TestSunInTheBooksExample(t *testing.T) {
	const source = "Meeus, Astronomical Algorithms, 2nd ed., example 25.a, p. 165 (1992 October 13.0 TD)"
	s := apparent(2448908.5 - julianJ2000)
	assert.InDelta(t, -0.072183436, (2448908.5-julianJ2000)/daysPerCentury, 5e-10, source)
	for _, row := range []struct {
		name         string
		want, got    float64
		toleranceDeg float64
	}{
		{"L0", 201.80720, s.meanLongitude, 0.5e-5},
		{"M", 278.99397, s.meanAnomaly, 0.5e-5},
		{"C", -1.89732, s.centre, 0.5e-5},
		{"true longitude", 199.90987, s.trueLongitude, 1e-5}, // the book adds rounded terms
		{"apparent longitude", 199.90895, s.LongitudeDeg, 1e-5},
		{"obliquity, corrected", 23.43999, s.obliquity, 0.5e-5},
		{"mean obliquity", 23.44023, meanObliquity(-0.072183436), 0.5e-5},
		{"right ascension", 198.38083, s.RightAscensionDeg, 1e-5},
		{"declination", -7.78507, s.DeclinationDeg, 1e-5},
	} {
		assert.InDelta(t, row.want, row.got, row.toleranceDeg, "%s: %s", source, row.name)
	}
	assert.InDelta(t, 0.016711668, s.eccentricity, 0.5e-9, "%s: e", source)
	assert.InDelta(t, 0.99766, s.DistanceAU, 0.5e-5, "%s: R", source)
}

func TestMeanSiderealTime(t *testing.T) {
	for _, row := range []struct {
		name, source string
		julianDay    float64
		h, m, s      float64
	}{
		{"at 0h", "Meeus, Astronomical Algorithms, 2nd ed., example 12.a, p. 88", 2446895.5, 13, 10, 46.3668},
		{"at 19h21m", "same, example 12.b (1987 April 10, 19:21 UT)", 2446895.5 + (19+21.0/60)/24, 8, 34, 57.0896},
	} {
		t.Run(row.name, func(t *testing.T) {
			const degreesPerHour, toleranceS = 15, 0.0002
			wantS := row.h*3600 + row.m*60 + row.s
			gotS := unsigned(meanSidereal(row.julianDay-julianJ2000)) / degreesPerHour * 3600
			assert.InDelta(t, wantS, gotS, toleranceS, row.source)
		})
	}
}
