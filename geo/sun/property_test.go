package sun_test

import (
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"surgeonward/geo/sun"
)

func instants() *rapid.Generator[time.Time] {
	return rapid.Custom(func(t *rapid.T) time.Time {
		first, last := date(1950, 1, 1).Unix(), date(2100, 1, 1).Unix()
		return time.Unix(rapid.Int64Range(first, last).Draw(t, "unix"), 0).UTC()
	})
}

func points() *rapid.Generator[orb.Point] {
	return rapid.Custom(func(t *rapid.T) orb.Point {
		return orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-89.5, 89.5).Draw(t, "lat")}
	})
}

// Identity: the antipode sees the Sun exactly as far below as we see it above.
func TestAntipodeMirrorsAltitude(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, at := points().Draw(t, "p"), instants().Draw(t, "at")
		const toleranceDeg = 1e-6
		assert.InDelta(t, -sun.Altitude(p, at), sun.Altitude(orb.Point{p.Lon() + 180, -p.Lat()}, at), toleranceDeg)
	})
}

// Identity: -180 and 180 degrees are one meridian, and whole turns change nothing.
func TestAntimeridian(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat, at := rapid.Float64Range(-90, 90).Draw(t, "lat"), instants().Draw(t, "at")
		const toleranceDeg = 1e-6
		east, west := orb.Point{180, lat}, orb.Point{-180, lat}
		assert.InDelta(t, sun.Altitude(east, at), sun.Altitude(west, at), toleranceDeg)
		assert.InDelta(t, sun.Altitude(orb.Point{0, lat}, at), sun.Altitude(orb.Point{720, lat}, at), toleranceDeg)

		// A step across the antimeridian moves the events by the step only.
		just := orb.Point{-179.99, lat}
		a, _, okA := sun.NextChange(east, at)
		b, _, okB := sun.NextChange(just, at)
		if math.Abs(lat) < 55 && okA && okB {
			const stepS, otherEventS = 0.01 * 240, 3600
			if d := math.Abs(a.Sub(b).Seconds()); d < otherEventS { // at can fall between the two
				assert.InDelta(t, 0, d, stepS+1)
			}
		}
	})
}

// Definition: half a year apart, north and south trade places; the orbit's
// eccentricity makes the declinations differ a little.
func TestHemispheresMirrorAfterHalfAYear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(0, 55).Draw(t, "lat")
		day := instants().Draw(t, "at").Truncate(24 * time.Hour)
		north := sun.Events(orb.Point{0, lat}, day)
		// The same declination with the other sign comes when the Sun's longitude
		// is 180 degrees on.
		other := day.Add(182 * 24 * time.Hour)
		for angle(sun.Apparent(day.Add(12*time.Hour)).LongitudeDeg+180-sun.Apparent(other.Add(12*time.Hour)).LongitudeDeg) > 0.5 {
			other = other.Add(24 * time.Hour)
		}
		for angle(sun.Apparent(day.Add(12*time.Hour)).LongitudeDeg+180-sun.Apparent(other.Add(12*time.Hour)).LongitudeDeg) < -0.5 {
			other = other.Add(-24 * time.Hour)
		}
		south := sun.Events(orb.Point{0, -lat}, other)
		const toleranceMin = 6 // half a degree of the Sun's path at 55 degrees of latitude
		assert.InDelta(t, north.Sunset.Sub(north.Sunrise).Minutes(), south.Sunset.Sub(south.Sunrise).Minutes(), toleranceMin)
		assert.InDelta(t, north.CivilDusk.Sub(north.CivilDawn).Minutes(), south.CivilDusk.Sub(south.CivilDawn).Minutes(), toleranceMin)
	})
}

func angle(deg float64) float64 { return math.Remainder(deg, 360) }

