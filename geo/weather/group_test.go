package weather_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo/weather"
	"surgeonward/geo/wind"
)

const (
	metOffice = "UK Met Office METAR decode (copies of 2006 to 2010s)"
	wmo       = "WMO Manual on Codes, FM 15 (docsbay copy of the CBS text)"
	ours      = "definition of this package"
	memory    = "ICAO Annex 3 and WMO code tables, from memory"
)

// group reads one or more groups as the only weather of a report.
func group(t *testing.T, text string) weather.Conditions {
	t.Helper()
	r := report(t, "METAR YUDO 161200Z "+text)
	assert.Empty(t, r.Unread)
	return r.Base
}

func blowing(fromDeg, speedMS, gustMS float64) weather.Wind {
	return weather.Wind{Wind: wind.Wind{FromDeg: fromDeg, SpeedMS: speedMS, GustMS: gustMS}}
}

func TestWindGroups(t *testing.T) {
	with := func(w weather.Wind, change func(*weather.Wind)) weather.Wind { change(&w); return w }
	for _, row := range []struct {
		text, source string
		want         weather.Wind
	}{
		{"13008KT", aim, blowing(130, 8*kt, 0)},
		{"08032G45KT", aim, blowing(80, 32*kt, 45*kt)},
		{"VRB04KT", aim, with(blowing(0, 4*kt, 0), func(w *weather.Wind) { w.Variable = true })},
		{"00000KT", aim, blowing(0, 0, 0)},
		{"210103G130KT", aim, blowing(210, 103*kt, 130*kt)},
		{"32012G22KT 280V350", aim, with(blowing(320, 12*kt, 22*kt), func(w *weather.Wind) { w.Sector = &weather.Sector{FromDeg: 280, ToDeg: 350} })},
		{"31015G27KT 280V350", metOffice, with(blowing(310, 15*kt, 27*kt), func(w *weather.Wind) { w.Sector = &weather.Sector{FromDeg: 280, ToDeg: 350} })},
		{"140P99KT", wmo, with(blowing(140, 100*kt, 0), func(w *weather.Wind) { w.SpeedOrMore = true })},
		{"140P49MPS", wmo, with(blowing(140, 50, 0), func(w *weather.Wind) { w.SpeedOrMore = true })},
		{"14045GP49MPS", memory, with(blowing(140, 45, 50), func(w *weather.Wind) { w.GustOrMore = true })},
		{"17006G12MPS", iwxxm + "A5-1", blowing(170, 6, 12)},
		{"09036KMH", memory, blowing(90, 10, 0)},
		{"///08KT", memory, with(blowing(0, 8*kt, 0), func(w *weather.Wind) { w.DirectionMissing = true })},
	} {
		t.Run(row.text, func(t *testing.T) {
			got := group(t, row.text).Wind
			require.NotNil(t, got)
			assert.InDelta(t, row.want.SpeedMS, got.SpeedMS, toleranceMS, row.source)
			assert.InDelta(t, row.want.GustMS, got.GustMS, toleranceMS, row.source)
			row.want.SpeedMS, row.want.GustMS = got.SpeedMS, got.GustMS
			assert.Equal(t, row.want, *got, row.source)
		})
	}
}

func TestVisibilityGroups(t *testing.T) {
	v := func(m float64) weather.Visibility { return weather.Visibility{M: m} }
	more := func(m float64) weather.Visibility { return weather.Visibility{M: m, OrMore: true} }
	less := func(m float64) weather.Visibility { return weather.Visibility{M: m, LessThan: true} }
	for _, row := range []struct {
		text, source string
		want         weather.Visibility
	}{
		{"M1/4SM", aim, less(sm / 4)},
		{"AUTO 10SM", aim + ": 10 or more from an automatic station", more(10 * sm)},
		{"10SM", aim, v(10 * sm)},
		{"P6SM", aim, more(6 * sm)},
		{"1 1/2SM", "identity: 1.5 x 1609.344 m", v(2414.016)},
		{"3/4SM", "identity", v(1207.008)},
		{"1/2SM", "identity", v(804.672)},
		{"1/8SM", aim, v(sm / 8)},
		{"2 3/4SM", "identity", v(2.75 * sm)},
		{"9999", metOffice, more(10000)},
		{"0000", metOffice, less(50)},
		{"AUTO 9999NDV", metOffice, weather.Visibility{M: 10000, OrMore: true, NoDirection: true}},
		{"0350", "identity", v(350)},
		{"CAVOK", metOffice, more(10000)},
	} {
		t.Run(row.text, func(t *testing.T) {
			got := group(t, row.text).Visibility
			require.NotNil(t, got)
			assert.InDelta(t, row.want.M, got.M, toleranceM, row.source)
			row.want.M = got.M
			assert.Equal(t, row.want, *got, row.source)
		})
	}
	t.Run("directional", func(t *testing.T) {
		c := group(t, "4000 1200SW")
		assert.Equal(t, []weather.DirectionalVisibility{{Visibility: v(1200), TowardDeg: 225}}, c.Directional, metOffice)
		only := group(t, "1200SW")
		_, ok := only.LowestVisibility()
		assert.False(t, ok, ours+": the rest is not known")
	})
}

