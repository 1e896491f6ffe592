package sun_test

import (
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/geo/sun"
)

func FuzzSun(f *testing.F) {
	for _, seed := range []struct {
		lon, lat float64
		unix     int64
	}{
		{0, 0, 0}, {-180, 90, 1718841600}, {180, -90, 1734739200}, {179.999999, 66.56, 1718841600},
		{math.NaN(), 0, 0}, {0, math.Inf(1), 0}, {1e308, 45, 0}, {-1e308, -45, 1}, {0, 89.9, 1711000000},
		{45.5, -29.4, math.MaxInt64}, {45.5, -29.4, math.MinInt64}, {-29.4, 45.5, -62135596800},
		{0, 90.0000001, 0}, {720, 10, 253402300799},
	} {
		f.Add(seed.lon, seed.lat, seed.unix)
	}
	f.Fuzz(func(t *testing.T, lon, lat float64, unix int64) {
		p, at := orb.Point{lon, lat}, time.Unix(unix, 0)
		alt := sun.Altitude(p, at)
		valid := math.Abs(lat) <= 90 && !math.IsNaN(lon) && !math.IsInf(lon, 0)
		if valid != (alt >= -90 && alt <= 90) {
			t.Fatalf("altitude %v at %v", alt, p)
		}
		if !valid && !sun.IsNight(p, at) {
			t.Fatalf("day at %v", p)
		}
		day := sun.Events(p, at)
		if valid == (day.Status == sun.Undefined) {
			t.Fatalf("status %q at %v", day.Status, p)
		}
		if change, toNight, ok := sun.NextChange(p, at); ok && sun.IsNight(p, change) != toNight {
			t.Fatalf("%v at %v is not a change to night=%v", p, change, toNight)
		}
	})
}
