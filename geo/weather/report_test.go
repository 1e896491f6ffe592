package weather_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/geo/weather"
)

const (
	iwxxm = "WMO IWXXM/examples, commit 2c4db03d, from ICAO Annex 3 example "
	aim   = "FAA Aeronautical Information Manual 7-1, pages 7-1-62 to 71"
	kt    = geo.Knot
	sm    = geo.StatuteMile
	ft    = geo.Foot
	inch  = 33.8639 // hPa, from memory

	toleranceM, toleranceMS, toleranceHPa = 0.01, 1e-6, 0.05
)

// near is a reference time in the middle of the month, so that every day of it is
// nearer than the same day of another month.
var near = time.Date(2031, 3, 16, 12, 0, 0, 0, time.UTC)

func at(day, hour, minute int) time.Time {
	return time.Date(2031, 3, day, hour, minute, 0, 0, time.UTC)
}

func report(t *testing.T, text string) weather.Report {
	t.Helper()
	r, err := weather.ParseReport(text, near)
	require.NoError(t, err)
	return r
}

func assertWind(t *testing.T, w *weather.Wind, fromDeg, speedMS, gustMS float64) {
	t.Helper()
	require.NotNil(t, w)
	assert.Equal(t, fromDeg, w.FromDeg)
	assert.InDelta(t, speedMS, w.SpeedMS, toleranceMS)
	assert.InDelta(t, gustMS, w.GustMS, toleranceMS)
	assert.True(t, w.HasDirection())
}

func assertVisibility(t *testing.T, v *weather.Visibility, m float64) {
	t.Helper()
	require.NotNil(t, v)
	assert.InDelta(t, m, v.M, toleranceM)
	assert.False(t, v.OrMore || v.LessThan)
}

func assertCeiling(t *testing.T, c weather.Conditions, m float64) {
	t.Helper()
	got, state := c.Ceiling()
	assert.Equal(t, weather.CeilingKnown, state)
	assert.InDelta(t, m, got, toleranceM)
}

func assertTemperatures(t *testing.T, c weather.Conditions, temperatureC, dewPointC float64) {
	t.Helper()
	require.NotNil(t, c.TemperatureC)
	require.NotNil(t, c.DewPointC)
	assert.Equal(t, temperatureC, *c.TemperatureC)
	assert.Equal(t, dewPointC, *c.DewPointC)
}

func assertPressure(t *testing.T, c weather.Conditions, hPa float64) {
	t.Helper()
	require.NotNil(t, c.PressureHPa)
	assert.InDelta(t, hPa, *c.PressureHPa, toleranceHPa)
}

func texts(c weather.Conditions) string {
	var groups []string
	for _, p := range c.Weather {
		groups = append(groups, p.Text)
	}
	return strings.Join(groups, " ")
}

func known(cover weather.Cover, feet float64, kind weather.CloudType) weather.Layer {
	return weather.Layer{Cover: cover, BaseM: feet * ft, BaseKnown: true, Type: kind}
}

func assertLayers(t *testing.T, c weather.Conditions, want ...weather.Layer) {
	t.Helper()
	require.NotNil(t, c.Sky)
	got := c.Sky.Layers
	require.Len(t, got, len(want))
	for i := range want {
		assert.InDelta(t, want[i].BaseM, got[i].BaseM, toleranceM)
		want[i].BaseM = got[i].BaseM
		assert.Equal(t, want[i], got[i])
	}
}

// Row 1 of the reference.
func TestReportWithRunwayVisualRangeAndTrends(t *testing.T) {
	t.Log("source: " + iwxxm + "A3-1, first")
	r := report(t, "METAR YUDO 221630Z 24004MPS 0600 R12/1000U DZ FG SCT010 OVC020 17/16 Q1018 BECMG TL1700 0800 FG BECMG AT1800 9999 NSW")
	assert.Equal(t, "METAR", r.Kind)
	assert.Equal(t, "YUDO", r.Station)
	assert.Equal(t, at(22, 16, 30), r.Issued)
	assert.False(t, r.Auto || r.Corrected || r.Missing)
	assertWind(t, r.Base.Wind, 240, 4, 0)
	assertVisibility(t, r.Base.Visibility, 600)
	require.Len(t, r.Base.RVR, 1)
	assert.Equal(t, "12", r.Base.RVR[0].Runway)
	assertVisibility(t, r.Base.RVR[0].Low, 1000)
	assert.Nil(t, r.Base.RVR[0].High)
	assert.Equal(t, weather.Rising, r.Base.RVR[0].Tendency)
	assert.Equal(t, "DZ FG", texts(r.Base))
	assertLayers(t, r.Base, known(weather.Scattered, 1000, ""), known(weather.Overcast, 2000, ""))
	assertTemperatures(t, r.Base, 17, 16)
	assertPressure(t, r.Base, 1018)
	assertCeiling(t, r.Base, 2000*ft)
	assert.Empty(t, r.Unread)

	require.Len(t, r.Trends, 2)
	first, second := r.Trends[0], r.Trends[1]
	assert.Equal(t, weather.Becoming, first.Kind)
	assert.Equal(t, [2]time.Time{at(22, 16, 30), at(22, 17, 0)}, [2]time.Time{first.From, first.To})
	assertVisibility(t, first.Conditions.Visibility, 800)
	assert.Equal(t, "FG", texts(first.Conditions))
	assert.Equal(t, weather.Becoming, second.Kind)
	assert.Equal(t, [2]time.Time{at(22, 18, 0), at(22, 18, 0)}, [2]time.Time{second.From, second.To})
	assert.Equal(t, &weather.Visibility{M: 10000, OrMore: true}, second.Conditions.Visibility)
	assert.True(t, second.Conditions.NoWeather)
	assert.Nil(t, second.Conditions.Sky)
}