func TestRunwayVisualRangeGroups(t *testing.T) {
	v := func(m float64) *weather.Visibility { return &weather.Visibility{M: m} }
	for _, row := range []struct {
		text, source string
		want         weather.RunwayVisualRange
	}{
		{"R27R/1100", metOffice, weather.RunwayVisualRange{Runway: "27R", Low: v(1100)}},
		{"R27R/1100D", metOffice, weather.RunwayVisualRange{Runway: "27R", Low: v(1100), Tendency: weather.Falling}},
		{"R24/0950V1100", metOffice, weather.RunwayVisualRange{Runway: "24", Low: v(950), High: v(1100)}},
		{"R24/P1500", metOffice, weather.RunwayVisualRange{Runway: "24", Low: &weather.Visibility{M: 1500, OrMore: true}}},
		{"R24/M0050", metOffice, weather.RunwayVisualRange{Runway: "24", Low: &weather.Visibility{M: 50, LessThan: true}}},
		{"R12/1000U", iwxxm + "A3-1", weather.RunwayVisualRange{Runway: "12", Low: v(1000), Tendency: weather.Rising}},
		{"R32L/1200FT", aim, weather.RunwayVisualRange{Runway: "32L", Low: v(365.76)}},
		{"R28L/2600FT", aim, weather.RunwayVisualRange{Runway: "28L", Low: v(792.48)}},
		{"R27R/M1000V4000FT", aim, weather.RunwayVisualRange{
			Runway: "27R", Low: &weather.Visibility{M: 304.8, LessThan: true}, High: v(1219.2),
		}},
		{"R06/1200FT/N", memory, weather.RunwayVisualRange{Runway: "06", Low: v(365.76), Tendency: weather.Steady}},
		{"R24/////", memory, weather.RunwayVisualRange{Runway: "24"}},
	} {
		t.Run(row.text, func(t *testing.T) {
			got := group(t, row.text).RVR
			require.Len(t, got, 1)
			for _, pair := range [][2]*weather.Visibility{{row.want.Low, got[0].Low}, {row.want.High, got[0].High}} {
				if pair[0] != nil && pair[1] != nil {
					assert.InDelta(t, pair[0].M, pair[1].M, toleranceM, row.source)
					pair[0].M = pair[1].M
				}
			}
			assert.Equal(t, row.want, got[0], row.source)
		})
	}
}

func TestCeiling(t *testing.T) {
	const none, unknown, isKnown = weather.CeilingNone, weather.CeilingUnknown, weather.CeilingKnown
	for _, row := range []struct {
		text, source string
		m            float64
		state        weather.CeilingState
	}{
		{"SCT025TCU BKN080 BKN250", aim, 8000 * ft, isKnown},
		{"SCT008 OVC012CB", aim, 1200 * ft, isKnown},
		{"1/8SM FG VV006", aim, 600 * ft, isKnown},
		{"BKN020 BKN008", "definition: lowest layer, whatever the order", 800 * ft, isKnown},
		{"OVC000", "definition: base below 100 ft", 0, isKnown},
		{"BKN012///", memory + ": type of cloud not seen by an automatic station", 1200 * ft, isKnown},
		{"SKC", aim, 1500, none},
		{"CLR", aim, 1500, none},
		{"NSC", "spilve.lv list", 1500, none},
		{"NCD", "spilve.lv list", 1500, none},
		{"CAVOK", metOffice, 1500, none},
		{"FEW008 SCT030", "Reg (EU) 2021/2237: more than half the sky", 1500, none},
		{"FEW///", ours + ": half the sky or less makes no ceiling at any height", 1500, none},
		{"VV///", metOffice + "; that it is unknown and not clear is ours", 0, unknown},
		{"BKN///", ours, 0, unknown},
		{"//////", ours, 0, unknown},
		{"//////CB", ours, 0, unknown},
		{"///015", ours + ": the amount may be broken", 0, unknown},
		{"SCT010 OVC///", ours, 0, unknown},
		{"OVC012 BKN///", ours + ": at most 1200 ft", 1200 * ft, unknown},
		{"24008KT 9999", ours + ": no cloud group", 0, unknown},
		{"CAVOK BKN010", ours + ": a layer overrules a code", 1000 * ft, isKnown},
	} {
		t.Run(row.text, func(t *testing.T) {
			m, state := group(t, row.text).Ceiling()
			assert.Equal(t, row.state, state, row.source)
			assert.InDelta(t, row.m, m, toleranceM, row.source)
		})
	}
}

