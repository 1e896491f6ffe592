package weather_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo/weather"
)

const carryOver = "AIM 7-1: FM replaces everything, omitted elements carry over"

func TestForecastAtAnInstant(t *testing.T) {
	f := forecast(t, metresForecast)
	at := func(t *testing.T, when time.Time) (weather.Conditions, []weather.Conditions) {
		prevailing, temporary, ok := f.At(when)
		require.True(t, ok)
		return prevailing, temporary
	}
	t.Run("before the change", func(t *testing.T) {
		c, temporary := at(t, time.Date(2031, 3, 16, 5, 59, 0, 0, time.UTC))
		assertLayers(t, c, known(weather.Broken, 2000, ""))
		assert.False(t, c.Cumulonimbus())
		assert.Empty(t, temporary)
	})
	t.Run("while it becomes", func(t *testing.T) {
		c, _ := at(t, time.Date(2031, 3, 16, 7, 0, 0, 0, time.UTC))
		assert.True(t, c.Cumulonimbus(), ours+": worse of before and after")
		assertCeiling(t, c, 2000*ft)
		assertWind(t, c.Wind, 130, 5, 0)
	})
	t.Run("in a temporary spell", func(t *testing.T) {
		c, temporary := at(t, time.Date(2031, 3, 16, 8, 0, 0, 0, time.UTC))
		assertLayers(t, c, known(weather.Scattered, 1500, "CB"), known(weather.Broken, 2000, ""))
		assertVisibility(t, c.Visibility, 9000) // carried over
		assert.False(t, c.Thunderstorm())
		require.Len(t, temporary, 1)
		assert.True(t, temporary[0].Thunderstorm())
		assertVisibility(t, temporary[0].Visibility, 1000)
	})
	t.Run("after a new beginning", func(t *testing.T) {
		c, temporary := at(t, time.Date(2031, 3, 16, 12, 30, 0, 0, time.UTC))
		assertWind(t, c.Wind, 150, 4, 0)
		assertLayers(t, c, known(weather.Broken, 2000, ""))
		assert.False(t, c.Cumulonimbus(), carryOver)
		assert.Empty(t, temporary)
	})
	for _, outside := range []time.Time{f.From.Add(-time.Second), f.To, f.To.AddDate(1, 0, 0), {}} {
		_, _, ok := f.At(outside)
		assert.False(t, ok, "definition: valid from From, up to To")
	}
}

func TestForecastCarriesOver(t *testing.T) {
	f := forecast(t, milesForecast)
	c, temporary, ok := f.At(at(10, 5, 0))
	require.True(t, ok)
	assertVisibility(t, c.Visibility, 5*sm)
	assert.Equal(t, "SHRA", texts(c))
	require.Len(t, temporary, 1)
	assertVisibility(t, temporary[0].Visibility, sm)
	assertCeiling(t, temporary[0], 2000*ft)        // carried over
	assertWind(t, temporary[0].Wind, 270, 8*kt, 0) // carried over
	assert.Equal(t, "-RA BR", texts(temporary[0]))

	// The 5SM of the afternoon and the shear below 1000 ft ended with the first FM.
	assert.Empty(t, c.Shear, carryOver)

	during, _, _ := f.At(at(10, 14, 0))
	assertVisibility(t, during.Visibility, 6*sm)
	assertCeiling(t, during, 2000*ft)
	assert.Equal(t, "-SHRA", texts(during))

	after, _, _ := f.At(at(10, 15, 0))
	assert.Equal(t, weather.SkyClear, after.Sky.Clear)
	assert.Empty(t, after.Weather)
	assertWind(t, after.Wind, 180, 5*kt, 0) // carried over
	_, state := after.Ceiling()
	assert.Equal(t, weather.CeilingNone, state)
}

func TestUnreadGroupInAChangeCarriesNothingOver(t *testing.T) {
	f := forecast(t, "TAF YUDO 151700Z 1518/1624 24008KT CAVOK BECMG 1600/1602 24010KT O500")
	after, _, ok := f.At(at(16, 3, 0))
	require.True(t, ok)
	assertWind(t, after.Wind, 240, 10*kt, 0)
	assert.Nil(t, after.Visibility, ours+": the unread group may have been the visibility")
	_, state := after.Ceiling()
	assert.Equal(t, weather.CeilingUnknown, state, ours)
	assert.Equal(t, []string{"O500"}, after.Unread)

	during, _, _ := f.At(at(16, 1, 0))
	assert.Equal(t, &weather.Visibility{M: 10000, LessThan: true}, during.Visibility, ours+": unknown below")
}

