package sun_test

import (
	"testing"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/geo/sun"
)

var benchPoint = orb.Point{-29.4, 45.5}

func BenchmarkIsNight(b *testing.B) {
	b.ReportAllocs()
	at, nights, n := date(2031, 3, 14), 0, 0
	for b.Loop() {
		if sun.IsNight(benchPoint, at.Add(time.Duration(n%1440)*time.Minute)) {
			nights++
		}
		n++
	}
	b.ReportMetric(float64(nights)/float64(n), "nights/op")
}

func BenchmarkNextChange(b *testing.B) {
	b.ReportAllocs()
	at, n, checksum := date(2031, 3, 14), 0, 0.0
	for b.Loop() {
		from := at.Add(time.Duration(n%24) * time.Hour)
		change, _, _ := sun.NextChange(benchPoint, from)
		checksum += change.Sub(from).Hours()
		n++
	}
	b.ReportMetric(checksum/float64(n), "hours/op")
}

// BenchmarkNextChangeBySteps is the naive baseline: minute by minute, which finds
// the change only to a minute.
func BenchmarkNextChangeBySteps(b *testing.B) {
	b.ReportAllocs()
	at, n, checksum := date(2031, 3, 14), 0, 0.0
	for b.Loop() {
		from := at.Add(time.Duration(n%24) * time.Hour)
		change, now := from, sun.IsNight(benchPoint, from)
		for change.Before(from.Add(48*time.Hour)) && sun.IsNight(benchPoint, change) == now {
			change = change.Add(time.Minute)
		}
		checksum += change.Sub(from).Hours()
		n++
	}
	b.ReportMetric(checksum/float64(n), "hours/op")
}
