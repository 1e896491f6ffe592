package sun_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo/sun"
)

// toleranceS is how far an event may be from the reference table, in seconds.
const toleranceS = 20

type referenceRow struct {
	name                                  string
	point                                 orb.Point
	date                                  time.Time
	sunrise, sunset, civilDawn, civilDusk time.Time
	highestDeg, lowestDeg                 float64
	status                                sun.Status
}

// reference reads the table in the repository; its first lines say how it was
// made.
func reference(t *testing.T) []referenceRow {
	t.Helper()
	file, err := os.Open("../../testdata/reference/sun_reference.csv")
	require.NoError(t, err)
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	records, err := reader.ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"name", "lat", "lon", "date", "sunrise_utc", "sunset_utc", "civil_dawn_utc",
		"civil_dusk_utc", "max_alt_deg", "min_alt_deg", "status"}, records[0])

	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return x
	}
	instant := func(s string) time.Time {
		if s == "" {
			return time.Time{}
		}
		at, err := time.Parse(time.RFC3339, s)
		require.NoError(t, err)
		return at
	}
	var rows []referenceRow
	for _, r := range records[1:] {
		day, err := time.Parse(time.DateOnly, r[3])
		require.NoError(t, err)
		rows = append(rows, referenceRow{
			name: r[0] + " " + r[3], point: orb.Point{number(r[2]), number(r[1])}, date: day,
			sunrise: instant(r[4]), sunset: instant(r[5]), civilDawn: instant(r[6]), civilDusk: instant(r[7]),
			highestDeg: number(r[8]), lowestDeg: number(r[9]), status: sun.Status(r[10]),
		})
	}
	require.Len(t, rows, 16)
	return rows
}

func TestEventsAgainstReference(t *testing.T) {
	const source = "astronomy-engine 2.1.19; the table's header has the settings"
	for _, row := range reference(t) {
		t.Run(row.name, func(t *testing.T) {
			got := sun.Events(row.point, row.date)
			assert.Equal(t, row.status, got.Status)
			for _, event := range []struct {
				name      string
				want, got time.Time
			}{
				{"sunrise", row.sunrise, got.Sunrise},
				{"sunset", row.sunset, got.Sunset},
				{"civil dawn", row.civilDawn, got.CivilDawn},
				{"civil dusk", row.civilDusk, got.CivilDusk},
			} {
				if !assert.Equal(t, event.want.IsZero(), event.got.IsZero(), "%s: %s occurs", source, event.name) ||
					event.want.IsZero() {
					continue
				}
				assert.InDelta(t, 0, event.got.Sub(event.want).Seconds(), toleranceS, "%s: %s", source, event.name)
			}
		})
	}
}

func TestAltitudeAgainstReference(t *testing.T) {
	const source = "astronomy-engine 2.1.19: extremes of altitude over the local mean solar day, sampled each minute"
	const toleranceDeg = 0.02 // 0.01 of the method, 0.0024 of parallax, sampling
	for _, row := range reference(t) {
		start := row.date.Add(-time.Duration(row.point.Lon() * 4 * float64(time.Minute)))
		highest, lowest := math.Inf(-1), math.Inf(1)
		for m := range 24 * 60 {
			alt := sun.Altitude(row.point, start.Add(time.Duration(m)*time.Minute))
			highest, lowest = max(highest, alt), min(lowest, alt)
		}
		assert.InDelta(t, row.highestDeg, highest, toleranceDeg, "%s: %s", source, row.name)
		assert.InDelta(t, row.lowestDeg, lowest, toleranceDeg, "%s: %s", source, row.name)
	}
}

func TestEventsAgainstShortFormula(t *testing.T) {
	const source = "NOAA, General Solar Position Calculations: sunrise = 720 - 4 (lon + ha) - eqtime"
	// The formula takes the declination at noon of a mean calendar year, which is
	// up to a day (0.4 degree) off: at 55 degrees that is 0.4 tan 55 = 0.57 degree
	// of hour angle or 137 s, more with the horizon oblique; events 6 hours from
	// noon and the equation of time add the rest.
	const toleranceS = 300
	for _, lat := range []float64{-55, -33, -10, 0, 10, 33, 55} {
		for day := date(2024, 1, 5); day.Year() == 2024; day = day.AddDate(0, 0, 17) {
			eotMin, decDeg := shortFormula(day.Add(12 * time.Hour))
			sin := func(deg float64) float64 { return math.Sin(deg * math.Pi / 180) }
			cos := func(deg float64) float64 { return math.Cos(deg * math.Pi / 180) }
			ha := math.Acos(cos(90.833)/(cos(lat)*cos(decDeg))-sin(lat)*sin(decDeg)/(cos(lat)*cos(decDeg))) * 180 / math.Pi
			rise := day.Add(time.Duration((720 - 4*ha - eotMin) * float64(time.Minute)))
			set := day.Add(time.Duration((720 + 4*ha - eotMin) * float64(time.Minute)))
			got := sun.Events(orb.Point{0, lat}, day)
			assert.InDelta(t, 0, got.Sunrise.Sub(rise).Seconds(), toleranceS, "%s: %v %s", source, lat, day)
			assert.InDelta(t, 0, got.Sunset.Sub(set).Seconds(), toleranceS, "%s: %v %s", source, lat, day)
		}
	}
}

func TestEventsTakesTheDateAsShown(t *testing.T) {
	const source = "definition: year, month and day are those that the date shows in its own zone"
	east := time.FixedZone("", 13*3600)
	p := orb.Point{178.4, -18.1}
	assert.Equal(t, sun.Events(p, date(2024, 10, 10)),
		sun.Events(p, time.Date(2024, 10, 10, 2, 0, 0, 0, east)), source)
}

func TestNotOnTheEarth(t *testing.T) {
	const source = "definition: no altitude, night as the stricter rule, no events"
	at := date(2024, 6, 20.5)
	for _, p := range []orb.Point{
		{0, math.NaN()}, {math.NaN(), 0}, {math.Inf(1), 0}, {0, math.Inf(-1)}, {0, 90.0001}, {45, -100},
	} {
		assert.True(t, math.IsNaN(sun.Altitude(p, at)), "%s: %v", source, p)
		assert.True(t, sun.IsNight(p, at), "%s: %v", source, p)
		assert.Equal(t, sun.Day{Status: sun.Undefined}, sun.Events(p, at), "%s: %v", source, p)
		_, _, ok := sun.NextChange(p, at)
		assert.False(t, ok, "%s: %v", source, p)
	}
}

func TestNextChange(t *testing.T) {
	for _, row := range reference(t) {
		t.Run(row.name, func(t *testing.T) {
			const source = "astronomy-engine 2.1.19: civil dawn and dusk of the day"
			if row.civilDawn.IsZero() {
				if row.status == sun.PolarDay {
					_, _, ok := sun.NextChange(row.point, row.date)
					assert.False(t, ok, source)
				}
				return
			}
			at, toNight, ok := sun.NextChange(row.point, row.civilDawn.Add(-time.Hour))
			assert.True(t, ok)
			assert.False(t, toNight)
			assert.InDelta(t, 0, at.Sub(row.civilDawn).Seconds(), toleranceS, source)

			at, toNight, ok = sun.NextChange(row.point, row.civilDawn.Add(time.Hour))
			assert.True(t, ok)
			assert.True(t, toNight)
			assert.InDelta(t, 0, at.Sub(row.civilDusk).Seconds(), toleranceS, source)
		})
	}
}