func TestDirectionalVisibilityAloneIsNotCarriedOver(t *testing.T) {
	f := forecast(t, "TAF YUDO 151700Z 1518/1624 24008KT CAVOK BECMG 1600/1602 1200SW")
	after, _, ok := f.At(at(16, 3, 0))
	require.True(t, ok)
	_, isKnown := after.LowestVisibility()
	assert.False(t, isKnown, ours+": the prevailing visibility is not given")
}

func TestChangesOutOfOrder(t *testing.T) {
	const text = "TAF YUDO 151700Z 1518/1624 24008KT CAVOK FM161200 27010KT 5000 BKN010 FM160600 25009KT 8000 SCT020"
	c, _, ok := forecast(t, text).At(at(16, 13, 0))
	require.True(t, ok)
	assertWind(t, c.Wind, 270, 10*kt, 0)
	c, _, _ = forecast(t, text).At(at(16, 7, 0))
	assertWind(t, c.Wind, 250, 9*kt, 0)
}

func TestWorst(t *testing.T) {
	day := group(t, "24010KT 9999 4000SW SCT040 12/08 Q1020")
	fog := group(t, "VRB02KT 0300 R24/0400 FG VV001 02/02 Q1025")
	gale := group(t, "31025G45KT 8000 -SHRA BKN015CB 09/05 Q0998")
	w := weather.Worst(day, fog, gale)
	assertWind(t, w.Wind, 310, 25*kt, 45*kt)
	lowest, ok := w.LowestVisibility()
	assert.True(t, ok)
	assert.Equal(t, 300.0, lowest.M)
	assertCeiling(t, w, 100*ft)
	assert.Equal(t, "FG -SHRA", texts(w))
	assert.True(t, w.Cumulonimbus())
	assertTemperatures(t, w, 2, 2)
	assertPressure(t, w, 998)
	assert.Len(t, w.RVR, 1)

	assert.Equal(t, day, weather.Worst(day), "identity")
	assert.Equal(t, weather.Conditions{}, weather.Worst(), "definition")
	assert.Len(t, day.Weather, 0, "the arguments are left alone")
}

func TestWorstOfKnownAndUnknown(t *testing.T) {
	isKnown := group(t, "24010KT 0800 BKN003")
	unknown := group(t, "Q1013")
	for _, w := range []weather.Conditions{weather.Worst(isKnown, unknown), weather.Worst(unknown, isKnown)} {
		assert.True(t, w.Wind.SpeedOrMore, ours)
		assert.Equal(t, &weather.Visibility{M: 800, LessThan: true}, w.Visibility, ours)
		m, state := w.Ceiling()
		assert.Equal(t, weather.CeilingUnknown, state, ours)
		assert.InDelta(t, 300*ft, m, toleranceM, ours+": no higher than the known one")
	}
	cloudless := group(t, "9999 SKC")
	_, state := weather.Worst(cloudless, unknown).Ceiling()
	assert.Equal(t, weather.CeilingUnknown, state, ours)
	_, state = weather.Worst(cloudless, group(t, "NSC")).Ceiling()
	assert.Equal(t, weather.CeilingNone, state, ours)
}

func TestWorstVisibility(t *testing.T) {
	for _, row := range []struct {
		a, b string
		want weather.Visibility
	}{
		{"5000", "9999", weather.Visibility{M: 5000}},
		{"9999", "CAVOK", weather.Visibility{M: 10000, OrMore: true}},
		{"0050", "0000", weather.Visibility{M: 50, LessThan: true}},
		{"0200", "M1/4SM", weather.Visibility{M: 200, LessThan: true}}, // a quarter mile is 402 m, less may be under 200
		{"P6SM", "6SM", weather.Visibility{M: 6 * sm}},
	} {
		a, b := group(t, row.a), group(t, row.b)
		assert.Equal(t, &row.want, weather.Worst(a, b).Visibility, "%s, %s", row.a, row.b)
		assert.Equal(t, &row.want, weather.Worst(b, a).Visibility, "%s, %s", row.b, row.a)
	}
}