// A group that could not be read may have been the lowest layer.
func TestUnreadGroupIsNeverClear(t *testing.T) {
	for _, row := range []struct {
		text  string
		m     float64
		state weather.CeilingState
	}{
		{"BKN0O8", 0, weather.CeilingUnknown},
		{"9999 SCT020 0VC008", 0, weather.CeilingUnknown},
		{"9999 BN008 OVC020", 2000 * ft, weather.CeilingUnknown},
		{"9999 OVC020 BKN 008", 2000 * ft, weather.CeilingUnknown},
		{"9999 SKC XYZZY", 0, weather.CeilingUnknown},
		{"OVC020 XYZZY", 2000 * ft, weather.CeilingKnown},
	} {
		t.Run(row.text, func(t *testing.T) {
			r := report(t, "METAR YUDO 161200Z 24008KT "+row.text)
			assert.NotEmpty(t, r.Unread)
			m, state := r.Base.Ceiling()
			assert.Equal(t, row.state, state, ours)
			assert.InDelta(t, row.m, m, toleranceM, ours)
		})
	}
}

func TestTemperatureAndPressureGroups(t *testing.T) {
	c := func(x float64) *float64 { return &x }
	const source = "UK Met Office and FAA AIM decodes"
	for _, row := range []struct {
		text                  string
		temperature, dew, hPa *float64
	}{
		{"10/03", c(10), c(3), nil},
		{"00/M02", c(0), c(-2), nil},
		{"M05/", c(-5), nil, nil},
		{"10///", c(10), nil, nil},
		{"/////", nil, nil, nil},
		{"M00/M00", c(0), c(0), nil},
		{"Q0995", nil, nil, c(995)},
		{"A2995", nil, nil, c(29.95 * inch)},
		{"Q////", nil, nil, nil},
		{"Q1013 A2992", nil, nil, c(1013)},
	} {
		t.Run(row.text, func(t *testing.T) {
			got := group(t, row.text)
			assert.Equal(t, row.temperature, got.TemperatureC, source)
			assert.Equal(t, row.dew, got.DewPointC, source)
			if row.hPa == nil {
				assert.Nil(t, got.PressureHPa, source)
			} else {
				assertPressure(t, got, *row.hPa)
			}
		})
	}
}

func TestWeatherGroups(t *testing.T) {
	codes := func(s ...string) []string { return s }
	for _, row := range []struct {
		text, source string
		want         weather.Phenomenon
	}{
		{"DZ", iwxxm + "A3-1", weather.Phenomenon{Codes: codes("DZ")}},
		{"+TSRA", iwxxm + "A3-2", weather.Phenomenon{Intensity: weather.Heavy, Descriptor: "TS", Codes: codes("RA")}},
		{"BLSN", aim, weather.Phenomenon{Descriptor: "BL", Codes: codes("SN")}},
		{"-SHRA", aim, weather.Phenomenon{Intensity: weather.Light, Descriptor: "SH", Codes: codes("RA")}},
		{"-RASN", memory, weather.Phenomenon{Intensity: weather.Light, Codes: codes("RA", "SN")}},
		{"TSRAGR", memory, weather.Phenomenon{Descriptor: "TS", Codes: codes("RA", "GR")}},
		{"FZRA", memory, weather.Phenomenon{Descriptor: "FZ", Codes: codes("RA")}},
		{"VCTS", memory, weather.Phenomenon{Vicinity: true, Descriptor: "TS"}},
		{"VCSH", memory, weather.Phenomenon{Vicinity: true, Descriptor: "SH"}},
		{"RETSRA", memory, weather.Phenomenon{Recent: true, Descriptor: "TS", Codes: codes("RA")}},
		{"TS", memory, weather.Phenomenon{Descriptor: "TS"}},
		{"BCFG", memory, weather.Phenomenon{Descriptor: "BC", Codes: codes("FG")}},
		{"+FC", memory, weather.Phenomenon{Intensity: weather.Heavy, Codes: codes("FC")}},
		{"-UP", memory, weather.Phenomenon{Intensity: weather.Light, Codes: codes("UP")}},
	} {
		t.Run(row.text, func(t *testing.T) {
			row.want.Text = row.text
			assert.Equal(t, []weather.Phenomenon{row.want}, group(t, row.text).Weather, row.source)
		})
	}
	assert.True(t, group(t, "NSW").NoWeather, iwxxm+"A3-1")
	assert.True(t, group(t, "//").WeatherMissing, memory)
}