// Identity: at an event the Sun is at the event's altitude; dawn comes before
// sunrise and sunset before dusk when all four are in one day; between dawn and
// dusk it is day, outside it is night.
func TestEventsAgreeWithAltitude(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, day := points().Draw(t, "p"), instants().Draw(t, "day")
		e := sun.Events(p, day)
		const toleranceDeg = 1e-4
		for _, row := range []struct {
			at  time.Time
			alt float64
			up  bool
		}{
			{e.Sunrise, sun.HorizonDeg, true}, {e.Sunset, sun.HorizonDeg, false},
			{e.CivilDawn, sun.CivilDeg, true}, {e.CivilDusk, sun.CivilDeg, false},
		} {
			if row.at.IsZero() {
				continue
			}
			assert.InDelta(t, row.alt, sun.Altitude(p, row.at), toleranceDeg)
			assert.Equal(t, row.up, sun.Altitude(p, row.at) >= row.alt)
			assert.Equal(t, row.up, sun.Altitude(p, row.at.Add(-2*time.Millisecond)) < row.alt)
		}
		if e.Status == sun.Normal && math.Abs(p.Lat()) < 55 {
			for _, pair := range [][2]time.Time{{e.CivilDawn, e.Sunrise}, {e.Sunrise, e.Sunset}, {e.Sunset, e.CivilDusk}} {
				assert.True(t, pair[0].Before(pair[1]), "%+v", e)
			}
			const marginS = 20
			for fraction := 0.0; fraction <= 1; fraction += 0.125 {
				span := e.CivilDusk.Sub(e.CivilDawn) - 2*marginS*time.Second
				assert.False(t, sun.IsNight(p, e.CivilDawn.Add(marginS*time.Second+time.Duration(fraction*float64(span)))))
			}
			assert.True(t, sun.IsNight(p, e.CivilDawn.Add(-marginS*time.Second)))
			assert.True(t, sun.IsNight(p, e.CivilDusk.Add(marginS*time.Second)))
		}
	})
}

// Definition: the Sun rises all the way from sunrise to noon and falls to sunset.
func TestAltitudeHasOnePeakBetweenEvents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, day := points().Draw(t, "p"), instants().Draw(t, "day")
		e := sun.Events(p, day)
		if e.Status != sun.Normal || !e.Sunrise.Before(e.Sunset) {
			return
		}
		falling := false
		last := sun.Altitude(p, e.Sunrise)
		for at := e.Sunrise.Add(5 * time.Minute); at.Before(e.Sunset); at = at.Add(5 * time.Minute) {
			alt := sun.Altitude(p, at)
			if falling {
				assert.Less(t, alt, last)
			}
			falling = falling || alt < last
			last = alt
		}
		assert.True(t, falling || e.Sunset.Sub(e.Sunrise) < 10*time.Minute)
	})
}

// Definition: the instant found is the change, and nothing changes before it. The
// oracle steps minute by minute.
func TestNextChangeAgainstStepping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, from := points().Draw(t, "p"), instants().Draw(t, "from")
		now := sun.IsNight(p, from)
		at, toNight, ok := sun.NextChange(p, from)
		if ok {
			assert.True(t, at.After(from) && !at.After(from.Add(48*time.Hour)))
			assert.NotEqual(t, now, toNight)
			assert.Equal(t, toNight, sun.IsNight(p, at))
			assert.Equal(t, now, sun.IsNight(p, at.Add(-2*time.Millisecond)))
		}
		end := at
		if !ok {
			end = from.Add(48 * time.Hour)
		}
		for step := from; step.Before(end); step = step.Add(5 * time.Minute) {
			assert.Equal(t, now, sun.IsNight(p, step), "changed before %s, at %s", at, step)
		}
	})
}

// Identity: one day's dusk is found from anywhere in the daylight before it.
func TestNextChangeAgreesWithEvents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, day := points().Draw(t, "p"), instants().Draw(t, "day")
		e := sun.Events(p, day)
		if e.CivilDawn.IsZero() || !e.CivilDawn.Before(e.CivilDusk) {
			return
		}
		at, toNight, ok := sun.NextChange(p, e.CivilDawn.Add(time.Minute))
		if !ok || e.CivilDusk.Sub(e.CivilDawn) < 2*time.Minute {
			return
		}
		assert.True(t, toNight)
		assert.InDelta(t, 0, at.Sub(e.CivilDusk).Seconds(), 0.1)
	})
}

// Definition: half the year at a pole is without night but for twilight, and the
// Sun's altitude is its declination.
func TestPoles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := instants().Draw(t, "at")
		dec := sun.Apparent(at).DeclinationDeg
		const toleranceDeg = 1e-9
		assert.InDelta(t, dec, sun.Altitude(orb.Point{12, 90}, at), toleranceDeg)
		assert.InDelta(t, -dec, sun.Altitude(orb.Point{-77, -90}, at), toleranceDeg)
		assert.Equal(t, dec < sun.CivilDeg, sun.IsNight(orb.Point{0, 90}, at))
		e := sun.Events(orb.Point{0, 90}, at)
		assert.NotEqual(t, sun.Undefined, e.Status)
	})
}
