package terminal

import (
	"math"
	"strconv"
	"time"
)

// minutes writes seconds as whole minutes.
func minutes(s float64) string { return strconv.FormatFloat(math.Round(s/60), 'f', 0, 64) }

// tenths writes seconds as minutes with one decimal.
func tenths(s float64) string { return strconv.FormatFloat(s/60, 'f', 1, 64) }

// clock writes the local time of day to the nearest minute, and by how many
// days it is off the day of at: "00:12 +1".
func clock(t, at time.Time, zone *time.Location) string {
	t, at = t.In(zone).Round(time.Minute), at.In(zone)
	s := t.Format("15:04")
	if d := days(t) - days(at); d != 0 {
		s += " " + strconv.FormatFloat(d, 'f', 0, 64)
		if d > 0 {
			s = s[:len("15:04 ")] + "+" + s[len("15:04 "):]
		}
	}
	return s
}

// days counts calendar days of t's zone.
func days(t time.Time) float64 {
	y, m, d := t.Date()
	return float64(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix()) / (24 * 3600)
}