// Row 2.
func TestSpecialReportWithDirectionalMinimum(t *testing.T) {
	t.Log("source: " + iwxxm + "A3-2")
	r := report(t, "SPECI YUDO 151115Z 05025G37KT 3000 1200NE +TSRA BKN005CB 25/22 Q1008 TEMPO TL1200 0600 BECMG AT1200 8000 NSW NSC")
	assert.Equal(t, "SPECI", r.Kind)
	assertWind(t, r.Base.Wind, 50, 25*kt, 37*kt)
	assertVisibility(t, r.Base.Visibility, 3000)
	require.Len(t, r.Base.Directional, 1)
	assert.Equal(t, 1200.0, r.Base.Directional[0].M)
	assert.Equal(t, 45.0, r.Base.Directional[0].TowardDeg)
	lowest, ok := r.Base.LowestVisibility()
	assert.True(t, ok)
	assert.Equal(t, 1200.0, lowest.M)
	assert.Equal(t, []weather.Phenomenon{{
		Text: "+TSRA", Intensity: weather.Heavy, Descriptor: "TS", Codes: []string{"RA"},
	}}, r.Base.Weather)
	assertLayers(t, r.Base, known(weather.Broken, 500, weather.Cumulonimbus))
	assertCeiling(t, r.Base, 500*ft)
	assertTemperatures(t, r.Base, 25, 22)
	assertPressure(t, r.Base, 1008)
	assert.True(t, r.Base.Thunderstorm() && r.Base.Cumulonimbus())
	assert.Empty(t, r.Unread)

	require.Len(t, r.Trends, 2)
	assert.Equal(t, weather.Temporary, r.Trends[0].Kind)
	assert.Equal(t, [2]time.Time{at(15, 11, 15), at(15, 12, 0)}, [2]time.Time{r.Trends[0].From, r.Trends[0].To})
	assertVisibility(t, r.Trends[0].Conditions.Visibility, 600)
	assert.Equal(t, at(15, 12, 0), r.Trends[1].From)
	assertVisibility(t, r.Trends[1].Conditions.Visibility, 8000)
	assert.True(t, r.Trends[1].Conditions.NoWeather)
	assert.Equal(t, weather.NoSignificantCloud, r.Trends[1].Conditions.Sky.Clear)
}

// Rows 5 and 6.
func TestReportMissingAndInvalid(t *testing.T) {
	r := report(t, "METAR YUDO 221630Z NIL")
	assert.True(t, r.Missing, iwxxm+"A5: missing report")
	assert.Equal(t, "YUDO", r.Station)
	_, state := r.Base.Ceiling()
	assert.Equal(t, weather.CeilingUnknown, state)

	_, err := weather.ParseReport("METAR YUDO 221630Z INVALID", near)
	assert.ErrorContains(t, err, `no weather that could be read: "INVALID"`, iwxxm+"A5: translation fails")
}

// Row 7.
func TestReportWithIndefiniteCeiling(t *testing.T) {
	t.Log("source: " + aim)
	r := report(t, "METAR KBNA 281250Z 33018KT 290V360 1/2SM R31/2700FT SN BLSN FG VV008 00/M03 A2991 RMK RAE42SNB42")
	assert.Equal(t, at(28, 12, 50), r.Issued)
	assert.False(t, r.Auto)
	assertWind(t, r.Base.Wind, 330, 18*kt, 0)
	assert.Equal(t, &weather.Sector{FromDeg: 290, ToDeg: 360}, r.Base.Wind.Sector)
	assertVisibility(t, r.Base.Visibility, sm/2)
	require.Len(t, r.Base.RVR, 1)
	assert.Equal(t, "31", r.Base.RVR[0].Runway)
	assertVisibility(t, r.Base.RVR[0].Low, 2700*ft)
	assert.Equal(t, "SN BLSN FG", texts(r.Base))
	assertLayers(t, r.Base, known(weather.Obscured, 800, ""))
	assertCeiling(t, r.Base, 800*ft)
	assertTemperatures(t, r.Base, 0, -3)
	assertPressure(t, r.Base, 29.91*inch)
	assert.Equal(t, "RAE42SNB42", r.Remarks)
	assert.Empty(t, r.Unread)
}

