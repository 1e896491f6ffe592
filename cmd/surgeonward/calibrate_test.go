package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/geo/sun"
	"surgeonward/routing/calibrate"
	"surgeonward/routing/road"
	"surgeonward/testdata"
)

const exampleFile = "testdata/journeys.csv"

// exampleTruth is what the journeys of the example are drawn from: invented
// figures, none of them those of the demonstration region.
var exampleTruth = struct {
	factor                float64
	law                   road.Law
	mobiliseDay, handover facilities.Timing
}{
	factor: 1.42,
	law: road.Law{CruiseMS: 78 * road.KilometrePerHour, AccelerationMS2: 33 * road.KilometrePerHourPerMinute,
		Spread: road.Spread{B0Min2: 0.5, B1Min: 0.01, B2: 0.03}},
	mobiliseDay: facilities.Timing{TypicalS: 130, SlowS: 260},
	handover:    facilities.Timing{TypicalS: 210, SlowS: 420},
}

// exampleJourneys writes the example: ambulance journeys of mobilisation, road
// and handover, and some flights, drawn with a fixed seed. Nothing in it
// happened.
func exampleJourneys(t *testing.T) string {
	t.Helper()
	r := rand.New(rand.NewPCG(4, 7))
	draw := func(timing facilities.Timing) float64 {
		return timing.TypicalS * math.Exp(math.Log(timing.SlowS/timing.TypicalS)/1.2815515655446004*r.NormFloat64())
	}
	var b strings.Builder
	b.WriteString("journey_id,stage,asset,area,started_at,duration_s,from_lon,from_lat,to_lon,to_lat,driven_m\n")
	row := func(id int, stage, asset, area string, at time.Time, durationS float64, from orb.Point, rest string) time.Time {
		durationS = math.Round(max(1, durationS))
		fmt.Fprintf(&b, "%04d,%s,%s,%s,%s,%.0f,%.5f,%.5f,%s\n", id, stage, asset, area, at.Format(time.RFC3339), durationS, from.Lon(), from.Lat(), rest)
		return at.Add(time.Duration(durationS) * time.Second)
	}
	ambulances := []string{"amb-11", "amb-12", "amb-21", "amb-31", "amb-41"}
	start := time.Date(2031, 1, 2, 0, 0, 0, 0, time.UTC)
	for id := 1; id <= 240; id++ {
		at := start.Add(time.Duration(r.IntN(90*24*60)) * time.Minute)
		from := orb.Point{-29.5 + 0.2*r.Float64(), 45.4 + 0.2*r.Float64()}
		directM := 800 * math.Exp(3.5*r.Float64())
		to := geo.Destination(from, 360*r.Float64(), directM)
		area := "coast"
		if to.Lat() > 45.5 {
			area = "hills"
		}
		drivenM := directM * exampleTruth.factor * math.Exp(0.08*r.NormFloat64())
		asset := ambulances[r.IntN(len(ambulances))]
		mobilise := exampleTruth.mobiliseDay
		if sun.IsNight(from, at) {
			mobilise.TypicalS, mobilise.SlowS = 1.5*mobilise.TypicalS, 1.5*mobilise.SlowS
		}
		travel, err := exampleTruth.law.Timing(drivenM)
		require.NoError(t, err)
		at = row(id, "mobilise_ambulance", asset, area, at, draw(mobilise), from, ",,")
		durationS := draw(travel)
		if id%80 == 0 {
			durationS *= 9 // somebody forgot to press the button
		}
		at = row(id, "travel_road", asset, area, at, durationS, from, fmt.Sprintf("%.5f,%.5f,%.0f", to.Lon(), to.Lat(), drivenM))
		row(id, "handover", asset, area, at, draw(exampleTruth.handover), to, ",,")
	}
	for id := 301; id <= 340; id++ {
		at := start.Add(time.Duration(r.IntN(90*24*60)) * time.Minute)
		from := orb.Point{-29.5 + 0.2*r.Float64(), 45.4 + 0.2*r.Float64()}
		directM := 10000 + 60000*r.Float64()
		to := geo.Destination(from, 360*r.Float64(), directM)
		flight := (260 + directM/62) * math.Exp(0.08*r.NormFloat64())
		row(id, "travel_air", "heli-1", "", at, flight, from, fmt.Sprintf("%.5f,%.5f,", to.Lon(), to.Lat()))
	}
	return b.String()
}

// The example is what its generator makes.
func TestExampleJourneys(t *testing.T) {
	want := exampleJourneys(t)
	if *update {
		require.NoError(t, os.WriteFile(exampleFile, []byte(want), 0o644))
	}
	got, err := os.ReadFile(exampleFile)
	require.NoError(t, err)
	assert.Equal(t, want, string(got))
}

