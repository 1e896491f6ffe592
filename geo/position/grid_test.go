package position_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo/position"
)

// Rows made with GeoConvert of GeographicLib 2.1.2, see testdata/reference/SOURCE.md.
func TestGridReferenceRows(t *testing.T) {
	const (
		tolM   = 0.00051 // the table is in millimetres
		tolDeg = 5.1e-9  // and in eight decimals of a degree
		tolLon = 1e-6    // near a pole, where a degree of longitude is short
	)
	rows := referenceRows(t)
	require.Len(t, rows, 120)
	for _, r := range rows {
		number := func(column int) float64 {
			v, err := strconv.ParseFloat(r[column], 64)
			require.NoError(t, err, "%v", r)
			return v
		}
		p, mgrs, zone := at(number(0), number(1)), r[2], r[3]
		eastM, northM := number(4), number(5)
		cell := at(number(6), number(7))

		written, err := position.FormatMGRS(p, 5)
		require.NoError(t, err)
		assert.Equal(t, mgrs, written, "one-metre reference of %v", p)

		parsed, err := position.Parse(mgrs)
		require.NoError(t, err)
		assert.Equal(t, position.MGRS, parsed.Format)
		assert.Empty(t, parsed.Note, mgrs)
		assert.InDelta(t, cell.Lat(), parsed.Point.Lat(), tolDeg, "centre of %s", mgrs)
		assert.InDelta(t, 0, math.Remainder(cell.Lon()-parsed.Point.Lon(), 360), math.Max(tolDeg, tolLon*closeness(p)), "centre of %s", mgrs)

		if hemisphere := zone[len(zone)-1:]; len(zone) == 1 {
			u, err := position.ToUPS(p)
			require.NoError(t, err)
			assert.Equal(t, hemisphere == "n", u.North)
			assert.InDelta(t, eastM, u.EastingM, tolM, "easting of %v", p)
			assert.InDelta(t, northM, u.NorthingM, tolM, "northing of %v", p)
			back, err := u.Point()
			require.NoError(t, err)
			assertSamePlace(t, p, back)
		} else {
			u, err := position.ToUTM(p)
			require.NoError(t, err)
			assert.Equal(t, zone, fmt.Sprintf("%02d%s", u.Zone, map[bool]string{true: "n", false: "s"}[u.North]))
			assert.InDelta(t, eastM, u.EastingM, tolM, "easting of %v", p)
			assert.InDelta(t, northM, u.NorthingM, tolM, "northing of %v", p)
			back, err := u.Point()
			require.NoError(t, err)
			assertSamePlace(t, p, back)
		}
	}
}

// closeness is 1 at a pole and 0 where the polar grids end.
func closeness(p orb.Point) float64 {
	if math.Abs(p.Lat()) < 80 {
		return 0
	}
	return 1
}

// assertSamePlace allows a micrometre.
func assertSamePlace(t assert.TestingT, want, got orb.Point) {
	const tolDeg = 1e-11
	assert.InDelta(t, want.Lat(), got.Lat(), tolDeg)
	east := math.Remainder(want.Lon()-got.Lon(), 360) * math.Cos(want.Lat()*math.Pi/180)
	assert.InDelta(t, 0, east, tolDeg, "want %v, got %v", want, got)
}

func referenceRows(t *testing.T) [][]string {
	t.Helper()
	f, err := os.Open("../../testdata/reference/mgrs_reference.csv")
	require.NoError(t, err)
	defer f.Close()
	reader := csv.NewReader(f)
	reader.Comment = '#'
	lines, err := reader.ReadAll()
	require.NoError(t, err)
	return lines[1:]
}

