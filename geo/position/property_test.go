package position_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/geo"
	"surgeonward/geo/position"
)

// anywhere draws points over the whole Earth, with the edges of zones, bands and
// hemispheres often.
func anywhere() *rapid.Generator[orb.Point] {
	nudge := rapid.SampledFrom([]float64{0, 0, 1e-13, -1e-13, 1e-7, -1e-7})
	lat := rapid.OneOf(rapid.Float64Range(-90, 90), rapid.Map(rapid.IntRange(-22, 22), func(i int) float64 { return float64(i * 4) }))
	lon := rapid.OneOf(rapid.Float64Range(-180, 180), rapid.Map(rapid.IntRange(-60, 60), func(i int) float64 { return float64(i * 3) }))
	return rapid.Custom(func(t *rapid.T) orb.Point {
		p := at(lat.Draw(t, "lat")+nudge.Draw(t, "north"), lon.Draw(t, "lon")+nudge.Draw(t, "east"))
		return at(math.Max(-90, math.Min(90, p.Lat())), math.Max(-180, math.Min(180, p.Lon())))
	})
}

// The half diagonal is by the mean radius, the grids by the ellipsoid, and the scale
// of the grids is 0.9996 to 1.0010 (0.994 at the poles): a per cent covers it.
const slack = 1.01

func TestMGRSRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anywhere().Draw(t, "p")
		digits := rapid.IntRange(0, 5).Draw(t, "digits")
		text, err := position.FormatMGRS(p, digits)
		require.NoError(t, err)
		parsed, err := position.Parse(text)
		require.NoError(t, err)
		assert.Equal(t, position.MGRS, parsed.Format)
		assert.LessOrEqual(t, geo.Distance(p, parsed.Point), parsed.UncertaintyM*slack, "%s", text)
		if full, err := position.FormatMGRS(p, 5); digits > 0 {
			require.NoError(t, err)
			head := len(full) - 10
			assert.Equal(t, full[:head]+full[head:head+digits]+full[head+5:head+5+digits], text, "a coarser reference is cut from a finer one")
		}
	})
}

func TestGridsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anywhere().Draw(t, "p")
		if u, err := position.ToUTM(p); err == nil {
			back, err := u.Point()
			require.NoError(t, err)
			assertSamePlace(t, p, back)
			hemisphere := map[bool]string{true: "north", false: "south"}[u.North]
			text := fmt.Sprintf("%d %s %.3f %.3f", u.Zone, hemisphere, u.EastingM, u.NorthingM)
			parsed, err := position.Parse(text)
			require.NoError(t, err)
			assert.LessOrEqual(t, geo.Distance(p, parsed.Point), 0.0015, text)
		}
		if u, err := position.ToUPS(p); err == nil {
			back, err := u.Point()
			require.NoError(t, err)
			assertSamePlace(t, p, back)
		}
	})
}

func TestPlusCodeRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anywhere().Draw(t, "p")
		digits := rapid.SampledFrom([]int{2, 4, 6, 8, 10, 11, 12, 13, 14, 15}).Draw(t, "digits")
		text, err := position.FormatPlusCode(p, digits)
		require.NoError(t, err)
		parsed, err := position.Parse(text)
		require.NoError(t, err)
		height, width := codeCellSize(digits)
		const tolDeg = 1e-9
		assert.LessOrEqual(t, math.Abs(p.Lat()-parsed.Point.Lat()), height/2+tolDeg, text)
		assert.LessOrEqual(t, math.Abs(math.Remainder(p.Lon()-parsed.Point.Lon(), 360)), width/2+tolDeg, text)
		again, err := position.FormatPlusCode(parsed.Point, digits)
		require.NoError(t, err)
		assert.Equal(t, text, again)
	})
}

// codeCellSize is the definition: pairs divide by 20, then rows by 5, columns by 4.
func codeCellSize(digits int) (height, width float64) {
	size := 400 / math.Pow(20, float64(min(digits, 10)/2))
	extra := float64(max(0, digits-10))
	return size / math.Pow(5, extra), size / math.Pow(4, extra)
}

func TestDegreesMinutesRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anywhere().Draw(t, "p")
		text, err := position.FormatDM(p)
		require.NoError(t, err)
		parsed, err := position.Parse(text)
		require.NoError(t, err, text)
		assert.Equal(t, position.DegreesMinutes, parsed.Format)
		assert.LessOrEqual(t, geo.Distance(p, parsed.Point), parsed.UncertaintyM*1.0001, text)
	})
}

func TestDecimalsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anywhere().Draw(t, "p")
		decimals := rapid.IntRange(0, 9).Draw(t, "decimals")
		for format, text := range map[position.Format]string{
			position.DecimalDegrees: fmt.Sprintf("%.*f %.*f", decimals, p.Lat(), decimals, p.Lon()),
			position.GeoURI:         fmt.Sprintf("geo:%.*f,%.*f", decimals, p.Lat(), decimals, p.Lon()),
			position.ISO6709:        isoText(p, decimals),
		} {
			parsed, err := position.Parse(text)
			require.NoError(t, err, text)
			assert.Equal(t, format, parsed.Format)
			// The cell is measured at its middle; at a coarse step its other edge is wider.
			limit := parsed.UncertaintyM*1.0001 + 200*math.Pow(100, -float64(decimals))*1000
			assert.LessOrEqual(t, geo.Distance(p, parsed.Point), limit, text)
		}
	})
}

func isoText(p orb.Point, decimals int) string {
	width := 0
	if decimals > 0 {
		width = decimals + 1
	}
	return fmt.Sprintf("%+0*.*f%+0*.*f/", 3+width, decimals, p.Lat(), 4+width, decimals, p.Lon())
}

func TestFormatDM(t *testing.T) {
	const source = "definition: rounded to a thousandth of a minute, sixty minutes carry"
	for want, p := range map[string]orb.Point{
		"45 31.200N 029 24.600W": at(45.52, -29.41),
		"00 00.000N 000 00.000E": at(-1e-9, math.Copysign(0, -1)),
		"46 00.000N 030 00.000W": at(45.999995, -29.999995),
		"90 00.000S 180 00.000W": at(-90, -180),
		"00 00.001S 000 00.001W": at(-0.001/60, -0.001/60),
	} {
		got, err := position.FormatDM(p)
		require.NoError(t, err)
		assert.Equal(t, want, got, source)
	}
}
