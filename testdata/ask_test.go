package testdata_test

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/geo/position"
	"surgeonward/geo/weather"
	"surgeonward/routing"
	"surgeonward/routing/road"
	"surgeonward/testdata"
)

// The kinds of weather of the demo region: none said, and the files' names.
const (
	noWeather = ""
	clearDay  = "clear-day"
	windy     = "windy-night"
	foggy     = "foggy-morning"
)

var weathers = []string{noWeather, clearDay, windy, foggy}

// engine is the demo region with its roads, made once: it is immutable.
func engine(t *testing.T) *routing.Engine {
	t.Helper()
	e, err := loadEngine()
	require.NoError(t, err)
	return e
}

var loadEngine = sync.OnceValues(func() (*routing.Engine, error) {
	var wrong error
	read := func(file string) []byte {
		data, err := fs.ReadFile(testdata.Demo, file)
		wrong = errors.Join(wrong, err)
		return data
	}
	sound := func(file string, faults, warnings any) {
		if said := fmt.Sprint(faults, warnings); said != "[] []" {
			wrong = errors.Join(wrong, fmt.Errorf("%s: %s", file, said))
		}
	}
	settings, faults, warnings := routing.DecodeSettings(read("settings.json"))
	sound("settings.json", faults, warnings)
	if wrong != nil {
		return nil, wrong
	}
	list, bad, doubts := facilities.Decode(read("facilities.geojson"), facilities.DecodeOptions{Zone: settings.Zone})
	sound("facilities.geojson", bad, doubts)
	fleet, faults, warnings := routing.DecodeFleet(read("fleet.json"), list, settings)
	sound("fleet.json", faults, warnings)
	m, bad, doubts := road.Decode(read("roads.geojson"), road.DecodeOptions{Zone: settings.Zone})
	sound("roads.geojson", bad, doubts)
	if wrong != nil {
		return nil, wrong
	}
	terrain, err := road.NewTerrain(m, road.Region{Factor: settings.RoadFactor, Law: settings.Road})
	if err != nil {
		return nil, err
	}
	e := routing.NewEngine(list, fleet, settings)
	e.Road = terrain
	return e, nil
})

// answers are kept: the tests look at the same ones from many sides.
var answers = map[[2]string]routing.Answer{}

// ask puts a scenario to the region under a kind of weather, with every way
// out in the answer.
func ask(t *testing.T, name, kind string) routing.Answer {
	t.Helper()
	if ans, asked := answers[[2]string{name, kind}]; asked {
		return ans
	}
	s, ok := scenarios(t)[name]
	require.True(t, ok, name)
	q := s.question(t)
	q.Limit = 0
	q.Conditions.Reports = reports(t, kind, s.At)
	ans, err := engine(t).Options(t.Context(), q)
	require.NoError(t, err, name)
	require.NotEmpty(t, ans.Options, name)
	answers[[2]string{name, kind}] = ans
	return ans
}

// reports are the lines of a weather file that were sent at most an hour and a
// half before an instant, as a desk would have them in front of it.
func reports(t *testing.T, kind string, at time.Time) (lines []string) {
	t.Helper()
	if kind == noWeather {
		return nil
	}
	for _, line := range weatherLines(t, kind) {
		r, err := weather.ParseReport(line, at)
		require.NoError(t, err, line)
		if age := at.Sub(r.Issued); age >= 0 && age <= 90*time.Minute {
			lines = append(lines, line)
		}
	}
	require.Len(t, lines, 4, "%s: one report of each station", kind)
	return lines
}

func weatherLines(t *testing.T, kind string) []string {
	t.Helper()
	data, err := fs.ReadFile(testdata.Demo, "weather/"+kind+".txt")
	require.NoError(t, err)
	return strings.Split(strings.TrimSpace(string(data)), "\n")
}

// question turns a scenario into what the engine is asked.
func (s scenario) question(t *testing.T) routing.Question {
	t.Helper()
	q := routing.Question{At: s.At, RankBySlow: s.RankBy == "slow", Limit: s.Limit}
	switch {
	case s.Scene.Position != nil:
		q.Scene.Position = *s.Scene.Position
	case s.Scene.PositionText != "":
		parsed, err := position.Parse(s.Scene.PositionText)
		require.NoError(t, err)
		q.Scene.Position = parsed.Point
	}
	q.Scene.Facility, q.Scene.UncertaintyM = s.Scene.Facility, s.Scene.UncertaintyM
	q.Scene.Landing = routing.Landing(s.Scene.Landing)
	q.Scene.Carry = s.Scene.Carry
	q.Patient = routing.Patient{
		AgeYears: &s.Patient.AgeYears, Needs: s.Patient.Needs, Escort: s.Patient.Escort, ReadyIn: &s.Patient.ReadyIn,
	}
	for _, c := range s.Assets.States {
		q.Assets.States = append(q.Assets.States, routing.StateChange{Asset: c.Asset, State: routing.AssetState(c.State)})
	}
	return q
}
