package sun

import (
	"math"
	"time"

	"github.com/paulmach/orb"
)

const (
	// HorizonDeg is the altitude of the Sun's centre at sunrise and sunset: the
	// upper limb on the horizon with mean refraction of 34' and a semidiameter
	// of 16'. US Naval Observatory, "Rise, Set, and Twilight Definitions".
	HorizonDeg = -50.0 / 60
	// CivilDeg is the altitude of the Sun's centre where civil twilight and
	// night meet. US Naval Observatory, same page.
	CivilDeg = -6.0
)

// Altitude returns the height of the Sun's centre above the horizon at p and t
// in degrees, -90 to 90: geometric, without refraction. Error at most 0.02
// degree. It is NaN for a point that is not on the Earth.
func Altitude(p orb.Point, t time.Time) float64 {
	if !onEarth(p) {
		return math.NaN()
	}
	d := daysSinceJ2000(t)
	s := apparent(d)
	hourAngle := radians(signed(sidereal(d, s) + p.Lon() - s.RightAscensionDeg))
	sinLat, cosLat := math.Sincos(radians(p.Lat()))
	sinDec, cosDec := math.Sincos(radians(s.DeclinationDeg))
	sinAlt := sinLat*sinDec + cosLat*cosDec*math.Cos(hourAngle)
	// Rounding can carry the sine past 1 by a bit when the Sun is overhead.
	return degrees(math.Asin(max(-1, min(1, sinAlt))))
}

// IsNight reports whether it is night at p and t: between the end of evening
// civil twilight and the beginning of morning civil twilight, which is when the
// Sun's centre is more than 6 degrees below the horizon. The definition is that
// of ICAO Annex 2, of the European rules of the air and of 14 CFR 1.1; the
// altitude form of it also holds through polar day and polar night. A point that
// is not on the Earth is in the night, so that a fault leads to the stricter rule.
func IsNight(p orb.Point, t time.Time) bool {
	return !(Altitude(p, t) >= CivilDeg) // also true of NaN
}

func onEarth(p orb.Point) bool {
	return math.Abs(p.Lat()) <= 90 && !math.IsNaN(p.Lon()) && !math.IsInf(p.Lon(), 0)
}
