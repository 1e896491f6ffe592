package sun

import (
	"math"
	"time"

	"github.com/paulmach/orb"
)

const day = 24 * time.Hour

// Status says which of the Sun's events a day has.
type Status string

const (
	// Normal: the Sun rises and sets and there is night.
	Normal Status = "normal"
	// NoCivilNight: the Sun sets but does not go 6 degrees below the horizon.
	NoCivilNight Status = "no_civil_night"
	// PolarDay: the Sun is up all day.
	PolarDay Status = "polar_day"
	// PolarNight: the Sun does not rise, but there is civil twilight.
	PolarNight Status = "polar_night"
	// PolarNightNoCivil: the Sun stays more than 6 degrees below the horizon.
	PolarNightNoCivil Status = "polar_night_no_civil"
	// Undefined: the point is not on the Earth.
	Undefined Status = "undefined"
)

// Day holds the Sun's events at one place in one local mean solar day, in UTC.
// The zero time stands for an event that does not occur. Should an event occur
// twice in the day, as sunset can at the end of polar day, it is the first.
type Day struct {
	Sunrise   time.Time // upper limb appears
	Sunset    time.Time // upper limb disappears
	CivilDawn time.Time // night ends
	CivilDusk time.Time // night begins
	Status    Status
}

// Events returns the Sun's events at p for the day that date shows in its own
// time zone. The day meant is the local mean solar one: it starts at 0h UTC less
// four minutes for every degree of east longitude and lasts 24 hours, so that
// events can fall on the UTC date before or after. Longitudes are taken as
// between -180 and 180.
func Events(p orb.Point, date time.Time) Day {
	if !onEarth(p) {
		return Day{Status: Undefined}
	}
	const perDegree = 4 * time.Minute
	offset := time.Duration(math.Round(signed(p.Lon()) * float64(perDegree)))
	year, month, dayOfMonth := date.Date()
	start := time.Date(year, month, dayOfMonth, 0, 0, 0, 0, time.UTC).Add(-offset)
	course := dayPath(p, start)

	d := Day{Status: status(course.lowest(), course.highest())}
	d.Sunrise, d.Sunset = first(course.crossings(HorizonDeg))
	d.CivilDawn, d.CivilDusk = first(course.crossings(CivilDeg))
	return d
}

func status(lowestDeg, highestDeg float64) Status {
	switch {
	case lowestDeg >= HorizonDeg:
		return PolarDay
	case highestDeg < CivilDeg:
		return PolarNightNoCivil
	case highestDeg < HorizonDeg:
		return PolarNight
	case lowestDeg >= CivilDeg:
		return NoCivilNight
	default:
		return Normal
	}
}

// first picks the first passage upwards and the first downwards.
func first(cs []crossing) (up, down time.Time) {
	for _, c := range cs {
		switch {
		case c.rising && up.IsZero():
			up = c.at
		case !c.rising && down.IsZero():
			down = c.at
		}
	}
	return up, down
}

// NextChange returns the first instant after t at which night begins (toNight)
// or ends at p, to the millisecond: IsNight(p, at) equals toNight and did not a
// millisecond before. ok is false when neither happens within 48 hours, as in
// polar day and polar night, and for a point that is not on the Earth.
func NextChange(p orb.Point, t time.Time) (at time.Time, toNight, ok bool) {
	// A day at a time: away from the polar circles the first holds the answer.
	for _, start := range []time.Time{t.UTC(), t.UTC().Add(day)} {
		if found := dayPath(p, start).crossings(CivilDeg); len(found) > 0 {
			return found[0].at, !found[0].rising, true
		}
	}
	return time.Time{}, false, false
}
