package sun

import (
	"math"
	"time"
)

// Position is the Sun's apparent place as seen from the centre of the Earth,
// referred to the true equinox of date.
type Position struct {
	RightAscensionDeg float64 // 0 to 360
	DeclinationDeg    float64 // north positive
	LongitudeDeg      float64 // apparent ecliptic longitude, 0 to 360
	DistanceAU        float64 // astronomical units
}

// Apparent returns the Sun's apparent place at t. Error at most 0.01 degree.
// Meeus, chapter 25, "low accuracy".
func Apparent(t time.Time) Position {
	return apparent(daysSinceJ2000(t)).Position
}

// EquationOfTime returns apparent minus mean solar time at t: positive when a
// sundial is ahead of the clock, within about 16.5 minutes either way. Error at
// most 3 s. Meeus, formula 28.1.
func EquationOfTime(t time.Time) time.Duration {
	s := apparent(daysSinceJ2000(t))
	// 0.0057183 degree is the aberration in longitude.
	e := s.meanLongitude - 0.0057183 - s.RightAscensionDeg + s.nutation*cosDeg(s.obliquity)
	const minutesPerDegree = 4
	return time.Duration(math.Round(signed(e) * minutesPerDegree * float64(time.Minute)))
}

// SiderealDeg returns the apparent sidereal time at Greenwich at t in degrees,
// 0 to 360. Error about 0.001 degree, from the shortened nutation. Meeus,
// formula 12.4.
func SiderealDeg(t time.Time) float64 {
	d := daysSinceJ2000(t)
	return sidereal(d, apparent(d))
}

// place is the Sun's apparent place with the intermediate values that other
// formulas need, all in degrees and named as in Meeus, chapter 25.
type place struct {
	Position
	meanLongitude float64 // L0
	meanAnomaly   float64 // M
	eccentricity  float64 // e, no unit
	centre        float64 // C, equation of the centre
	trueLongitude float64 // not corrected for nutation and aberration
	nutation      float64 // main term of the nutation in longitude
	obliquity     float64 // of the ecliptic, corrected for the main nutation term
}

// apparent computes the Sun's place d days after J2000.0.
func apparent(d float64) place {
	c := d / daysPerCentury
	var s place
	s.meanLongitude = unsigned(280.46646 + c*(36000.76983+c*0.0003032))
	s.meanAnomaly = unsigned(357.52911 + c*(35999.05029-c*0.0001537))
	s.eccentricity = 0.016708634 - c*(0.000042037+c*0.0000001267)
	s.centre = (1.914602-c*(0.004817+c*0.000014))*sinDeg(s.meanAnomaly) +
		(0.019993-c*0.000101)*sinDeg(2*s.meanAnomaly) +
		0.000289*sinDeg(3*s.meanAnomaly)
	s.trueLongitude = s.meanLongitude + s.centre
	s.DistanceAU = 1.000001018 * (1 - s.eccentricity*s.eccentricity) /
		(1 + s.eccentricity*cosDeg(s.meanAnomaly+s.centre))

	node := 125.04 - 1934.136*c // longitude of the Moon's ascending node
	s.nutation = -0.00478 * sinDeg(node)
	s.LongitudeDeg = unsigned(s.trueLongitude - 0.00569 + s.nutation)
	s.obliquity = meanObliquity(c) + 0.00256*cosDeg(node)

	sinLon, cosLon := math.Sincos(radians(s.LongitudeDeg))
	sinObl, cosObl := math.Sincos(radians(s.obliquity))
	s.RightAscensionDeg = unsigned(degrees(math.Atan2(cosObl*sinLon, cosLon)))
	s.DeclinationDeg = degrees(math.Asin(sinObl * sinLon))
	return s
}

// meanObliquity is the mean obliquity of the ecliptic in degrees, c Julian
// centuries after J2000.0. Meeus, formula 22.2.
func meanObliquity(c float64) float64 {
	const arcsec = 1.0 / 3600
	return 23 + 26.0/60 + arcsec*(21.448-c*(46.8150+c*(0.00059-c*0.001813)))
}

// sidereal is the apparent sidereal time at Greenwich in degrees d days after
// J2000.0: the mean time of Meeus, formula 12.4, and the equation of the
// equinoxes.
func sidereal(d float64, s place) float64 {
	return unsigned(meanSidereal(d) + s.nutation*cosDeg(s.obliquity))
}

// meanSidereal is the mean sidereal time at Greenwich in degrees, not reduced.
func meanSidereal(d float64) float64 {
	c := d / daysPerCentury
	// Whole turns are dropped from the daily term first, so that no digits are
	// lost to them.
	turn := 360 * math.Mod(d, 1)
	return 280.46061837 + turn + 0.98564736629*d + c*c*(0.000387933-c/38710000)
}
