package api_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/facilities"
	"surgeonward/geo/wind"
	"surgeonward/routing/flight"
)

// TestConditionsAreUnderstood: the units of the trade become those of the
// model. Source: the international foot of 1959, and the knot, 1852 m an hour.
func TestConditionsAreUnderstood(t *testing.T) {
	decoder, err := api.NewDecoder()
	require.NoError(t, err)
	fuel := 5400.0
	q, err := decoder.Decode([]byte(`{"scene":{"position":[-29.41,45.52],"carry":{"distance_m":250},"winch":true},
		"patient":{"stop":{"typical_s":900,"slow_s":1500}},
		"assets":{"states":[{"asset":"heli-1","state":"at_base","fuel_s":5400}]},
		"conditions":{"wind":{"from_deg":240,"speed_kt":18,"gust_kt":36},"ceiling_ft":1000,"visibility_m":8000,"reports":["one","two"]}}`), demo(t), now)
	require.NoError(t, err)
	g := q.Conditions.Given
	const toleranceMS, toleranceM = 1e-9, 1e-9
	require.NotNil(t, g.Wind)
	assert.InDelta(t, 240, g.Wind.FromDeg, 0)
	assert.InDelta(t, 9.26, g.Wind.SpeedMS, toleranceMS)
	assert.InDelta(t, 18.52, g.Wind.GustMS, toleranceMS)
	assert.InDelta(t, 304.8, *g.CeilingM, toleranceM)
	assert.InDelta(t, 8000, *g.VisibilityM, toleranceM)
	assert.Equal(t, []string{"one", "two"}, q.Conditions.Reports)
	assert.InDelta(t, 250, q.Scene.CarryM, 0)
	assert.Nil(t, q.Scene.Carry)
	assert.True(t, q.Scene.Winch)
	assert.Equal(t, &facilities.Timing{TypicalS: 900, SlowS: 1500}, q.Patient.Stop)
	assert.Equal(t, &fuel, q.Assets.States[0].FuelS)
}

// TestNothingSaid: nothing said of the weather is no weather, not a calm and
// clear one.
func TestNothingSaid(t *testing.T) {
	decoder, err := api.NewDecoder()
	require.NoError(t, err)
	for _, body := range []string{someWhere, conditions("")} {
		q, err := decoder.Decode([]byte(body), demo(t), now)
		require.NoError(t, err)
		assert.Equal(t, flight.Given{}, q.Conditions.Given)
		assert.Empty(t, q.Conditions.Reports)
	}
	q, err := decoder.Decode([]byte(conditions(`"wind":{"from_deg":0,"speed_kt":0}`)), demo(t), now)
	require.NoError(t, err)
	assert.Equal(t, &wind.Wind{}, q.Conditions.Given.Wind, "a calm is a wind that was stated")
}

// TestWeatherInTheAnswer: what stations say comes back in the order of their
// codes, null where it is not known. Source: the reports, read by hand.
func TestWeatherInTheAnswer(t *testing.T) {
	h := handler(t)
	w := post(h, `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52]},"assets":{"only":["amb-11"]},"conditions":{"reports":[
		"METAR QQRR 142120Z VRB03KT CAVOK 09/03 Q1026",
		"METAR QQOV 142120Z 25030G44KT 8000 -RA BKN016 OVC028 09/07 Q0991",
		"METAR QQUS 142130Z /////KT //// ////// 09/07 Q0991",
		"TAF QQLU 141700Z 1418/1518 25032KT 6000 -RA BKN014"]}}`)
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	served(t, h, true).check(t, http.MethodPost, "/v1/options", w)
	var got []map[string]any
	for _, s := range object(t, w.Body.Bytes())["weather"].([]any) {
		station := s.(map[string]any)
		assert.Positive(t, station["scene_distance_m"])
		delete(station, "scene_distance_m")
		got = append(got, station)
	}
	assert.Equal(t, []map[string]any{
		{"station": "QQLU", "age_s": nil, "ceiling_ft": 1400.0, "visibility_m": 6000.0, "forecast": true,
			"wind": map[string]any{"from_deg": 250.0, "speed_kt": 32.0}},
		{"station": "QQOV", "age_s": 1200.0, "ceiling_ft": 1600.0, "visibility_m": 8000.0, "forecast": false,
			"wind": map[string]any{"from_deg": 250.0, "speed_kt": 30.0, "gust_kt": 44.0}},
		{"station": "QQRR", "age_s": 1200.0, "ceiling_ft": 4921.0, "visibility_m": 10000.0, "forecast": false,
			"wind": map[string]any{"from_deg": nil, "speed_kt": 3.0}},
		{"station": "QQUS", "age_s": 600.0, "ceiling_ft": nil, "visibility_m": nil, "forecast": false, "wind": nil},
	}, got)
}

// TestWeatherDecides: minima rule a flight out with their numbers, and a group
// nobody can read is named. Source: a ceiling of 100 ft is below every row of
// SPA.HEMS.120 and of 135.609.
func TestWeatherDecides(t *testing.T) {
	h := handler(t)
	const visiting = `"assets":{"only":["x"],"add":[{"id":"x","name":"X","kind":"helicopter","state":"moving","position":[-29.6,45.5],
		"night_flying":true,"pilots":2,"minima":"spa_hems_120","endurance_s":9000}]}`
	codes := func(w map[string]any) map[string]bool {
		out := map[string]bool{}
		for _, np := range w["not_possible"].([]any) {
			for _, r := range np.(map[string]any)["reasons"].([]any) {
				out[r.(map[string]any)["code"].(string)] = true
			}
		}
		return out
	}
	ask := func(members string) map[string]any {
		w := post(h, `{"at":"2031-03-14T12:40:00Z","scene":{"position":[-29.41,45.52],"landing":"possible"},`+visiting+`,"conditions":{`+members+`}}`)
		require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
		return object(t, w.Body.Bytes())
	}
	assert.True(t, codes(ask(`"ceiling_ft":100,"visibility_m":9000`))["below_minima"])
	assert.True(t, codes(ask(`"ceiling_ft":3000`))["weather_unknown"])
	assert.True(t, codes(ask(`"ceiling_ft":3000,"visibility_m":9000,"wind":{"from_deg":10,"speed_kt":300}`))["wind"])
	clear := ask(`"ceiling_ft":3000,"visibility_m":9000`)
	assert.False(t, codes(clear)["below_minima"] || codes(clear)["weather_unknown"])
	assert.NotEmpty(t, clear["options"])
	assert.Contains(t, ask(`"reports":["METAR QQOV 141220Z 24018KT 9999 BKN018 BANANA 09/07 Q0991"]`)["cautions"].([]any)[0], "BANANA")
}