// Row 8.
func TestAutomaticReport(t *testing.T) {
	t.Log("source: " + aim)
	r := report(t, "METAR KSFO 041453Z AUTO VRB02KT 3SM BR CLR 15/12 A3012 RMK AO2")
	assert.True(t, r.Auto)
	assert.True(t, r.Base.Wind.Variable)
	assert.False(t, r.Base.Wind.HasDirection())
	assert.InDelta(t, 2*kt, r.Base.Wind.SpeedMS, toleranceMS)
	assertVisibility(t, r.Base.Visibility, 3*sm)
	assert.Equal(t, "BR", texts(r.Base))
	assert.Equal(t, weather.ClearBelow12000, r.Base.Sky.Clear)
	_, state := r.Base.Ceiling()
	assert.Equal(t, weather.CeilingNone, state)
	assertTemperatures(t, r.Base, 15, 12)
	assertPressure(t, r.Base, 30.12*inch)
	assert.Equal(t, "AO2", r.Remarks)
	assert.Empty(t, r.Unread)
}

// Row 9.
func TestSpecialReportOfThunderstorm(t *testing.T) {
	t.Log("source: " + aim + "; the manual's explanation prints 2228, its string 2224")
	r := report(t, "SPECI KCVG 152224Z 28024G36KT 3/4SM +TSRA BKN008 OVC020CB 28/23 A3000 RMK TSRAB24 TS W MOV E")
	assert.Equal(t, at(15, 22, 24), r.Issued)
	assertWind(t, r.Base.Wind, 280, 24*kt, 36*kt)
	assertVisibility(t, r.Base.Visibility, 1207.008)
	assert.Equal(t, "+TSRA", texts(r.Base))
	assertLayers(t, r.Base, known(weather.Broken, 800, ""), known(weather.Overcast, 2000, weather.Cumulonimbus))
	assertCeiling(t, r.Base, 800*ft)
	assertTemperatures(t, r.Base, 28, 23)
	assertPressure(t, r.Base, 30.00*inch)
	assert.Equal(t, "TSRAB24 TS W MOV E", r.Remarks)
	assert.Empty(t, r.Unread)
}

// Row 10.
func TestCorrectedReport(t *testing.T) {
	t.Log("source: " + aim)
	r := report(t, "METAR KPIT 091955Z COR 22015G25KT 3/4SM R28L/2600FT TSRA OVC010CB 18/16 A2992 RMK SLP045 T01820159")
	assert.True(t, r.Corrected)
	assertWind(t, r.Base.Wind, 220, 15*kt, 25*kt)
	assertVisibility(t, r.Base.Visibility, 0.75*sm)
	require.Len(t, r.Base.RVR, 1)
	assert.Equal(t, "28L", r.Base.RVR[0].Runway)
	assertVisibility(t, r.Base.RVR[0].Low, 792.48)
	assert.Equal(t, "TSRA", texts(r.Base))
	assertCeiling(t, r.Base, 1000*ft)
	assertTemperatures(t, r.Base, 18, 16)
	assertPressure(t, r.Base, 1013.2)
	assert.Equal(t, "SLP045 T01820159", r.Remarks)
	assert.Empty(t, r.Unread)
}

// Row 15.
func TestCalmAndClear(t *testing.T) {
	t.Log("source: met.tamu.edu")
	r := report(t, "KSBP 231447Z 00000KT 25SM SKC 05/04 A3027")
	assert.Empty(t, r.Kind)
	assert.Equal(t, "KSBP", r.Station)
	assertWind(t, r.Base.Wind, 0, 0, 0)
	assertVisibility(t, r.Base.Visibility, 25*sm)
	assert.Equal(t, weather.SkyClear, r.Base.Sky.Clear)
	assertTemperatures(t, r.Base, 5, 4)
	assertPressure(t, r.Base, 30.27*inch)
	assert.Empty(t, r.Unread)
}

// Row 16.
func TestReportWithoutStation(t *testing.T) {
	t.Log("source: whatwecanoffer.com, not official")
	r := report(t, "METAR 191050Z 36003KT CAVOK 15/05 Q1014")
	assert.Empty(t, r.Station)
	assertWind(t, r.Base.Wind, 360, 3*kt, 0)
	assert.Equal(t, weather.CAVOK, r.Base.Sky.Clear)
	assert.Equal(t, &weather.Visibility{M: 10000, OrMore: true}, r.Base.Visibility)
	assert.True(t, r.Base.NoWeather)
	m, state := r.Base.Ceiling()
	assert.Equal(t, weather.CeilingNone, state)
	assert.Equal(t, 1500.0, m)
	assertTemperatures(t, r.Base, 15, 5)
	assertPressure(t, r.Base, 1014)
	assert.Empty(t, r.Unread)
}
