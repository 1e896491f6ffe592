package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestInitThenCheck(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "region")
	made := call(t, "", "init", dir)
	require.Equal(t, exitOK, made.code, made.errors)
	assert.Contains(t, made.out, "surgeonward check")
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
		info, err := e.Info()
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o644), info.Mode().Perm(), e.Name())
	}
	assert.Equal(t, []string{"README.md", "facilities.geojson", "fleet.json", "roads.geojson", "settings.json"}, names)

	checked := call(t, "", "check", dir)
	assert.Equal(t, exitOK, checked.code, checked.out+checked.errors)
	assert.NotContains(t, checked.out, "fault: ")
	assert.Contains(t, checked.out, "5 facilities, of which 2 hospitals; 3 assets; roads with 1 barrier and 1 crossing; 0 warnings")

	// The examples in the template's README.
	asked := call(t, "", "options", "--region", dir, "--scene", "45 30N 29 31W", "--at", "2031-03-14T21:40:00Z")
	require.Equal(t, exitOK, asked.code, asked.errors)
	assert.Contains(t, asked.out, "DEMONSTRATION: Example region is invented.")
	assert.Contains(t, asked.out, "\n1. ")
	under := call(t, "", "options", "--region", dir, "--scene", "45 30N 29 31W", "--at", "2031-03-14T21:40:00Z",
		"--report", "METAR QQAA 142120Z 24018KT 8000 BKN018 09/07 Q0991")
	require.Equal(t, exitOK, under.code, under.errors)
	assert.Contains(t, under.out, "QQAA")
	assert.Contains(t, under.out, "240/18 kt")
}

func TestInitRefusesToOverwrite(t *testing.T) {
	dir := t.TempDir()
	mine := filepath.Join(dir, "fleet.json")
	require.NoError(t, os.WriteFile(mine, []byte("mine"), 0o600))
	got := call(t, "", "init", dir)
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.errors, "fleet.json exists already")
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 1, "nothing else was written")
	text, err := os.ReadFile(mine)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(text))
}

func TestWriteNewNeverReplaces(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	require.NoError(t, writeNew(path, []byte("first")))
	assert.ErrorIs(t, writeNew(path, []byte("second")), os.ErrExist)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "first", string(text))
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 1, "no temporary file stays behind")
}

// edit writes the template into a folder and changes one of its files.
func edit(t *testing.T, file, was, becomes string) string {
	t.Helper()
	dir := t.TempDir()
	require.Equal(t, exitOK, call(t, "", "init", dir).code)
	path := filepath.Join(dir, file)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Contains(t, string(text), was)
	require.NoError(t, os.WriteFile(path, []byte(strings.ReplaceAll(string(text), was, becomes)), 0o600))
	return dir
}

// Source of every row: the file formats as the template's README describes them.
func TestCheck(t *testing.T) {
	for _, tc := range []struct {
		name, file, old, new string
		code                 int
		want                 string
	}{
		{"swapped coordinates", "facilities.geojson", "[-29.40, 45.52]", "[45.52, -129.40]", exitFailed,
			"fault: facilities.geojson chest-hospital /features/0/geometry/coordinates"},
		{"base that is not in the list", "fleet.json", `"helicopter-base"`, `"helicopter-bas"`, exitFailed, "fault: fleet.json /assets/0/base: "},
		{"slow quicker than typical", "settings.json", `"slow_s": 300`, `"slow_s": 3`, exitFailed, "fault: settings.json /allowances/handover/slow_s: "},
		{"not JSON", "settings.json", "{", "", exitFailed, "fault: settings.json "},
		{"misspelt capability", "facilities.geojson", `"trauma_surgery"`, `"truama_surgery"`, exitOK,
			"warning: facilities.geojson chest-hospital /features/0/properties/capabilities/1: "},
		{"no such table of minima", "fleet.json", `"spa_hems_120"`, `"spa_hems_12"`, exitFailed, "fault: fleet.json /assets/0/minima: "},
		{"no table of minima", "fleet.json", `"minima": "spa_hems_120",`, "", exitOK, "warning: fleet.json /assets/0: "},
		{"bridge to nowhere", "roads.geojson", "[-29.422, 45.509]", "[-29.433, 45.509]", exitOK, "warning: roads.geojson bridge /features/3/geometry/coordinates"},
		{"bridge misspelt", "roads.geojson", `"crossing": "bridge"`, `"crossing": "brige"`, exitFailed, "fault: roads.geojson bridge /features/3/properties/crossing: "},
		{"swapped road", "roads.geojson", "[-29.42, 45.40]", "[45.40, -129.42]", exitFailed, "fault: roads.geojson river /features/2/geometry/coordinates/0"},
		{"roads that are not JSON", "roads.geojson", "{", "", exitFailed, "fault: roads.geojson "},
		{"misspelt skill", "fleet.json", `["paramedic"]`, `["parmedic"]`, exitOK, "warning: fleet.json /assets/1/skills/0: "},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := call(t, "", "check", edit(t, tc.file, tc.old, tc.new))
			assert.Equal(t, tc.code, got.code, got.out)
			assert.Contains(t, got.out, tc.want)
			if tc.code != exitOK {
				assert.Contains(t, got.errors, "cannot be used")
			}
		})
	}
}

func TestCheckListsEveryFile(t *testing.T) {
	got := call(t, "", "check", t.TempDir())
	assert.Equal(t, exitFailed, got.code)
	for _, file := range []string{"facilities.geojson", "fleet.json", "settings.json"} {
		assert.Contains(t, got.out, "fault: "+file)
	}
}

func TestHostileFileNamesAndIDs(t *testing.T) {
	got := call(t, "", "check", edit(t, "facilities.geojson", `"id": "chest-hospital"`, `"id": "\u001b[2J\u202e"`))
	for _, bad := range []string{"\x1b", "\u202e"} {
		assert.NotContains(t, got.out+got.errors, bad)
	}
}

func TestFaultyRegionAnswersNothing(t *testing.T) {
	dir := edit(t, "fleet.json", `"helicopter-base"`, `"helicopter-bas"`)
	for _, args := range [][]string{{"options", "--region", dir, "--scene", "45 30N 29 31W"}, {"serve", "--region", dir, "--listen", "127.0.0.1:0"}} {
		got := call(t, "", args...)
		assert.Equal(t, exitFailed, got.code)
		assert.Empty(t, got.out)
		assert.Contains(t, got.errors, "surgeonward: fleet.json /assets/0/base: ")
	}
}

// A region may do without roads.geojson; its roads are then the great circle
// times the road factor, and nothing is in their way.
func TestWithoutRoads(t *testing.T) {
	dir := edit(t, "README.md", "# A region", "# Mine")
	require.NoError(t, os.Remove(filepath.Join(dir, "roads.geojson")))
	got := call(t, "", "check", dir)
	assert.Equal(t, exitOK, got.code, got.out)
	assert.Contains(t, got.out, "no roads.geojson")
}
