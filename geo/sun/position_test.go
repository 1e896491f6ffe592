package sun_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"surgeonward/geo/sun"
)

// date takes a day with a fraction, as almanacs print it.
func date(year int, month time.Month, day float64) time.Time {
	whole, fraction := math.Modf(day)
	return time.Date(year, month, int(whole), 0, 0, 0, 0, time.UTC).
		Add(time.Duration(math.Round(fraction * 86400 * 1e9)))
}

func TestJulianDay(t *testing.T) {
	const list = "Meeus, Astronomical Algorithms, 2nd ed., p. 62"
	for _, row := range []struct {
		name, source string
		at           time.Time
		want         float64
	}{
		{"first artificial satellite", "Meeus, 2nd ed., example 7.a, p. 61", date(1957, 10, 4.81), 2436116.31},
		{"year 333", "Meeus, 2nd ed., example 7.b: January 27.5 of the Julian calendar, one day later in the Gregorian", date(333, 1, 28.5), 1842713.0},
		{"J2000.0", list, date(2000, 1, 1.5), 2451545.0},
		{"1999", list, date(1999, 1, 1), 2451179.5},
		{"1987 January", list, date(1987, 1, 27), 2446822.5},
		{"1987 June", list, date(1987, 6, 19.5), 2446966.0},
		{"1988 January, leap year", list, date(1988, 1, 27), 2447187.5},
		{"1988 June, leap year", list, date(1988, 6, 19.5), 2447332.0},
		{"1900, no leap year", list, date(1900, 1, 1), 2415020.5},
		{"1600, leap year", list, date(1600, 1, 1), 2305447.5},
		{"1600, last day", list, date(1600, 12, 31), 2305812.5},
	} {
		t.Run(row.name, func(t *testing.T) {
			const toleranceDays = 1e-9
			assert.InDelta(t, row.want, sun.JulianDay(row.at), toleranceDays, row.source)
		})
	}
	const source = "Meeus, 2nd ed., example 7.c, p. 64: two returns of a comet, 27689 days apart"
	assert.Equal(t, 27689.0, sun.JulianDay(date(1986, 2, 9))-sun.JulianDay(date(1910, 4, 20)), source)
}

func TestApparentAgainstFullTheory(t *testing.T) {
	const source = "Meeus, 2nd ed., example 25.b, p. 169: complete VSOP87, RA 13h13m30.749s, dec -7d47'01.74\""
	const toleranceDeg = 0.01 // the accuracy that the book states for the short method
	got := sun.Apparent(date(1992, 10, 13))
	assert.InDelta(t, (13+13.0/60+30.749/3600)*15, got.RightAscensionDeg, toleranceDeg, source)
	assert.InDelta(t, -(7 + 47.0/60 + 1.74/3600), got.DeclinationDeg, toleranceDeg, source)
}

func TestApparentSiderealTime(t *testing.T) {
	const source = "Meeus, 2nd ed., example 12.a, p. 88: apparent sidereal time 13h10m46.1351s"
	const toleranceDeg = 0.001 // 0.24 s; the nutation here has one term
	assert.InDelta(t, (13+10.0/60+46.1351/3600)*15, sun.SiderealDeg(date(1987, 4, 10)), toleranceDeg, source)
}

func TestEquationOfTime(t *testing.T) {
	const toleranceS = 3 // 0.01 degree of the Sun's path is 2.4 s
	const source = "Meeus, 2nd ed., example 28.a, p. 184: +13m42.6s; example 28.b, p. 185: +13m42.7s"
	assert.InDelta(t, 13*60+42.6, sun.EquationOfTime(date(1992, 10, 13)).Seconds(), toleranceS, source)
}

// shortFormula is the two-line approximation of the US National Oceanic and
// Atmospheric Administration: independent coefficients, much coarser.
func shortFormula(t time.Time) (equationOfTimeMin, declinationDeg float64) {
	days := 365.0
	if y := t.Year(); y%4 == 0 && (y%100 != 0 || y%400 == 0) {
		days = 366
	}
	hour := float64(t.Hour()) + float64(t.Minute())/60
	g := 2 * math.Pi / days * (float64(t.YearDay()) - 1 + (hour-12)/24)
	equationOfTimeMin = 229.18 * (0.000075 + 0.001868*math.Cos(g) - 0.032077*math.Sin(g) -
		0.014615*math.Cos(2*g) - 0.040849*math.Sin(2*g))
	declinationDeg = (0.006918 - 0.399912*math.Cos(g) + 0.070257*math.Sin(g) - 0.006758*math.Cos(2*g) +
		0.000907*math.Sin(2*g) - 0.002697*math.Cos(3*g) + 0.00148*math.Sin(3*g)) * 180 / math.Pi
	return equationOfTimeMin, declinationDeg
}

func TestAgainstShortFormulaThroughTheYears(t *testing.T) {
	const source = "NOAA, General Solar Position Calculations"
	// Its calendar year of 365 or 366 days slips by up to a day (0.4 degree, 0.5
	// min) against the Sun, and the series itself is good to 35 s and 0.03 degree
	// (Spencer 1971, from memory); the rest is change since then.
	const toleranceMin, toleranceDeg = 1.2, 0.6
	for at := date(2020, 1, 1); at.Year() < 2032; at = at.Add(97 * time.Hour) {
		eot, dec := shortFormula(at)
		assert.InDelta(t, eot, sun.EquationOfTime(at).Minutes(), toleranceMin, "%s, %s", source, at)
		assert.InDelta(t, dec, sun.Apparent(at).DeclinationDeg, toleranceDeg, "%s, %s", source, at)
	}
}
