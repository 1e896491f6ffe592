package weather_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo/weather"
)

func forecast(t *testing.T, text string) weather.Forecast {
	t.Helper()
	f, err := weather.ParseForecast(text, near)
	require.NoError(t, err)
	return f
}

func assertChange(t *testing.T, c weather.Change, kind weather.ChangeKind, probability int, from, to time.Time) {
	t.Helper()
	assert.Equal(t, kind, c.Kind)
	assert.Equal(t, probability, c.Probability)
	assert.Equal(t, from, c.From)
	assert.Equal(t, to, c.To)
}

const metresForecast = "TAF YUDO 151800Z 1600/1618 13005MPS 9000 BKN020 BECMG 1606/1608 SCT015CB BKN020 " +
	"TEMPO 1608/1612 17006G12MPS 1000 TSRA SCT010CB BKN020 FM161230 15004MPS 9999 BKN020"

// Row 3 of the reference.
func TestForecastInMetres(t *testing.T) {
	t.Log("source: " + iwxxm + "A5-1")
	f := forecast(t, metresForecast)
	assert.Equal(t, "YUDO", f.Station)
	assert.Equal(t, at(15, 18, 0), f.Issued)
	assert.Equal(t, [2]time.Time{at(16, 0, 0), at(16, 18, 0)}, [2]time.Time{f.From, f.To})
	assertWind(t, f.Base.Wind, 130, 5, 0)
	assertVisibility(t, f.Base.Visibility, 9000)
	assertLayers(t, f.Base, known(weather.Broken, 2000, ""))
	assert.Empty(t, f.Unread)

	require.Len(t, f.Changes, 3)
	assertChange(t, f.Changes[0], weather.Becoming, 0, at(16, 6, 0), at(16, 8, 0))
	assert.Nil(t, f.Changes[0].Conditions.Wind)
	assertLayers(t, f.Changes[0].Conditions, known(weather.Scattered, 1500, "CB"), known(weather.Broken, 2000, ""))
	assertChange(t, f.Changes[1], weather.Temporary, 0, at(16, 8, 0), at(16, 12, 0))
	assertWind(t, f.Changes[1].Conditions.Wind, 170, 6, 12)
	assertVisibility(t, f.Changes[1].Conditions.Visibility, 1000)
	assert.Equal(t, "TSRA", texts(f.Changes[1].Conditions))
	assertLayers(t, f.Changes[1].Conditions, known(weather.Scattered, 1000, "CB"), known(weather.Broken, 2000, ""))
	assertChange(t, f.Changes[2], weather.FromTime, 0, at(16, 12, 30), at(16, 18, 0))
	assertWind(t, f.Changes[2].Conditions.Wind, 150, 4, 0)
	assert.Equal(t, &weather.Visibility{M: 10000, OrMore: true}, f.Changes[2].Conditions.Visibility)
}

// Row 4.
func TestForecastCancelled(t *testing.T) {
	t.Log("source: " + iwxxm + "A5-2")
	f := forecast(t, "TAF AMD YUDO 161500Z 1600/1618 CNL")
	assert.True(t, f.Amended && f.Cancelled)
	_, _, ok := f.At(at(16, 12, 0))
	assert.False(t, ok)
}

const milesForecast = "TAF KPIT 091730Z 0918/1024 15005KT 5SM HZ FEW020 WS010/31022KT FM091930 30015G25KT 3SM SHRA OVC015 " +
	"TEMPO 0920/0922 1/2SM +TSRA OVC008CB FM100100 27008KT 5SM SHRA BKN020 OVC040 PROB30 1004/1007 1SM -RA BR " +
	"FM101015 18005KT 6SM -SHRA OVC020 BECMG 1013/1015 P6SM NSW SKC"

// Row 11.
func TestForecastInMiles(t *testing.T) {
	t.Log("source: " + aim + ", key to the aerodrome forecast: valid from the 9th 18 h to the 10th 24 h")
	f := forecast(t, milesForecast)
	assert.Equal(t, [2]time.Time{at(9, 18, 0), at(11, 0, 0)}, [2]time.Time{f.From, f.To})
	assertWind(t, f.Base.Wind, 150, 5*kt, 0)
	assertVisibility(t, f.Base.Visibility, 5*sm)
	assert.Equal(t, "HZ", texts(f.Base))
	require.Len(t, f.Base.Shear, 1)
	assert.InDelta(t, 1000*ft, f.Base.Shear[0].HeightM, toleranceM)
	assertWind(t, f.Base.Shear[0].Wind, 310, 22*kt, 0)
	assert.Empty(t, f.Unread)

	require.Len(t, f.Changes, 6)
	assertChange(t, f.Changes[0], weather.FromTime, 0, at(9, 19, 30), f.To)
	assertWind(t, f.Changes[0].Conditions.Wind, 300, 15*kt, 25*kt)
	assertChange(t, f.Changes[1], weather.Temporary, 0, at(9, 20, 0), at(9, 22, 0))
	assertVisibility(t, f.Changes[1].Conditions.Visibility, sm/2)
	assertLayers(t, f.Changes[1].Conditions, known(weather.Overcast, 800, "CB"))
	assertChange(t, f.Changes[2], weather.FromTime, 0, at(10, 1, 0), f.To)
	assertChange(t, f.Changes[3], weather.Probable, 30, at(10, 4, 0), at(10, 7, 0))
	assert.Equal(t, "-RA BR", texts(f.Changes[3].Conditions))
	assertChange(t, f.Changes[4], weather.FromTime, 0, at(10, 10, 15), f.To)
	assertChange(t, f.Changes[5], weather.Becoming, 0, at(10, 13, 0), at(10, 15, 0))
	assert.True(t, f.Changes[5].Conditions.NoWeather)
	assert.Equal(t, weather.SkyClear, f.Changes[5].Conditions.Sky.Clear)
	assert.Equal(t, weather.Visibility{M: 6 * sm, OrMore: true}, *f.Changes[5].Conditions.Visibility)
}

