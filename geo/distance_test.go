package geo_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
)

// dms makes decimal degrees of degrees, minutes and seconds north or east.
func dms(d, m, s float64) float64 { return d + m/60 + s/3600 }

// at puts latitude first, as the publications do.
func at(lat, lon float64) orb.Point { return orb.Point{lon, lat} }

func TestDistancePublished(t *testing.T) {
	for _, c := range []struct {
		name, source string
		a, b         orb.Point
		wantM, share float64 // share: largest difference as a share of wantM
	}{
		{"Paris to Washington, sphere", "Meeus, Astronomical Algorithms 2nd ed., example 11.c: 6166 km on the sphere",
			at(dms(48, 50, 11), dms(2, 20, 14)), at(dms(38, 55, 17), -dms(77, 3, 56)), 6166e3, 0.5 / 6166},
		{"Paris to Washington, ellipsoid", "Meeus, example 11.c: 6181.63 km on the IAU 1976 ellipsoid",
			at(dms(48, 50, 11), dms(2, 20, 14)), at(dms(38, 55, 17), -dms(77, 3, 56)), 6181630, 0.0057},
		{"New York to Singapore", "GeodSolve manual page, example: 15347628 m on WGS 84",
			at(dms(40, 38, 23), -dms(73, 46, 44)), at(dms(1, 21, 33), dms(103, 59, 22)), 15347628, 0.0057},
		{"Flinders Peak to Buninyon", "Geoscience Australia, GDA technical manual (quoted from memory): 54972.271 m on GRS 80",
			at(-dms(37, 57, 3.72030), dms(144, 25, 29.52440)), at(-dms(37, 39, 10.15610), dms(143, 55, 35.38390)), 54972.271, 0.0057},
		{"line a", "Vincenty 1975, Survey Review XXIII(176), table II, Bessel ellipsoid",
			at(55.75, 0), at(-dms(33, 26, 0), dms(108, 13, 0)), 14110526.170, 0.006},
		{"line b", "Vincenty 1975, table II, International ellipsoid",
			at(dms(37, 19, 54.95367), 0), at(dms(26, 7, 42.83946), dms(41, 28, 35.50729)), 4085966.703, 0.006},
		{"line c", "Vincenty 1975, table II, International ellipsoid",
			at(dms(35, 16, 11.24862), 0), at(dms(67, 22, 14.77638), dms(137, 47, 28.31435)), 8084823.839, 0.006},
		{"line d", "Vincenty 1975, table II, International ellipsoid, nearly antipodal",
			at(1, 0), at(-dms(0, 59, 53.83076), dms(179, 17, 48.02997)), 19960000.000, 0.006},
		{"line e", "Vincenty 1975, table II, International ellipsoid, nearly antipodal",
			at(1, 0), at(dms(1, 1, 15.18952), dms(179, 46, 17.84244)), 19780006.558, 0.006},
		{"a quarter of the equator", "identity: pi/2 radii", at(0, 10), at(0, 100), math.Pi / 2 * geo.MeanRadius, 1e-15},
		{"pole to pole", "identity: pi radii", at(90, 12), at(-90, -77), math.Pi * geo.MeanRadius, 1e-15},
		{"antipodes", "identity: pi radii", at(45.5, -29.5), at(-45.5, 150.5), math.Pi * geo.MeanRadius, 1e-15},
		{"across the antimeridian", "identity: two degrees of the equator", at(0, 179), at(0, -179), math.Pi / 90 * geo.MeanRadius, 1e-15},
		{"over the pole", "identity: two degrees of a meridian", at(89, 20), at(89, -160), math.Pi / 90 * geo.MeanRadius, 1e-13},
		{"a millimetre", "identity: arc length is radius times angle", at(0, 0), at(0, 9e-9), 9e-9 * math.Pi / 180 * geo.MeanRadius, 1e-12},
		{"a millimetre short of the antipode, seen as the rest", "identity: half the circumference",
			at(0, 0), at(0, 180-9e-9), math.Pi*geo.MeanRadius - 9e-9*math.Pi/180*geo.MeanRadius, 1e-15},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.InDelta(t, c.wantM, geo.Distance(c.a, c.b), c.share*c.wantM, c.source)
		})
	}
	assert.Zero(t, geo.Distance(at(45.5, -29.5), at(45.5, -29.5)), "the same point")
	assert.Zero(t, geo.Distance(at(90, 10), at(90, -110)), "a pole has one place and many longitudes")
	assert.Zero(t, geo.Distance(at(12, 180), at(12, -180)), "180 and -180 are one meridian (RFC 5870)")
}

// The documented bound, 0.57 %, against geodesics of the WGS 84 ellipsoid.
func TestDistanceAgainstEllipsoid(t *testing.T) {
	rows := readTable(t, "geodesy_reference.csv")
	require.Len(t, rows, 300)
	worst := 0.0
	for _, r := range rows {
		wantM := r.number(t, "s12_m")
		got := geo.Distance(at(r.number(t, "lat1"), r.number(t, "lon1")), at(r.number(t, "lat2"), r.number(t, "lon2")))
		share := math.Abs(got/wantM - 1)
		assert.LessOrEqual(t, share, 0.0057, "row %v", r)
		worst = math.Max(worst, share)
	}
	assert.Greater(t, worst, 0.004, "a sphere this good would mean the table is not of the ellipsoid")
}

// row is one line of a reference table by column name.
type row map[string]string

func (r row) number(t *testing.T, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, "column %s of %v", column, r)
	return v
}

func readTable(t *testing.T, name string) []row {
	t.Helper()
	f, err := os.Open("../testdata/reference/" + name)
	require.NoError(t, err)
	defer f.Close()
	reader := csv.NewReader(f)
	reader.Comment = '#'
	lines, err := reader.ReadAll()
	require.NoError(t, err)
	var rows []row
	for _, line := range lines[1:] {
		r := row{}
		for i, column := range lines[0] {
			r[column] = line[i]
		}
		rows = append(rows, r)
	}
	return rows
}
