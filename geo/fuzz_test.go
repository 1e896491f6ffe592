package geo_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

func FuzzSphere(f *testing.F) {
	extremes := []float64{0, math.Copysign(0, -1), 90, -90, 180, -180, 1e300, -1e300, 5e-324, math.NaN(), math.Inf(1), math.Inf(-1), 89.99999999999999}
	for _, x := range extremes {
		for _, y := range extremes {
			f.Add(x, y, y, x, x)
			f.Add(180.0, y, x, 90.0, y)
		}
	}
	f.Fuzz(func(t *testing.T, lon1, lat1, lon2, lat2, number float64) {
		a, b := orb.Point{lon1, lat1}, orb.Point{lon2, lat2}
		valid := geo.Check(a) == nil && geo.Check(b) == nil
		distance, bearing := geo.Distance(a, b), geo.InitialBearing(a, b)
		destination := geo.Destination(a, number, number)
		between := geo.Interpolate(a, b, number)
		line := geo.Arc(a, b, number)
		pieces := geo.SplitAtAntimeridian(line)
		apart := geo.Unit(a).Distance(geo.Unit(b))
		if !valid {
			return // not a panic is all that is promised
		}
		if !(distance >= 0 && distance < 20015116) || math.Abs(distance-apart) > 1e-6 {
			t.Errorf("distance %v to %v is %v, by vectors %v", a, b, distance, apart)
		}
		if !(bearing >= 0 && bearing < 360) {
			t.Errorf("bearing %v to %v is %v", a, b, bearing)
		}
		if math.Abs(number) < 1e12 {
			for _, p := range []orb.Point{destination, between} {
				if err := geo.Check(p); err != nil {
					t.Errorf("%v, %v, %v: %v", a, b, number, err)
				}
			}
		}
		for _, piece := range pieces {
			for _, p := range piece {
				if err := geo.Check(p); err != nil {
					t.Errorf("%v to %v by %v: %v", a, b, number, err)
				}
			}
		}
	})
}
