package coverage_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

var (
	noon   = time.Date(2031, 6, 10, 14, 0, 0, 0, time.UTC)
	middle = orb.Point{-29.5, 45.5}
)

// toy is a region in round numbers: no allowance takes time, roads are straight, a
// road vehicle runs at 20 m/s, a helicopter flies at 60 m/s.
type toy struct {
	features, assets []string
	varies           bool
}

// varying lets getting ready take some minutes that vary.
func (f *toy) varying() *toy {
	f.varies = true
	return f
}

func (f *toy) facility(id, kind string, at orb.Point, members string) *toy {
	f.features = append(f.features, fmt.Sprintf(
		`{"type":"Feature","id":%q,"geometry":{"type":"Point","coordinates":[%.9f,%.9f]},"properties":{"kind":%q,"name":"the %s"%s}}`,
		id, at[0], at[1], kind, id, members))
	return f
}

func (f *toy) hospital(id string, at orb.Point, presence string) *toy {
	return f.facility(id, "hospital", at, `,"capabilities":["cardiothoracic_surgery"],"pad":{"lit":true},
		"surgeons":{"cardiothoracic_surgery":{"otherwise":{"presence":"`+presence+`"}}}`)
}

func (f *toy) asset(id, kind string, at orb.Point) *toy {
	more := ""
	if kind == "helicopter" {
		more = fmt.Sprintf(`,"cruise_kt":%.12f,"rotors_turning":true,"night_flying":true`, 60/geo.Knot)
	}
	f.facility("base-"+id, "base", at, "")
	f.assets = append(f.assets, fmt.Sprintf(`{"id":%q,"name":"the %s","kind":%q,"base":"base-%s"%s}`, id, id, kind, id, more))
	return f
}

func (f *toy) engine(t testing.TB) *routing.Engine {
	t.Helper()
	allowances := map[string]any{}
	for _, id := range []string{"pre_alert", "package", "carry", "handover", "theatre_ready", "pad_to_door", "call_in",
		"mobilise_ambulance_day", "mobilise_ambulance_night", "mobilise_helicopter_day", "mobilise_helicopter_night",
		"load_ambulance", "unload_ambulance", "load_helicopter_running", "unload_helicopter_running", "helicopter_start",
		"helicopter_departure", "helicopter_approach", "helicopter_approach_scene"} {
		typicalS := 0.0
		if id == "call_in" {
			typicalS = 1800
		}
		slowS := typicalS
		if f.varies && (strings.HasPrefix(id, "mobilise") || id == "handover" || id == "package") {
			typicalS, slowS = 300, 600
		}
		allowances[id] = map[string]any{"typical_s": typicalS, "slow_s": slowS, "source": "toy region", "date": "2031-01-01"}
	}
	doc, err := json.Marshal(map[string]any{
		"region": map[string]any{"name": "Toy", "time_zone": "UTC"},
		"road": map[string]any{"road_factor": 1, "cruise_kmh": 72, "acceleration_kmh_per_min": 216,
			"spread": map[string]any{"b0": 0, "b1": 0, "b2": 0}},
		"wind_slow_kt": 0, "allowances": allowances,
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

// crowd is a random toy region within some metres of the middle.
func crowd(random *rand.Rand, metres float64) *toy {
	f := &toy{}
	at := func() orb.Point { return geo.Destination(middle, random.Float64()*360, random.Float64()*metres) }
	for i := range 1 + random.IntN(3) {
		f.hospital(fmt.Sprintf("h%d", i), at(), []string{"resident", "on_call"}[random.IntN(2)])
	}
	for i := range 1 + random.IntN(4) {
		f.asset(fmt.Sprintf("a%d", i), []string{"ambulance", "helicopter"}[random.IntN(2)], at())
	}
	return f
}

func situation() coverage.Situation {
	return coverage.Situation{Name: "day", Share: 1, Question: routing.Question{At: noon, Scene: routing.Scene{Landing: routing.LandingPossible}}}
}

// square is a square area around a point, its sides so many metres at its latitude.
func square(at orb.Point, halfM float64) coverage.Area {
	east, north := geo.Destination(at, 90, halfM), geo.Destination(at, 0, halfM)
	dx, dy := east.Lon()-at.Lon(), north.Lat()-at.Lat()
	if dx < 0 {
		dx += 360
	}
	x, y := at.Lon(), at.Lat()
	return coverage.Area{{{{x - dx, y - dy}, {x + dx, y - dy}, {x + dx, y + dy}, {x - dx, y + dy}, {x - dx, y - dy}}}}
}

func grid(t testing.TB, area coverage.Area, cellM float64) *coverage.Grid {
	t.Helper()
	g, err := coverage.NewGrid(area, cellM)
	require.NoError(t, err)
	return g
}

func run(t testing.TB, e *routing.Engine, d *coverage.Demand) *coverage.Result {
	t.Helper()
	r, err := coverage.Run(t.Context(), coverage.Plan{Engine: e, Demand: d, Situation: situation()})
	require.NoError(t, err)
	return r
}
