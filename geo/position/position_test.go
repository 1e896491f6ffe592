package position_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/geo/position"
)

// at puts latitude first, as the texts do.
func at(lat, lon float64) orb.Point { return orb.Point{lon, lat} }

func metres(m float64) *float64 { return &m }

func TestParsePublished(t *testing.T) {
	const (
		rfc       = "RFC 5870"
		iso       = "ISO 6709 annex H strings, as quoted in published tests"
		isoMemory = "ISO 6709 annex H degree-minute forms, from memory"
		manual    = "GeoConvert manual page, reproduced with GeographicLib 2.1.2"
		olc       = "Open Location Code test vectors"
		dmsPair   = "Movable Type, latitude/longitude calculations, worked pair"
	)
	for _, c := range []struct {
		text, source string
		want         orb.Point
		format       position.Format
		altitudeM    *float64
	}{
		{"geo:48.2010,16.3695,183", rfc, at(48.2010, 16.3695), position.GeoURI, metres(183)},
		{"geo:48.198634,16.371648;crs=wgs84;u=40", rfc, at(48.198634, 16.371648), position.GeoURI, nil},
		{"geo:13.4125,103.8667", rfc, at(13.4125, 103.8667), position.GeoURI, nil},
		{"geo:90,-22.43;crs=WGS84", rfc + " section 3.4.4: at a pole the longitude says nothing", at(90, 0), position.GeoURI, nil},
		{"geo:90,46", rfc + " section 3.4.4", at(90, 0), position.GeoURI, nil},
		{"geo:22.300,-118.44", rfc + " section 3.4.4: 22.3 is 22.300", at(22.3, -118.44), position.GeoURI, nil},
		{"geo:-0,-0", rfc + ": -0 is 0", at(0, 0), position.GeoURI, nil},
		{"GEO:66,30;u=6.500;FOo=this%2dthat", rfc + " section 3.4.4: case and other parameters do not matter", at(66, 30), position.GeoURI, nil},

		{"+40.6894-074.0447/", iso, at(40.6894, -74.0447), position.ISO6709, nil},
		{"+48.8577+002.295/", iso, at(48.8577, 2.295), position.ISO6709, nil},
		{"+27.5916+086.5640+8850CRSWGS_84/", iso, at(27.5916, 86.5640), position.ISO6709, metres(8850)},
		{"+90+000/", iso, at(90, 0), position.ISO6709, nil},
		{"-90+000+2800CRSWGS_84/", iso, at(-90, 0), position.ISO6709, metres(2800)},
		{"+00-025/", iso, at(0, -25), position.ISO6709, nil},
		{"+47.3915+008.5121+404.680/", iso, at(47.3915, 8.5121), position.ISO6709, metres(404.680)},
		{"+401213.1-0750015.1/", isoMemory, at(40+12.0/60+13.1/3600, -75-15.1/3600), position.ISO6709, nil},
		{"+4012.22-07500.25/", isoMemory, at(40+12.22/60, -75-0.25/60), position.ISO6709, nil},

		{`40d44'55"N 73d59'11"W`, manual + ": 40.748611 -73.986389", at(40.748611, -73.986389), position.DegreesSeconds, nil},
		{"55 45 00 N 0 0 0 E", "Vincenty 1975, table II, line a: latitude 55 45 is 55.75", at(55.75, 0), position.DegreesSeconds, nil},
		{`50d03'59"N 005d42'53"W`, dmsPair, at(50.066389, -5.714722), position.DegreesSeconds, nil},
		{`58d38'38"N 003d04'12"W`, dmsPair, at(58.643889, -3.07), position.DegreesSeconds, nil},
		{"E44.4 N33.3", manual, at(33.3, 44.4), position.DecimalDegrees, nil},
		{"33d18'N 44d24'E", manual, at(33.3, 44.4), position.DegreesMinutes, nil},
		{"33:18N 44:24E", manual, at(33.3, 44.4), position.DegreesMinutes, nil},

		{"38SMB4488", manual, at(33.33424, 44.40363), position.MGRS, nil},
		{"4QFJ12345678", "GeoConvert of GeographicLib 2.1.2", at(21.30947809, -157.91681891), position.MGRS, nil},
		{"18SUJ2337106519", "GeoConvert of GeographicLib 2.1.2; the reference is in DMA TM 8358.1 and its copies", at(38.8898051, -77.0365373), position.MGRS, nil},
		{"38n 444500 3688500", manual, at(33.33424, 44.40363), position.UTMGrid, nil},
		{"18n 323371.5 4306519.5", "GeoConvert of GeographicLib 2.1.2", at(38.8898051, -77.0365373), position.UTMGrid, nil},
		{"n 2000000 2000000", "definition: the false origin of UPS is the pole", at(90, 0), position.UPSGrid, nil},

		{"7FG49QCJ+2V", olc + ": 20.37..20.370125, 2.782125..2.78225", at(20.3700625, 2.7821875), position.PlusCode, nil},
		{"7FG49Q00+", olc + ": 20.35..20.4, 2.75..2.8", at(20.375, 2.775), position.PlusCode, nil},
	} {
		t.Run(c.text, func(t *testing.T) {
			const tolDeg = 5.1e-6 // the sources give five to eight decimals
			got, err := position.Parse(c.text)
			require.NoError(t, err, c.source)
			assert.InDelta(t, c.want.Lat(), got.Point.Lat(), tolDeg, c.source)
			assert.InDelta(t, c.want.Lon(), got.Point.Lon(), tolDeg, c.source)
			assert.Equal(t, c.format, got.Format, c.source)
			assert.Equal(t, c.altitudeM, got.AltitudeM, c.source)
			assert.Empty(t, got.Note)
		})
	}
}

