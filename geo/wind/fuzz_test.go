package wind_test

import (
	"math"
	"testing"

	"surgeonward/geo/wind"
)

func FuzzTriangle(f *testing.F) {
	inf, nan := math.Inf(1), math.NaN()
	for _, seed := range [][5]float64{
		{90, 61.7, 45, 20.6, 0}, {0, 50, 90, 50, 0}, {0, 50, 0, 50, 60}, {360, 1e-300, 180, 0, 0},
		{nan, 50, 0, 0, 0}, {0, inf, 0, 0, 0}, {0, 50, -inf, 10, 0}, {0, 50, 0, nan, 0}, {0, 50, 0, 10, inf},
		{1e308, 50, -1e308, 10, 20}, {math.Copysign(0, -1), 1000, 1e17, 200, 200}, {359.9999999999, 5e-324, 0, 5e-324, 0},
		{0, -50, 0, -10, -1}, {0, 0, 0, 0, 0},
	} {
		f.Add(seed[0], seed[1], seed[2], seed[3], seed[4])
	}
	f.Fuzz(func(t *testing.T, track, tas, from, speed, gust float64) {
		s, err := wind.Triangle(track, tas, wind.Wind{FromDeg: from, SpeedMS: speed, GustMS: gust})
		if err != nil {
			if s != (wind.Solution{}) || err.Error() == "" {
				t.Fatalf("%+v beside the error %q", s, err)
			}
			return
		}
		ok := s.HeadingDeg >= 0 && s.HeadingDeg < 360 &&
			s.CorrectionDeg >= -90 && s.CorrectionDeg <= 90 &&
			s.GroundSpeedMS > 0 && s.GroundSpeedMS <= wind.MaxAirspeedMS+wind.MaxSpeedMS+1e-6 &&
			math.Abs(s.HeadWindMS) <= wind.MaxSpeedMS && math.Abs(s.CrossWindMS) <= wind.MaxSpeedMS
		if !ok {
			t.Fatalf("%+v from %v %v %v %v", s, track, tas, from, speed)
		}
	})
}
