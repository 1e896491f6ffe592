package weather_test

import (
	"testing"

	"surgeonward/geo/weather"
)

func BenchmarkParseReport(b *testing.B) {
	b.ReportAllocs()
	const text = "SPECI YUDO 151115Z 05025G37KT 3000 1200NE +TSRA BKN005CB 25/22 Q1008 TEMPO TL1200 0600 BECMG AT1200 8000 NSW NSC"
	checksum, n := 0.0, 0
	for b.Loop() {
		r, _ := weather.ParseReport(text, near)
		m, _ := r.Base.Ceiling()
		checksum += m
		n++
	}
	b.ReportMetric(checksum/float64(n), "ceiling_m")
}

func BenchmarkForecastAt(b *testing.B) {
	b.ReportAllocs()
	f, err := weather.ParseForecast(milesForecast, near)
	if err != nil {
		b.Fatal(err)
	}
	checksum, n := 0.0, 0
	for b.Loop() {
		prevailing, temporary, _ := f.At(at(10, 5, 0))
		worst := weather.Worst(append(temporary, prevailing)...)
		m, _ := worst.Ceiling()
		checksum += m
		n++
	}
	b.ReportMetric(checksum/float64(n), "ceiling_m")
}
