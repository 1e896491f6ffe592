package geo_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"surgeonward/geo"
)

func TestInitialBearing(t *testing.T) {
	const (
		identity  = "identity: symmetry of the sphere"
		undefined = "definition: no single bearing exists, documented as 0"
		fromPole  = "definition: at a pole the bearing is from the meridian of its own longitude"
	)
	for _, c := range []struct {
		name, source  string
		a, b          orb.Point
		wantDeg, tolD float64
	}{
		{"north", identity, at(10, 20), at(11, 20), 0, 0},
		{"south", identity, at(10, 20), at(9, 20), 180, 0},
		{"east on the equator", identity, at(0, 20), at(0, 21), 90, 1e-13},
		{"west on the equator", identity, at(0, 20), at(0, 19), 270, 1e-13},
		{"east across the antimeridian", identity, at(0, 179.5), at(0, -179.5), 90, 1e-13},
		{"over the north pole", identity, at(80, 20), at(80, -160), 0, 1e-12},
		{"over the south pole", identity, at(-80, 20), at(-80, -160), 180, 1e-12},
		{"to the pole", identity, at(80, 20), at(90, -77), 0, 1e-13},
		{"a quarter turn up", "identity: right-angled triangle, tan B = tan 45", at(0, 0), at(45, 90), 45, 1e-13},
		{"a hair west of north", identity, at(10, 20), at(11, 20-1e-300), 0, 0},
		{"Vincenty line a", "Vincenty 1975, table II, azimuth 1 on the Bessel ellipsoid; the sphere is within 0.2 degrees",
			at(55.75, 0), at(-dms(33, 26, 0), dms(108, 13, 0)), dms(96, 36, 8.79960), 0.2},
		{"New York to Singapore", "GeodSolve manual page, example: 3 18 29.9 on WGS 84; the sphere is within 0.2 degrees",
			at(dms(40, 38, 23), -dms(73, 46, 44)), at(dms(1, 21, 33), dms(103, 59, 22)), dms(3, 18, 29.9), 0.2},
		{"from the north pole", fromPole, at(90, 30), at(45, 75), 135, 1e-13},
		{"from the south pole", fromPole, at(-90, 30), at(45, 75), 45, 1e-13},
		{"same point", undefined, at(45.5, -29.5), at(45.5, -29.5), 0, 0},
		{"same point, other sign of 180", undefined, at(45.5, 180), at(45.5, -180), 0, 0},
		{"same pole", undefined, at(-90, 10), at(-90, -110), 0, 0},
		{"antipodes", undefined, at(45.5, -29.5), at(-45.5, 150.5), 0, 0},
		{"antipodes on the equator", undefined, at(0, -90), at(0, 90), 0, 0},
		{"pole to pole", undefined, at(90, 10), at(-90, -110), 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := geo.InitialBearing(c.a, c.b)
			assert.InDelta(t, c.wantDeg, got, c.tolD, c.source)
			assert.False(t, math.Signbit(got), "-0 is not a bearing")
		})
	}
}

// Geodetic latitude differs from geocentric latitude by at most 0.193 degrees, which
// turns a short line by no more than that; longer lines and lines near the antipode
// turn further and are left out.
func TestInitialBearingAgainstEllipsoid(t *testing.T) {
	const tolDeg = 0.2
	compared := 0
	for _, r := range readTable(t, "geodesy_reference.csv") {
		if s := r.number(t, "s12_m"); s < 1000 || s > 1.5e6 {
			continue
		}
		got := geo.InitialBearing(at(r.number(t, "lat1"), r.number(t, "lon1")), at(r.number(t, "lat2"), r.number(t, "lon2")))
		assert.LessOrEqual(t, math.Abs(math.Remainder(got-r.number(t, "azi1"), 360)), tolDeg, "row %v", r)
		compared++
	}
	assert.Greater(t, compared, 200, "rows compared")
}
