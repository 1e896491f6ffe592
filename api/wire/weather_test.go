package wire_test

import (
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/wire"
	"surgeonward/facilities"
	"surgeonward/geo/wind"
	"surgeonward/routing"
	"surgeonward/routing/flight"
)

// TestWeather: what is not known is null, never a number, and never NaN.
func TestWeather(t *testing.T) {
	nan := math.NaN()
	tests := []struct {
		name, source string
		in           routing.StationWeather
		want         string
	}{
		{"all", "definition; 305 m are 1000.66 ft, rounded down", routing.StationWeather{Code: "QQOV", SceneM: 3120.4, Age: 20 * time.Minute,
			Sky: flight.Sky{CeilingM: 305, VisibilityM: 8000}, Wind: &wind.Wind{FromDeg: 250, SpeedMS: 10, GustMS: 20}, Forecast: true},
			`{"station":"QQOV","scene_distance_m":3120,"age_s":1200,"ceiling_ft":1000,"visibility_m":8000,"wind":{"from_deg":250,"speed_kt":19,"gust_kt":39},"forecast":true}`},
		{"nothing", "definition", routing.StationWeather{Code: "QQOV", Age: -1, Sky: flight.Sky{CeilingM: nan, VisibilityM: nan}},
			`{"station":"QQOV","scene_distance_m":0,"age_s":null,"ceiling_ft":null,"visibility_m":null,"wind":null,"forecast":false}`},
		{"less than", "definition", routing.StationWeather{Code: "QQOV", Sky: flight.Sky{CeilingM: 0, VisibilityM: nan, VisibilityUnderM: 402.336}},
			`{"station":"QQOV","scene_distance_m":0,"age_s":0,"ceiling_ft":0,"visibility_m":null,"visibility_under_m":402,"wind":null,"forecast":false}`},
		{"no ceiling at all", "definition: JSON has no infinity", routing.StationWeather{Code: "QQOV", Sky: flight.Sky{CeilingM: math.Inf(1), VisibilityM: 0}},
			`{"station":"QQOV","scene_distance_m":0,"age_s":0,"ceiling_ft":null,"visibility_m":0,"wind":null,"forecast":false}`},
		{"calm", "WMO FM 15: 00000KT (from memory)", routing.StationWeather{Code: "QQOV", Wind: &wind.Wind{}},
			`{"station":"QQOV","scene_distance_m":0,"age_s":0,"ceiling_ft":0,"visibility_m":0,"wind":{"from_deg":0,"speed_kt":0},"forecast":false}`},
		{"north", "WMO FM 15: 360 (from memory)", routing.StationWeather{Code: "QQOV", Wind: &wind.Wind{FromDeg: 360, SpeedMS: 5}},
			`{"station":"QQOV","scene_distance_m":0,"age_s":0,"ceiling_ft":0,"visibility_m":0,"wind":{"from_deg":360,"speed_kt":10},"forecast":false}`},
		{"variable", "WMO FM 15: VRB has no direction (from memory)", routing.StationWeather{Code: "QQOV", Wind: &wind.Wind{SpeedMS: 1}, Variable: true},
			`{"station":"QQOV","scene_distance_m":0,"age_s":0,"ceiling_ft":0,"visibility_m":0,"wind":{"from_deg":null,"speed_kt":2},"forecast":false}`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			out, err := wire.Encode(&routing.Answer{At: at, Weather: []routing.StationWeather{tt.in}}, &wire.Request{}, demo(t), "test")
			require.NoError(t, err)
			text, err := wire.JSON(out.Weather[0])
			require.NoError(t, err)
			assert.JSONEq(t, tt.want, string(text), tt.source)
			collection, err := wire.EncodeGeoJSON(&routing.Answer{At: at, Weather: []routing.StationWeather{tt.in}}, &wire.Request{}, demo(t), "test")
			require.NoError(t, err)
			assert.Equal(t, out.Weather, collection.Weather)
		})
	}
}

// TestPaths: travels have a path of six decimals, by air its ends, and nothing
// else has one.
func TestPaths(t *testing.T) {
	travel := func(byAir bool, points ...orb.Point) routing.Scheduled {
		s := step(0, 100)
		s.Kind, s.ByAir, s.Path = routing.KindTravel, byAir, points
		return s
	}
	other := step(0, 100)
	other.Path = []orb.Point{{1, 2}, {3, 4}}
	tests := []struct {
		name string
		in   routing.Scheduled
		by   string
		want [][2]float64
	}{
		{"road", travel(false, orb.Point{-29.12345678, 45}, orb.Point{-29, 45.00000049}, orb.Point{-28, 46}), "road", [][2]float64{{-29.123457, 45}, {-29, 45}, {-28, 46}}},
		{"air", travel(true, orb.Point{-29, 45}, orb.Point{math.Copysign(0, -1), 45}), "air", [][2]float64{{-29, 45}, {0, 45}}},
		{"corners that are one", travel(false, orb.Point{-29, 45}, orb.Point{-29, 45.0000001}, orb.Point{-28, 46}), "road", [][2]float64{{-29, 45}, {-28, 46}}},
		{"nowhere", travel(false, orb.Point{-29, 45}, orb.Point{-29, 45}), "road", nil},
		{"no travel", other, "", nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			out, err := wire.Encode(answer(100, tt.in), &wire.Request{}, demo(t), "test")
			require.NoError(t, err)
			assert.Equal(t, tt.want, out.Options[0].Activities[0].Path)
			assert.Equal(t, tt.by, out.Options[0].Activities[0].By)
		})
	}
}

// TestPlaces: a way out names the places it passes, and only those.
func TestPlaces(t *testing.T) {
	place := func(id string) *facilities.Facility {
		return &facilities.Facility{ID: id, Name: "The " + id, Position: orb.Point{-29, 45}}
	}
	a := answer(100, step(0, 100))
	o := &a.Options[0]
	o.Meeting, o.FarField, o.Via, o.TeamFrom = place("m"), place("f"), place("v"), place("t")
	out, err := wire.Encode(a, &wire.Request{}, demo(t), "test")
	require.NoError(t, err)
	got := out.Options[0]
	for id, p := range map[string]*wire.Place{"m": got.Meeting, "f": got.FarField, "v": got.Via, "t": got.TeamFrom} {
		assert.Equal(t, &wire.Place{Facility: id, Name: "The " + id, Position: [2]float64{-29, 45}}, p)
	}
	out, err = wire.Encode(answer(100, step(0, 100)), &wire.Request{}, demo(t), "test")
	require.NoError(t, err)
	text, err := wire.JSON(out.Options[0])
	require.NoError(t, err)
	for _, name := range []string{"meeting", "far_field", "via", "team_from"} {
		assert.NotContains(t, string(text), `"`+name+`"`)
	}
}
