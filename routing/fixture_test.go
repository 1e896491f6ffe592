package routing_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/routing"
)

// noon and midnight at the toy region, well away from either twilight.
var (
	noon     = time.Date(2031, 6, 10, 14, 0, 0, 0, time.UTC)
	midnight = time.Date(2031, 6, 10, 2, 0, 0, 0, time.UTC)
	scene    = orb.Point{-29.5, 45.5}
)

// fixture is a toy region in round numbers. Allowances and the wind are without
// spread unless a test says otherwise, roads are straight, a road vehicle runs at
// 20 m/s and gets there at 1 m/s2, a helicopter flies at 60 m/s.
type fixture struct {
	settings   map[string]any // members of settings.json beyond the usual ones
	features   []string
	assets     []string
	allowances map[string][2]float64
	roadFactor float64
}

func toy() *fixture {
	return &fixture{roadFactor: 1, allowances: map[string][2]float64{
		"pre_alert": {60, 60}, "package": {600, 600}, "carry": {120, 120},
		"mobilise_ambulance_day": {90, 90}, "mobilise_ambulance_night": {120, 120},
		"mobilise_response_car_day": {60, 60}, "mobilise_response_car_night": {80, 80},
		"mobilise_helicopter_day": {300, 300}, "mobilise_helicopter_night": {900, 900},
		"load_ambulance": {100, 100}, "unload_ambulance": {50, 50},
		"load_helicopter_running": {180, 180}, "load_helicopter_stopped": {300, 300},
		"unload_helicopter_running": {110, 110}, "unload_helicopter_stopped": {130, 130},
		"helicopter_start": {140, 140}, "helicopter_departure": {40, 40},
		"helicopter_approach": {70, 70}, "helicopter_approach_scene": {130, 130},
		"mobilise_aeroplane_day": {1200, 1200}, "mobilise_aeroplane_night": {1500, 1500},
		"aeroplane_departure": {300, 300}, "aeroplane_approach": {400, 400},
		"load_aeroplane": {240, 240}, "unload_aeroplane": {210, 210},
		"refuel": {900, 900}, "refuel_running": {420, 420}, "stop_at_hospital": {800, 800},
		"shuttle_call": {350, 350}, "winch": {500, 500},
		"team_ready": {600, 600}, "team_board": {65, 65}, "team_alight": {55, 55}, "team_scrub": {310, 310},
		"pad_to_door": {150, 150}, "pad_to_door_vehicle": {400, 400},
		"escort_join": {30, 30}, "call_in": {1500, 1500}, "theatre_ready": {900, 900}, "handover": {170, 170},
	}}
}

// place is the point so many metres from the scene.
func place(bearingDeg, metres float64) orb.Point { return geo.Destination(scene, bearingDeg, metres) }

func (f *fixture) facility(id, kind string, at orb.Point, properties string) *fixture {
	if properties != "" {
		properties = "," + properties
	}
	f.features = append(f.features, fmt.Sprintf(
		`{"type":"Feature","id":%q,"geometry":{"type":"Point","coordinates":[%.9f,%.9f]},"properties":{"kind":%q,"name":"the %s"%s}}`,
		id, at[0], at[1], kind, id, properties))
	return f
}

const (
	residentSurgeon = `"surgeons":{"cardiothoracic_surgery":{"otherwise":{"presence":"resident"}}}`
	onCallSurgeon   = `"surgeons":{"cardiothoracic_surgery":{"otherwise":{"presence":"on_call"}}}`
	centre          = `"capabilities":["cardiothoracic_surgery"]`
	litPad          = `"pad":{"lit":true}`
)

// hospital adds a centre with a resident surgeon and a lit pad.
func (f *fixture) hospital(id string, at orb.Point) *fixture {
	return f.facility(id, "hospital", at, centre+","+residentSurgeon+","+litPad)
}

func (f *fixture) asset(id, kind string, members string) *fixture {
	if members != "" {
		members = "," + members
	}
	if kind == "helicopter" && !strings.Contains(members, "cruise_kt") {
		members += fmt.Sprintf(`,"cruise_kt":%.12f`, 60/geo.Knot)
	}
	f.assets = append(f.assets, fmt.Sprintf(`{"id":%q,"name":"the %s","kind":%q%s}`, id, id, kind, members))
	return f
}

func (f *fixture) engine(t testing.TB) *routing.Engine {
	t.Helper()
	allowances := map[string]any{}
	for id, v := range f.allowances {
		allowances[id] = map[string]any{"typical_s": v[0], "slow_s": v[1], "source": "toy region", "date": "2031-01-01"}
	}
	members := map[string]any{
		"region": map[string]any{"name": "Toy", "time_zone": "UTC"},
		"road": map[string]any{"road_factor": f.roadFactor, "cruise_kmh": 72, "acceleration_kmh_per_min": 216,
			"spread": map[string]any{"b0": 0, "b1": 0, "b2": 0}},
		"carry_max_m": 500, "wind_slow_kt": 0,
		"allowances": allowances,
	}
	maps.Copy(members, f.settings)
	doc, err := json.Marshal(members)
	require.NoError(t, err)
	settings, faults, _ := routing.DecodeSettings(doc)
	require.Empty(t, faults)
	list, bad, _ := facilities.Decode([]byte(`{"type":"FeatureCollection","features":[`+strings.Join(f.features, ",")+`]}`),
		facilities.DecodeOptions{Zone: time.UTC})
	require.Empty(t, bad)
	fleet, faults, _ := routing.DecodeFleet([]byte(`{"assets":[`+strings.Join(f.assets, ",")+`]}`), list, settings)
	require.Empty(t, faults)
	return routing.NewEngine(list, fleet, settings)
}

// ask asks for an adult at the scene at noon, changed by the edits.
func ask(t testing.TB, e *routing.Engine, edits ...func(*routing.Question)) routing.Answer {
	t.Helper()
	age := 34.0
	q := routing.Question{
		At: noon, Scene: routing.Scene{Position: scene, Landing: routing.LandingPossible},
		Patient: routing.Patient{AgeYears: &age, Needs: []string{"cardiothoracic_surgery"}},
	}
	for _, edit := range edits {
		edit(&q)
	}
	ans, err := e.Options(t.Context(), q)
	require.NoError(t, err)
	return ans
}

func byNight(q *routing.Question) { q.At = midnight }

// codes are the reasons against the asset going alone to the destination.
func codes(ans routing.Answer, asset, destination string) []routing.ReasonCode {
	return append(codesOf(ans, asset, destination, routing.ByRoad), codesOf(ans, asset, destination, routing.ByAir)...)
}

// codesOf are the reasons against one shape.
func codesOf(ans routing.Answer, asset, destination string, shape routing.Shape) (out []routing.ReasonCode) {
	for _, n := range ans.NotPossible {
		if n.Asset == asset && n.Destination == destination && n.Shape == shape {
			for _, r := range n.Reasons {
				out = append(out, r.Code)
			}
		}
	}
	return out
}

func step(t testing.TB, o routing.Option, id string) routing.Scheduled {
	t.Helper()
	for _, s := range o.Plan {
		if s.ID == id {
			return s
		}
	}
	require.Failf(t, "no such activity", "%q is not in the option %s", id, o.ID)
	return routing.Scheduled{}
}

func num(v float64) string { return fmt.Sprintf("%g", v) }