func TestForecastWithTemperaturesAndProbableSpells(t *testing.T) {
	t.Log("source: " + memory)
	f := forecast(t, "TAF YUDO 151700Z 1518/1624 24008KT 9999 SCT030 TX12/1614Z TNM02/1605Z "+
		"PROB40 TEMPO 1603/1606 0400 FZFG VV001 AMD NOT SKED AFT 1618=")
	assert.Equal(t, []weather.ExtremeTemperature{
		{Highest: true, TemperatureC: 12, At: at(16, 14, 0)},
		{TemperatureC: -2, At: at(16, 5, 0)},
	}, f.Temperatures)
	require.Len(t, f.Changes, 1)
	assertChange(t, f.Changes[0], weather.Temporary, 40, at(16, 3, 0), at(16, 6, 0))
	assert.True(t, f.Changes[0].Conditions.Freezing())
	assert.Equal(t, "AMD NOT SKED AFT 1618", f.Remarks)
	assert.Empty(t, f.Unread)
}

func TestForecastMissing(t *testing.T) {
	f := forecast(t, "TAF YUDO 151700Z NIL=")
	assert.True(t, f.Missing, memory)
	_, _, ok := f.At(near)
	assert.False(t, ok)
}

// A change with a slip in its kind or time is never taken for part of what came
// before it, and is unknown at every instant.
func TestUnreadableChange(t *testing.T) {
	const before = "TAF YUDO 151700Z 1518/1624 24008KT 9999 SCT030 "
	for _, row := range []struct{ name, text, unread string }{
		{"no such hour", "TEMPO 1625/1626 0500 FG VV001", "TEMPO 1625/1626 0500 FG VV001"},
		{"no period", "TEMPO 0500 FG VV001", "TEMPO 0500 FG VV001"},
		{"period outside the forecast", "BECMG 1702/1704 0500 FG VV001", "BECMG 1702/1704 0500 FG VV001"},
		{"period backwards", "BECMG 1604/1602 0500 FG VV001", "BECMG 1604/1602 0500 FG VV001"},
		{"probability", "PROB3O 1602/1604 0500 FG VV001", "PROB3O 1602/1604 0500 FG VV001"},
		{"older form of the time", "FM0300 24010KT 0500 FG VV001", "FM0300 24010KT 0500 FG VV001"},
		{"time outside the forecast", "FM171200 24010KT 0500 FG VV001", "FM171200 24010KT 0500 FG VV001"},
		{"another kind", "INTER 1602/1604 0500 FG VV001", "INTER 1602/1604 0500 FG VV001"},
	} {
		t.Run(row.name, func(t *testing.T) {
			f := forecast(t, before+row.text)
			assert.Equal(t, []string{row.unread}, f.Unread, ours)
			assertVisibility9999(t, f.Base)
			require.Len(t, f.Changes, 1)
			assertChange(t, f.Changes[0], weather.Unreadable, 0, f.From, f.To)
			_, temporary, ok := f.At(at(16, 0, 0))
			assert.True(t, ok)
			require.Len(t, temporary, 1)
			_, state := temporary[0].Ceiling()
			assert.Equal(t, weather.CeilingUnknown, state, ours)
			_, isKnown := temporary[0].LowestVisibility()
			assert.False(t, isKnown, ours)
		})
	}
	t.Run("misspelt kind", func(t *testing.T) {
		f := forecast(t, before+"TEMP0 1602/1604 0500 FG VV001")
		assert.Equal(t, []string{"TEMP0", "1602/1604 0500 FG VV001"}, f.Unread, ours)
		assertVisibility9999(t, f.Base)
	})
}

func assertVisibility9999(t *testing.T, c weather.Conditions) {
	t.Helper()
	assert.Equal(t, &weather.Visibility{M: 10000, OrMore: true}, c.Visibility)
	assert.Empty(t, c.Weather)
}

func TestForecastErrors(t *testing.T) {
	for _, row := range []struct{ text, says string }{
		{"TAF YUDO 151700Z 24008KT 9999", "no period of validity"},
		{"TAF KPIT 091730Z 091818 15005KT", "no period of validity"}, // older form
		{"TAF YUDO 151700Z 1518/2024 24008KT", "longer than 48 hours"},
		{"TAF YUDO 151700Z 1518/1624 XYZZY", "no weather that could be read"},
		{"TAF YUDO 151700Z 1518/1624", "no weather that could be read"},
		{"METAR YUDO 151700Z 24008KT", "this is a report"},
	} {
		_, err := weather.ParseForecast(row.text, near)
		assert.ErrorContains(t, err, row.says, row.text)
	}
}