// What a person reads. The figures in it are held to what they were drawn from
// by TestCalibratePatch.
func TestCalibrateGolden(t *testing.T) {
	got := call(t, "", "calibrate", exampleFile)
	require.Equal(t, exitOK, got.code, got.errors)
	file := filepath.Join("testdata", "calibrate.golden.txt")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got.out), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got.out)
	assert.Equal(t, got, call(t, "", "calibrate", exampleFile), "the same again, to the byte")
}

// merge applies a JSON merge patch as RFC 7396 section 2 defines it.
func merge(target, patch any) any {
	change, ok := patch.(map[string]any)
	if !ok {
		return patch
	}
	object, ok := target.(map[string]any)
	if !ok {
		object = map[string]any{}
	}
	for name, value := range change {
		if value == nil {
			delete(object, name)
		} else {
			object[name] = merge(object[name], value)
		}
	}
	return object
}

// The patch, applied by hand to the region's settings, is a region that can be
// used, whose figures are those the journeys were drawn from, and whose slow
// figures 9 in 10 of them keep.
func TestCalibratePatch(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, testdata.Demo))
	settings := filepath.Join(dir, "settings.json")
	before, err := os.ReadFile(settings)
	require.NoError(t, err)

	got := call(t, "", "calibrate", "--region", dir, "--patch", exampleFile)
	require.Equal(t, exitOK, got.code, got.errors)
	after, err := os.ReadFile(settings)
	require.NoError(t, err)
	require.Equal(t, string(before), string(after), "settings are never written")

	var target, patch any
	require.NoError(t, json.Unmarshal(before, &target))
	require.NoError(t, json.Unmarshal([]byte(got.out), &patch))
	merged, err := json.Marshal(merge(target, patch))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(settings, merged, 0o600))
	r, report, err := loadRegion(dir)
	require.NoError(t, err)
	assert.Empty(t, report.Warnings)

	const tolerance = 0.1 // a share of the figure: 240 journeys do not say it better
	assert.InEpsilon(t, exampleTruth.factor, r.Settings.RoadFactor, 0.03)
	assert.InEpsilon(t, exampleTruth.law.CruiseMS, r.Settings.Road.CruiseMS, tolerance)
	assert.InEpsilon(t, exampleTruth.law.AccelerationMS2, r.Settings.Road.AccelerationMS2, tolerance)
	assert.InEpsilon(t, exampleTruth.handover.TypicalS, r.Settings.Allowance("handover").Timing.TypicalS, tolerance)
	assert.Contains(t, r.Settings.Allowance("handover").Source, "calibrated on 240 journeys")

	again := call(t, "", "calibrate", "--region", dir, "--json", exampleFile)
	require.Equal(t, exitOK, again.code, again.errors)
	var result calibrate.Result
	require.NoError(t, json.Unmarshal([]byte(again.out), &result))
	checked := 0
	for _, f := range result.Findings {
		if f.Group.By == calibrate.ByRegion && f.Stage != calibrate.TravelAir {
			checked++
			assert.Equal(t, calibrate.Reliable, f.Now.WithinSlow.Verdict(), f.Stage)
			assert.False(t, f.Proposed, "%s: what was fitted is in force, so other fits cannot be better on journeys they have not seen", f.Stage)
		}
	}
	assert.Equal(t, 4, checked, "road, mobilisation by day and by night, handover")
}

func TestCalibrateFromStandardInput(t *testing.T) {
	text, err := os.ReadFile(exampleFile)
	require.NoError(t, err)
	got := call(t, string(text), "calibrate", "-")
	require.Equal(t, exitOK, got.code, got.errors)
	assert.Equal(t, call(t, "", "calibrate", exampleFile), got)
}

func TestCalibrateFaults(t *testing.T) {
	for _, tc := range []struct{ name, stdin, want string }{
		{"patient's name", "journey_id,patient_name\n1,x\n", "no patient identity is accepted"},
		{"every fault at once: first", "journey_id,stage,started_at,duration_s,from_lon,from_lat\n1,handoverr,2031-03-14,9,0,0\n",
			`surgeonward: -: row 2, column stage: unknown stage "handoverr": did you mean "handover"?`},
		{"every fault at once: second", "journey_id,stage,started_at,duration_s,from_lon,from_lat\n1,handoverr,2031-03-14,9,0,0\n",
			"surgeonward: -: row 2, column started_at: "},
		{"nothing", "", "the file is empty"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := call(t, tc.stdin, "calibrate", "-")
			assert.Equal(t, exitFailed, got.code)
			assert.Empty(t, got.out)
			assert.Contains(t, got.errors, tc.want)
		})
	}
	assert.Equal(t, exitFailed, call(t, "", "calibrate", "testdata/none.csv").code)
	assert.Equal(t, exitUsage, call(t, "", "calibrate", exampleFile, "--json", "--patch").code)
	assert.Equal(t, exitUsage, call(t, "", "calibrate").code)
}