// Every spelling of one place in the open ocean.
func TestParseSpellings(t *testing.T) {
	const source = "identity: 45.52 is 45 31.2' is 45 31' 12\""
	for format, texts := range map[position.Format][]string{
		position.DecimalDegrees: {
			"45.52,-29.41", "45.52 -29.41", "45.52, -29.41", "45.52;-29.41", "+45.52 -29.41", "  45.52\u00a0-29.41  ",
			"45.52 \u221229.41", "45.52 \u201329.41", "45.52N 29.41W", "45.52n, 29.41w", "45.52 N 29.41 W", "45.52N29.41W",
			"N45.52 W29.41", "N45.52W29.41", "N 45.52, W 29.41", "29.41W 45.52N", "W29.41 N45.52", "45.52° -29.41°",
			"45.52°N 29.41°W", "45.52 north, 29.41 west", "45.520N 29.410W", "45.52 -029.41",
		},
		position.DegreesMinutes: {
			"45 31.2N 029 24.6W", "45 31.2 N 29 24.6 W", "N45°31.2' W029°24.6'", "45°31.2′N 29°24.6′W", "029 24.6W 45 31.2N",
			"45d31.2mN 29d24.6mW", "45°31.2’N, 29°24.6’W", "45º31.2'N 29º24.6'W", "45°31.2' -29°24.6'", "45 31.2, -29 24.6",
			"45:31.2N 29:24.6W", "N 45 31.2 W 29 24.6",
		},
		position.DegreesSeconds: {
			`45d31'12"N 29d24'36"W`, `45°31'12"N 29°24'36"W`, "45°31′12″N 29°24′36″W", "45 31 12 N 29 24 36 W", "45 31 12.0N, 029 24 36.0W",
			"45d31m12sN 29d24m36sW", "N45d31m12s W29d24m36s", "45°31'12''N 29°24'36''W", "45°31’12”N 29°24’36”W", "45:31:12N 029:24:36W",
			`W029°24'36" N45°31'12"`, `+45°31'12" -29°24'36"`,
		},
		position.GeoURI:  {"geo:45.52,-29.41", "GEO:45.52,-29.41;u=40", "geo:45.52,-29.41,12;crs=wgs84;u=40;note=pier"},
		position.ISO6709: {"+45.52-029.41/", "+4531.2-02924.6/", "+453112-0292436/"},
		position.UTMGrid: {"26n 311782 5043543", "26 north 311782 5043543", "311782 5043543 26N", "26T 311782 5043543", "26T 311782mE 5043543mN", "26N, 311782.01, 5043543.61"},
		position.MGRS:    {"26TLR1178243543", "26t lr 11782 43543", "26T LR 1178243543"},
	} {
		for _, text := range texts {
			t.Run(text, func(t *testing.T) {
				got, err := position.Parse(text)
				require.NoError(t, err)
				const tolM = 2
				assert.InDelta(t, 0, geo.Distance(at(45.52, -29.41), got.Point), tolM, source)
				assert.Equal(t, format, got.Format)
			})
		}
	}
}

