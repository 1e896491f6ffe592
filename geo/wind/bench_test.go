package wind_test

import (
	"testing"

	"surgeonward/geo/wind"
)

func BenchmarkTriangle(b *testing.B) {
	b.ReportAllocs()
	checksum, n := 0.0, 0
	for b.Loop() {
		s, _ := wind.Triangle(float64(n%360), 60, wind.Wind{FromDeg: 240, SpeedMS: 12})
		checksum += s.GroundSpeedMS
		n++
	}
	b.ReportMetric(checksum/float64(n), "m/s")
}