func TestSupplementaryGroups(t *testing.T) {
	c := group(t, "RETS WS R12 W19/S4 R24L/290195 SNOCLO")
	assert.Equal(t, []weather.Shear{{Runway: "12"}}, c.Shear, memory)
	assert.Equal(t, []string{"W19/S4", "R24L/290195", "SNOCLO"}, c.Supplementary, memory)
	assert.Equal(t, []weather.Shear{{}}, group(t, "WS ALL RWY").Shear, memory)
	assert.Equal(t, []weather.Shear{{Runway: "09R"}}, group(t, "WS RWY09R").Shear, memory)
	assert.Equal(t, []string{"R24/CLRD70"}, group(t, "R24/CLRD70").Supplementary, memory)
	assert.Equal(t, []string{"R24///////"}, group(t, "R24///////").Supplementary, memory)
}

// What is close to a code but is none is reported as it stands.
func TestUnreadGroups(t *testing.T) {
	for _, row := range []struct{ text, unread string }{
		{"CAVOK 37010KT", "37010KT"},       // direction
		{"CAVOK 24010G05KT", "24010G05KT"}, // gust below the mean
		{"CAVOK 240400KT", "240400KT"},     // faster than any wind
		{"CAVOK 2410KT", "2410KT"},         // short
		{"CAVOK 24010", "24010"},           // no unit
		{"11/2SM", "11/2SM"},               // a lost space: 5.5 or 1.5 miles
		{"5/3SM", "5/3SM"},                 // no such fraction
		{"1 9999", "1"},                    // half of a mixed number
		{"9999 8000", "8000"},              // a second prevailing visibility
		{"R24/1100V0950", "R24/1100V0950"}, // upside down
		{"MIRARA", "MIRARA"},
		{"RAFG", "RAFG"}, // two kinds that are not written together
		{"FZ", "FZ"},     // a descriptor alone
		{"BKN8", "BKN8"},
		{"9999 SCT010 NSC", "NSC"}, // contradicts the layer
		{"BKN010 CAVOK", "CAVOK"},
		{"Q0100", "Q0100"},
		{"24008KT 24009KT", "24009KT"},
		{"17/16 12/11", "12/11"},
		{"CAVOK 280V350", "280V350"}, // a sector of no wind
		{"BLU", "BLU"},
	} {
		t.Run(row.text, func(t *testing.T) {
			// The pressure is there so that something can be read in every row.
			r := report(t, "METAR YUDO 161200Z "+row.text+" A2992")
			assert.Equal(t, []string{row.unread}, r.Unread, ours)
		})
	}
}

func TestHazards(t *testing.T) {
	for _, row := range []struct {
		text                       string
		thunder, cb, tcu, freezing bool
		icing, icingKnown          bool
	}{
		{"9999 SKC 20/10", false, false, false, false, false, true},
		{"TSRA BKN010CB 20/18", true, true, false, false, false, true},
		{"VCTS SCT030 20/18", true, false, false, false, false, true},
		{"RETS SCT030TCU 20/18", true, false, true, false, false, true},
		{"FZRA OVC010 M02/M03", false, false, false, true, true, true},
		{"FZFG VV001", false, false, false, true, true, true},
		{"PL OVC010 01/M01", false, false, false, false, true, true},
		{"BR OVC010 02/01", false, false, false, false, true, true},
		{"9999 OVC010 03/01", false, false, false, false, true, true},
		{"9999 OVC010 04/01", false, false, false, false, false, true},
		{"9999 FEW030 M05/M15", false, false, false, false, false, true},
		{"9999 OVC010", false, false, false, false, false, false},
		{"9999 VV/// M01/M01", false, false, false, false, false, false},
		{"// SKC M01/M01", false, false, false, false, false, false},
	} {
		t.Run(row.text, func(t *testing.T) {
			c := group(t, row.text)
			assert.Equal(t, row.thunder, c.Thunderstorm(), ours)
			assert.Equal(t, row.cb, c.Cumulonimbus(), ours)
			assert.Equal(t, row.tcu, c.ToweringCumulus(), ours)
			assert.Equal(t, row.freezing, c.Freezing(), ours)
			possible, isKnown := c.Icing()
			assert.Equal(t, row.icing, possible, ours)
			assert.Equal(t, row.icingKnown, isKnown, ours)
		})
	}
}