func TestParseSouthAndWest(t *testing.T) {
	const source = "definition: a letter or a sign holds for the whole angle, and a hemisphere for the whole grid"
	for text, want := range map[string]orb.Point{
		"-0 30, 0 30":               at(-0.5, 0.5),
		"0 30 S 0 30 W":             at(-0.5, -0.5),
		"44°40'55S 73°59'11W":       at(-(44 + 40.0/60 + 55.0/3600), -(73 + 59.0/60 + 11.0/3600)),
		"S44d40m55s W73d59m11s":     at(-(44 + 40.0/60 + 55.0/3600), -(73 + 59.0/60 + 11.0/3600)),
		"44d40m55sS 73d59m11sW":     at(-(44 + 40.0/60 + 55.0/3600), -(73 + 59.0/60 + 11.0/3600)),
		"90S 12E":                   at(-90, 0),
		"45.52 180":                 at(45.52, 180),
		"45.52 -180":                at(45.52, -180),
		"26 south 311782 5043543":   at(-44.736755, -29.377222), // GeoConvert of GeographicLib 2.1.2, as the next two
		"-00.5+000.25/":             at(-0.5, 0.25),
		"geo:-00.5,-000.25":         at(-0.5, -0.25),
		"S 2000000 2000000":         at(-90, 0),
		"A 1900000 2000000":         at(-89.099310, -90),
		"38S 444500 6289000":        at(-33.537168, 44.402238),
		"89 59 59.999S 0 0 0.0001W": at(-(89 + 59.0/60 + 59.999/3600), -0.0001/3600),
	} {
		t.Run(text, func(t *testing.T) {
			const tolDeg = 5e-5
			got, err := position.Parse(text)
			require.NoError(t, err, source)
			assert.InDelta(t, want.Lat(), got.Point.Lat(), tolDeg, source)
			assert.InDelta(t, want.Lon(), got.Point.Lon(), tolDeg, source)
			assert.False(t, math.Signbit(got.Point.Lon()) && got.Point.Lon() == 0, "no -0")
		})
	}
}

func TestUncertainty(t *testing.T) {
	const (
		half  = "definition: half the diagonal of the last digit's cell"
		given = "RFC 5870 section 3.4.3: u is the uncertainty in metres"
		tolM  = 0.01
	)
	degreeM := math.Pi / 180 * geo.MeanRadius
	cos := math.Cos(45.52 * math.Pi / 180)
	diagonal := func(latDeg, lonDeg float64) float64 { return math.Hypot(latDeg, lonDeg*cos) * degreeM / 2 }
	for _, c := range []struct {
		text, source string
		wantM        float64
	}{
		{"45.52 -29.41", half, diagonal(0.01, 0.01)},
		{"45.520 -29.410", half, diagonal(0.001, 0.001)},
		{"45.52 -29.4100", half, diagonal(0.01, 0.0001)},
		{"45 31.2N 29 24.6W", half, diagonal(0.1/60, 0.1/60)},
		{"45 31 12N 29 24 36W", half, diagonal(1.0/3600, 1.0/3600)},
		{"+453112-0292436/", half, diagonal(1.0/3600, 1.0/3600)},
		{"geo:45.52,-29.41", half + "; an absent u is not 0", diagonal(0.01, 0.01)},
		{"geo:45.52,-29.41;u=40", given, 40},
		{"geo:45.52,-29.41;u=0", "documented: never less than a millimetre", 0.001},
		{"45.520000000000000 -29.410000000000000", "documented: never less than a millimetre", 0.001},
		{"26TLR1178243543", half, math.Sqrt2 / 2},
		{"26TLR1143", half, 1000 * math.Sqrt2 / 2},
		{"26TLR", half, 100e3 * math.Sqrt2 / 2},
		{"26n 311782 5043543.5", half, math.Hypot(1, 0.1) / 2},
	} {
		t.Run(c.text, func(t *testing.T) {
			got, err := position.Parse(c.text)
			require.NoError(t, err)
			assert.InDelta(t, c.wantM, got.UncertaintyM, math.Min(tolM, c.wantM/2), c.source)
		})
	}
}
