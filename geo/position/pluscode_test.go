package position_test

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/geo/position"
)

// vectors reads the test vectors of the Open Location Code project (Apache-2.0),
// which are kept outside the repository.
func vectors(t *testing.T, name string) [][]string {
	t.Helper()
	folder := os.Getenv("SURGEONWARD_REFERENCE")
	if folder == "" {
		folder = "../../../shared/reference/data"
	} else if !filepath.IsAbs(folder) {
		folder = filepath.Join("../..", folder) // the project's root
	}
	content, err := os.ReadFile(filepath.Join(folder, "olc", name))
	if os.IsNotExist(err) {
		t.Skipf("plus-code vectors %s are not there; set SURGEONWARD_REFERENCE to the folder that holds olc/", name)
	}
	require.NoError(t, err)
	var rows [][]string
	for line := range strings.Lines(string(content)) {
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			rows = append(rows, strings.Split(line, ","))
		}
	}
	require.NotEmpty(t, rows)
	return rows
}

func float(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// A few rows of the published vectors, so that something is checked without the
// folder. The last has a point at a pole.
func TestPlusCodePublished(t *testing.T) {
	const source = "Open Location Code, test_data/encoding.csv"
	for _, c := range []struct {
		p      orb.Point
		digits int
		want   string
	}{
		{at(20.375, 2.775), 6, "7FG49Q00+"},
		{at(20.3700625, 2.7821875), 10, "7FG49QCJ+2V"},
		{at(20.3701125, 2.782234375), 11, "7FG49QCJ+2VX"},
		{at(47.0000625, 8.0000625), 10, "8FVC2222+22"},
		{at(-41.2730625, 174.7859375), 10, "4VCPPQGP+Q9"},
		{at(1, 180), 4, "62H20000+"},
		{at(90, 1), 10, "CFX3X2X2+X2"},
	} {
		got, err := position.FormatPlusCode(c.p, c.digits)
		require.NoError(t, err)
		assert.Equal(t, c.want, got, source)
	}
}

func TestPlusCodeEncodingVectors(t *testing.T) {
	for _, r := range vectors(t, "encoding.csv") {
		lat, lon, want := float(t, r[0]), float(t, r[1]), r[5]
		digits := int(float(t, r[4]))
		p := orb.Point{lon, lat}
		if geo.Check(p) != nil {
			_, err := position.FormatPlusCode(p, digits)
			assert.Error(t, err, "out of range: %v", r)
			// The vectors cut latitudes to 90 and wrap longitudes; so bring them in.
			p = orb.Point{math.Remainder(lon, 360), math.Max(-90, math.Min(90, lat))}
		}
		got, err := position.FormatPlusCode(p, min(digits, 15))
		require.NoError(t, err, "%v", r)
		assert.Equal(t, want, got, "%v", r)
	}
}

func TestPlusCodeDecodingVectors(t *testing.T) {
	for _, r := range vectors(t, "decoding.csv") {
		const tolDeg = 1e-10
		south, west, north, east := float(t, r[2]), float(t, r[3]), float(t, r[4]), float(t, r[5])
		got, err := position.Parse(r[0])
		require.NoError(t, err, "%v", r)
		assert.Equal(t, position.PlusCode, got.Format)
		assert.InDelta(t, (south+north)/2, got.Point.Lat(), tolDeg, "%v", r)
		assert.InDelta(t, (west+east)/2, got.Point.Lon(), tolDeg, "%v", r)
		// The vectors give the corners to some twelve decimals: 1e-7 m.
		const tolM, degreeM = 1e-5, math.Pi / 180 * geo.MeanRadius
		halfM := math.Hypot(north-south, (east-west)*math.Cos((south+north)/2*math.Pi/180)) * degreeM / 2
		assert.InDelta(t, math.Max(halfM, 0.001), got.UncertaintyM, tolM+1e-9*halfM, "%v", r)
	}
}

func TestPlusCodeValidityVectors(t *testing.T) {
	full := 0
	for _, r := range vectors(t, "validityTests.csv") {
		code, isShort, isFull := r[0], r[2] == "true", r[3] == "true"
		_, err := position.Parse(code)
		switch {
		case isFull:
			full++
			assert.NoError(t, err, "%v", r)
		case isShort:
			assert.ErrorContains(t, err, "short plus code", "%v", r)
		default:
			assert.Error(t, err, "%v", r)
		}
	}
	assert.Positive(t, full)
}

func TestPlusCodeShortVectors(t *testing.T) {
	for _, r := range vectors(t, "shortCodeTests.csv") {
		_, err := position.Parse(r[0])
		assert.NoError(t, err, "the full code of %v", r)
		_, err = position.Parse(r[3])
		if strings.EqualFold(r[0], r[3]) { // a full code, which needs no recovery
			assert.NoError(t, err, "%v", r)
			continue
		}
		assert.ErrorContains(t, err, "give the full code", "%v", r)
	}
}