func TestStandardZones(t *testing.T) {
	const exception = "definition: zone 32V reaches west to 3 E; 31X, 33X, 35X, 37X are 9 and 12 degrees wide (DMA TM 8358.1)"
	for _, c := range []struct {
		p    orb.Point
		want string // of the reference
	}{
		{at(55.999, 3.5), "31U"}, {at(56, 3.5), "32V"}, {at(63.999, 3), "32V"}, {at(60, 2.999), "31V"}, {at(64, 3.5), "31W"},
		{at(60, 11.999), "32V"}, {at(60, 12), "33V"},
		{at(72, 8.999), "31X"}, {at(72, 9), "33X"}, {at(72, 20.999), "33X"}, {at(72, 21), "35X"}, {at(72, 32.999), "35X"},
		{at(72, 33), "37X"}, {at(72, 41.999), "37X"}, {at(72, 42), "38X"}, {at(71.999, 8), "32W"}, {at(83.999, -0.001), "30X"},
		{at(0, 180), "01N"}, {at(0, -180), "01N"}, {at(-1e-20, 179.9999), "60M"}, {at(0, -1e-20), "30N"}, {at(-80, 0), "31C"},
		{at(84, 0), "ZAA"}, {at(90, 0), "ZAH"}, {at(-80.000001, -0.000001), "AZZ"},
	} {
		got, err := position.FormatMGRS(c.p, 0)
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(got, c.want), "%v is %s, want %s: %s", c.p, got, c.want, exception)
	}
}

func TestFormatMGRSTruncates(t *testing.T) {
	const source = "GeoConvert manual page: 38SMB4488 at 1 km for 33 20 N 44 24 E; digits are cut, never rounded"
	p := at(33+20.0/60, 44+24.0/60)
	full, err := position.FormatMGRS(p, 5)
	require.NoError(t, err)
	for digits := range 6 {
		got, err := position.FormatMGRS(p, digits)
		require.NoError(t, err)
		assert.Equal(t, full[:5]+full[5:5+digits]+full[10:10+digits], got, source)
	}
	got, err := position.FormatMGRS(p, 2)
	require.NoError(t, err)
	assert.Equal(t, "38SMB4488", got, source)
}

func TestGridNotes(t *testing.T) {
	for _, text := range []string{"31UAA", "31n 100000 5800000"} {
		got, err := position.Parse(text)
		require.NoError(t, err)
		assert.Contains(t, got.Note, "outside the zone", text)
	}
}

func TestGridRefusesPoints(t *testing.T) {
	nan := math.NaN()
	for name, err := range map[string]error{
		"MGRS, latitude out of range":  second(position.FormatMGRS(at(91, 0), 5)),
		"MGRS, not a number":           second(position.FormatMGRS(at(nan, nan), 5)),
		"MGRS, infinite":               second(position.FormatMGRS(at(math.Inf(1), 0), 5)),
		"MGRS, longitude out of range": second(position.FormatMGRS(at(89, 181), 5)),
		"MGRS, too many digits":        second(position.FormatMGRS(at(45, 0), 6)),
		"MGRS, negative digits":        second(position.FormatMGRS(at(45, 0), -1)),
		"plus code, out of range":      second(position.FormatPlusCode(at(91, 0), 10)),
		"plus code, odd digits":        second(position.FormatPlusCode(at(45, 0), 7)),
		"plus code, no digits":         second(position.FormatPlusCode(at(45, 0), 0)),
		"plus code, 16 digits":         second(position.FormatPlusCode(at(45, 0), 16)),
		"minutes, not a number":        second(position.FormatDM(at(nan, 0))),
		"UTM, at the pole":             second(position.ToUTM(at(84, 0))),
		"UTM, not a number":            second(position.ToUTM(at(0, nan))),
		"UPS, far from the pole":       second(position.ToUPS(at(45, 0))),
		"UPS, infinite":                second(position.ToUPS(at(90, math.Inf(1)))),
		"UTM easting, not a number":    second(position.UTM{Zone: 31, EastingM: nan, NorthingM: 5e6}.Point()),
		"UTM northing, infinite":       second(position.UTM{Zone: 31, EastingM: 5e5, NorthingM: math.Inf(1)}.Point()),
		"UTM, no zone":                 second(position.UTM{EastingM: 5e5, NorthingM: 5e6}.Point()),
		"UPS easting, not a number":    second(position.UPS{EastingM: nan, NorthingM: 2e6}.Point()),
		"UPS, huge":                    second(position.UPS{EastingM: 2e6, NorthingM: 1e300}.Point()),
	} {
		t.Run(name, func(t *testing.T) {
			require.Error(t, err)
			checkRefusal(t, "", err)
		})
	}
}

func second[T any](_ T, err error) error { return err }
