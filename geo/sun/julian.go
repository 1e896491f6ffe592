package sun

import "time"

const (
	secondsPerDay = 86400
	// julianUnixEpoch is the Julian day of 1970 January 1, 0h UT.
	julianUnixEpoch = 2440587.5
	// julianJ2000 is the Julian day of the epoch J2000.0, 2000 January 1, 12h.
	julianJ2000 = 2451545.0
	// daysPerCentury is the length of a Julian century.
	daysPerCentury = 36525
)

// JulianDay returns the Julian day of t: days and fraction since noon UT on
// 1 January 4713 BC of the Julian calendar. A float64 resolves about 40
// microseconds in it. Meeus, chapter 7.
func JulianDay(t time.Time) float64 {
	return daysSinceJ2000(t) + julianJ2000
}

// daysSinceJ2000 keeps more digits than a Julian day: it resolves about a
// microsecond within a few decades of J2000.0.
func daysSinceJ2000(t time.Time) float64 {
	const j2000 = (julianJ2000 - julianUnixEpoch) * secondsPerDay // Unix seconds, exact
	return (float64(t.Unix()-int64(j2000)) + float64(t.Nanosecond())*1e-9) / secondsPerDay
}
