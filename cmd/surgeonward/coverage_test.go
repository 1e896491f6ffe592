package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
	"surgeonward/routing/coverage"
	"surgeonward/testdata"
)

const day = "--date=2031-03-14"

// written is a file of its own with a text.
func written(t *testing.T, name, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	return file
}

// demoFolder is the demonstration region as a folder, its fleet changed.
func demoFolder(t *testing.T, from, to string) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"facilities.geojson", "fleet.json", "settings.json", "roads.geojson", "demand.csv"} {
		data, err := fs.ReadFile(testdata.Demo, name)
		require.NoError(t, err)
		if name == "fleet.json" && from != "" {
			require.Contains(t, string(data), from)
			data = []byte(strings.Replace(string(data), from, to, 1))
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o600))
	}
	return dir
}

// The files that are written say the same as each other. Source: identity.
func TestCoverageFiles(t *testing.T) {
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	got := call(t, "", "coverage", day, "--grid-km", "25", "--second", "--csv", file("c.csv"), "--geojson", file("c.geojson"), "--svg", file("c.svg"), "--html", file("c.html"))
	require.Equal(t, exitOK, got.code, got.errors)
	assert.Contains(t, got.out, "Advice only")
	assert.Contains(t, got.out, "DEMONSTRATION")
	assert.Empty(t, got.errors, "no progress where nobody watches")

	f, err := os.Open(file("c.csv"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	within, people := 0.0, 0.0
	for _, row := range rows[1:] {
		n, err := strconv.ParseFloat(row[3], 64)
		require.NoError(t, err)
		people += n
		if s, err := strconv.ParseFloat(row[5], 64); err == nil && s <= 3600 {
			within += n
		}
	}
	assert.InDelta(t, 403_200, people, 1e-6, "the people of the demonstration region")
	data, err := os.ReadFile(file("c.geojson"))
	require.NoError(t, err)
	var isochrones struct {
		Caution  string
		Features []struct {
			Properties struct {
				WithinMin float64 `json:"within_min"`
				People    float64
			}
		}
	}
	require.NoError(t, json.Unmarshal(data, &isochrones))
	assert.Contains(t, isochrones.Caution, routing.Caution)
	require.Len(t, isochrones.Features, 6)
	assert.InDelta(t, 60, isochrones.Features[2].Properties.WithinMin, 0)
	assert.InDelta(t, within, isochrones.Features[2].Properties.People, 1e-3)
	for _, name := range []string{"c.svg", "c.html"} {
		data, err := os.ReadFile(file(name))
		require.NoError(t, err)
		assert.Contains(t, string(data), "Advice only")
		assert.NotContains(t, string(data), "<script")
	}
}

// A region against itself changes nothing; without its helicopters nobody is
// sooner. Source: identity; definition of the best of fewer ways.
func TestCoverageAgainst(t *testing.T) {
	same := call(t, "", "coverage", day, "--grid-km", "25", "--against", demoFolder(t, "", ""))
	require.Equal(t, exitOK, same.code, same.errors)
	assert.Contains(t, same.out, "0 people would be sooner with a surgeon, 0 later; on average 0.0 min")
	fewer := call(t, "", "coverage", day, "--night", "--grid-km", "25", "--against", demoFolder(t, `"night_flying": true`, `"night_flying": false`))
	require.Equal(t, exitOK, fewer.code, fewer.errors)
	assert.Contains(t, fewer.out, "\n0 people would be sooner with a surgeon, ")
	assert.NotContains(t, fewer.out, "sooner with a surgeon, 0 later", "Helicopter 1 does something by night")
}

// The pictures in the README are what the command draws; -update draws them anew.
func TestCoveragePictures(t *testing.T) {
	t.Run("night", func(t *testing.T) { samePicture(t, "coverage-night.svg", "--svg") })
	t.Run("difference", func(t *testing.T) {
		samePicture(t, "coverage-difference.svg", "--change", written(t, "change.json", byNightToo), "--difference-svg")
	})
}

// samePicture draws with the last flag.
func samePicture(t *testing.T, name string, flags ...string) {
	t.Helper()
	drawn := filepath.Join(t.TempDir(), name)
	got := call(t, "", append(append([]string{"coverage", day, "--night"}, flags...), drawn)...)
	require.Equal(t, exitOK, got.code, got.errors)
	picture, err := os.ReadFile(drawn)
	require.NoError(t, err)
	kept := filepath.Join("pictures", name)
	if *update {
		require.NoError(t, os.WriteFile(kept, picture, 0o644))
	}
	want, err := os.ReadFile(kept)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(picture))
}

// A helicopter that flies by night too gives, and takes nothing. Source: definition
// of the best of more ways.
func TestCoverageChange(t *testing.T) {
	change := written(t, "change.json", byNightToo)
	got := call(t, "", "coverage", day, "--night", "--grid-km", "25", "--change", change)
	require.Equal(t, exitOK, got.code, got.errors)
	assert.Contains(t, got.out, "Against Helicopter 2 by night too, the same situation there:")
	assert.Contains(t, got.out, "sooner with a surgeon, 0 later")
	assert.NotContains(t, got.out, "\n0 people would be sooner")
	assert.Contains(t, got.out, "in 8 of 10 draws")
	bad := call(t, "", "coverage", day, "--change", written(t, "bad.json", `{"fleet.json": {"nobody": null}}`))
	assert.Equal(t, exitFailed, bad.code)
	assert.Contains(t, bad.errors, `/fleet.json/nobody: `)
}

// The files of a difference say the same as what is printed. Source: identity.
func TestCoverageDifferenceFiles(t *testing.T) {
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	change := written(t, "change.json", byNightToo)
	got := call(t, "", "coverage", day, "--night", "--grid-km", "25", "--change", change, "--png", file("m.png"), "--html", file("r.html"),
		"--difference-csv", file("d.csv"), "--difference-geojson", file("d.geojson"), "--difference-svg", file("d.svg"), "--difference-png", file("d.png"))
	require.Equal(t, exitOK, got.code, got.errors)
	f, err := os.Open(file("d.csv"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	sooner := 0.0
	for _, row := range rows[1:] {
		if row[5] == "sooner" {
			n, err := strconv.ParseFloat(row[3], 64)
			require.NoError(t, err)
			sooner += n
		}
	}
	assert.Contains(t, got.out, coverage.Count(sooner)+" people would be sooner")
	for _, name := range []string{"m.png", "d.png"} {
		data, err := os.ReadFile(file(name))
		require.NoError(t, err)
		_, err = png.Decode(bytes.NewReader(data))
		require.NoError(t, err, name)
	}
	for _, name := range []string{"d.svg", "d.geojson", "r.html"} {
		data, err := os.ReadFile(file(name))
		require.NoError(t, err)
		assert.Contains(t, string(data), "Advice only", name)
	}
	without := call(t, "", "coverage", day, "--difference-svg", file("x.svg"))
	assert.Equal(t, exitUsage, without.code)
	assert.Contains(t, without.errors, "give --change or --against")
}

const byNightToo = `{"name": "Helicopter 2 by night too", "fleet.json": {"heli-2": {"hours": null, "night_flying": true, "night_vision": true}}}`

func TestCoverageMix(t *testing.T) {
	mix := written(t, "mix.json", `{"situations": [
		{"name": "day", "share": 13, "question": {"at": "2031-03-14T12:00:00Z", "scene": {"landing": "possible"}}},
		{"name": "night, one away", "share": 11, "question": {"at": "2031-03-14T02:00:00Z", "scene": {"landing": "possible"},
			"assets": {"states": [{"asset": "heli-1", "state": "committed"}]}}}]}`)
	got := call(t, "", "coverage", "--grid-km", "25", "--mix", mix)
	require.Equal(t, exitOK, got.code, got.errors)
	assert.Contains(t, got.out, "Situation 2 of 2: night, one away")
	assert.Contains(t, got.out, "Expected over all situations:")

	bad := written(t, "bad.json", `{"situations": [
		{"name": "a", "share": 0, "question": {"at": "2031-03-14T12:00:00Z"}},
		{"name": "b", "share": 1, "question": {"at": "noon"}},
		{"name": "c", "share": 1, "weight": 2, "question": {"at": "2031-03-14T12:00:00Z", "assets": {"states": [{"asset": "nobody", "state": "committed"}]}}}]}`)
	got = call(t, "", "coverage", "--grid-km", "25", "--mix", bad)
	assert.Equal(t, exitFailed, got.code)
	for _, want := range []string{"#/situations/0/share", "#/situations/1/question/at", "#/situations/2/weight", "#/situations/2/question/assets/states/0"} {
		assert.Contains(t, got.errors, want)
	}
}

func TestPlanningUsage(t *testing.T) {
	people := written(t, "people.csv", "latitude,longitude,people\n145,-29,1\nx,y,-3\n")
	for _, tc := range []struct {
		name string
		args []string
		want string
		code int
	}{
		{"two hours", []string{"coverage", "--at", "2031-03-14T12:00:00Z", "--night"}, "leave --date and --night out", exitUsage},
		{"hour in words", []string{"coverage", "--at", "noon"}, "--at: ", exitUsage},
		{"day in words", []string{"coverage", "--date", "friday"}, "--date: ", exitUsage},
		{"grid and points", []string{"coverage", "--grid-km", "5", "--points"}, "keep one", exitUsage},
		{"cells too small", []string{"coverage", day, "--grid-km", "0.01"}, "give a size from 100 m", exitFailed},
		{"cells of no size", []string{"coverage", day, "--grid-km", "NaN"}, "give a size from 100 m", exitFailed},
		{"nobody of that name", []string{"coverage", day, "--away", "heli-99"}, "--away: ", exitUsage},
		{"landing misspelt", []string{"coverage", day, "--landing", "posible"}, "--landing: ", exitUsage},
		{"wind in words", []string{"coverage", day, "--wind", "west"}, "--wind: ", exitUsage},
		{"no such file", []string{"coverage", day, "--demand", "nowhere.csv"}, "nowhere.csv", exitFailed},
		{"every fault of a file", []string{"coverage", day, "--demand", people}, "line 3, people", exitFailed},
		{"mix and hour", []string{"coverage", day, "--mix", "x"}, "leave --at", exitUsage},
		{"no such asset", []string{"siting", day, "--like", "heli-99"}, "--like: ", exitUsage},
		{"nothing to put", []string{"siting", day, "--count", "0"}, "--count: ", exitUsage},
		{"always busy", []string{"siting", day, "--busy", "1"}, "--busy: ", exitUsage},
		{"no such objective", []string{"siting", day, "--objective", "best"}, "--objective", exitUsage},
		{"two kinds of candidates", []string{"siting", day, "--candidates", people, "--candidates-grid-km", "20"}, "keep one", exitUsage},
		{"faults of candidates", []string{"siting", day, "--grid-km", "25", "--candidates", people}, "line 2, latitude", exitFailed},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := call(t, "", tc.args...)
			assert.Equal(t, tc.code, got.code)
			assert.Contains(t, got.errors, tc.want)
			assert.Empty(t, got.out)
		})
	}
}

// Every objective is asked for and proven, and moving an asset looks at its own
// place too.
func TestSiting(t *testing.T) {
	places := written(t, "places.csv", "latitude,longitude,name\n45.59,-30.21,the west\n45.14,-29.79,the south\n45.73,-28.76,the east\n")
	for _, objective := range []string{"max-cover", "mean-time", "worst-time", "full-cover", "expected-cover"} {
		t.Run(objective, func(t *testing.T) {
			got := call(t, "", "siting", day, "--night", "--grid-km", "30", "--candidates", places, "--objective", objective, "--within-min", "80", "--count", "2")
			require.Equal(t, exitOK, got.code, got.errors)
			assert.Contains(t, got.out, "Advice only")
			assert.Contains(t, got.out, "Proven: no other choice of these candidates is better.")
			assert.Contains(t, got.out, "The whole choice, run once more with all of it:")
		})
	}
	got := call(t, "", "siting", day, "--grid-km", "30", "--candidates", places, "--like", "heli-4", "--move")
	require.Equal(t, exitOK, got.code, got.errors)
	assert.Contains(t, got.out, "Choice: ")
}
