package routing_test

import (
	"encoding/json"
	"fmt"
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

// fixture is a toy region in round numbers. Every allowance is without spread
// unless a test says otherwise, roads are straight, a road vehicle runs at
// 20 m/s and gets there at 1 m/s2, a helicopter flies at 60 m/s.
type fixture struct {
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
	doc, err := json.Marshal(map[string]any{
		"region": map[string]any{"name": "Toy", "time_zone": "UTC"},
		"road": map[string]any{"road_factor": f.roadFactor, "cruise_kmh": 72, "acceleration_kmh_per_min": 216,
			"spread": map[string]any{"b0": 0, "b1": 0, "b2": 0}},
		"carry_max_m": 500,
		"allowances":  allowances,
	})
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

// codes are the reasons against the asset, whatever the destination named.
func codes(ans routing.Answer, asset, destination string) (out []routing.ReasonCode) {
	for _, n := range ans.NotPossible {
		if n.Asset == asset && n.Destination == destination {
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
