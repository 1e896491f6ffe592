package terminal

import (
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
)

// Source of every row: definition.
func TestClock(t *testing.T) {
	at := time.Date(2031, 3, 14, 23, 50, 0, 0, time.UTC)
	for _, tc := range []struct {
		name  string
		after time.Duration
		zone  *time.Location
		want  string
	}{
		{"same day", 5 * time.Minute, time.UTC, "23:55"},
		{"next day", 15 * time.Minute, time.UTC, "00:05 +1"},
		{"two days on", 25 * time.Hour, time.UTC, "00:50 +2"},
		{"the day before", -24 * time.Hour, time.UTC, "23:50 -1"},
		{"next day only in UTC", 15 * time.Minute, time.FixedZone("", -2*3600), "22:05"},
		{"rounded into the next day", 9*time.Minute + 30*time.Second, time.UTC, "00:00 +1"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			assert.Equal(t, tc.want, clock(at.Add(tc.after), at, tc.zone))
		})
	}
}

// Source of every row: definition.
func TestPosition(t *testing.T) {
	for _, tc := range []struct {
		name string
		p    orb.Point
		want string
	}{
		{"north west", orb.Point{-29.41, 45.52}, "45 31.200N 029 24.600W"},
		{"south east", orb.Point{0.5, -0.25}, "00 15.000S 000 30.000E"},
		{"origin", orb.Point{0, 0}, "00 00.000N 000 00.000E"},
		{"rounds up to a degree", orb.Point{179.9999999, 89.9999999}, "90 00.000N 180 00.000E"},
		{"negative zero", orb.Point{math.Copysign(0, -1), math.Copysign(0, -1)}, "00 00.000N 000 00.000E"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			assert.Equal(t, tc.want, position(tc.p))
		})
	}
}
