package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/document"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
	"surgeonward/facilities/store/postgres/pgserver"
)

// edited is a region folder with three versions: as it came, a divert by the
// north desk, and the end of it by expiry.
func edited(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	files, err := region.DemoFiles()
	require.NoError(t, err)
	for name, content := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), content, 0o600))
	}
	at := time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)
	loader := &region.Loader{}
	s, err := openFolder(dir, loader, func() time.Time { at = at.Add(time.Minute); return at })
	require.NoError(t, err)
	defer func() { assert.NoError(t, s.Close()) }()
	live, err := region.NewLive(t.Context(), region.LiveConfig{Store: s, Loader: loader})
	require.NoError(t, err)
	patch := func(who, why, action, patch string) {
		_, err := live.Edit(t.Context(), who, why, func(v *store.Version) (region.Draft, error) {
			f, err := document.Read(v.Content[region.FacilitiesFile], "features")
			require.NoError(t, err)
			was, ok := f.Get("ettuquar-chest")
			require.True(t, ok)
			is, err := document.MergePatch(was, []byte(patch))
			require.NoError(t, err)
			f, err = f.Replace("ettuquar-chest", is)
			require.NoError(t, err)
			return region.Draft{Files: map[string][]byte{region.FacilitiesFile: f.Bytes()},
				What: []store.Change{{Action: action, File: region.FacilitiesFile, Element: "ettuquar-chest", Before: was, After: is}}}, nil
		})
		require.NoError(t, err)
	}
	patch("north desk", "theatre flooded", "divert", `{"properties":{"accepting":{"state":"divert","reason":"theatre flooded"}}}`)
	patch("expiry", "", "expire", `{"properties":{"accepting":null}}`)
	return dir
}

func TestHistoryList(t *testing.T) {
	dir := edited(t)
	list := func(more ...string) string {
		return called(t, append([]string{"history", "--region", dir, "--width", "80"}, more...)...)
	}
	out := list()
	for _, row := range []string{
		"version when (UTC)          who        what",
		"      3 2031-03-14 21:43:00 expiry     expire ettuquar-chest",
		"      2 2031-03-14 21:42:00 north desk divert ettuquar-chest theatre flooded\n",
		"      1 2031-03-14 21:41:00 file       create\n",
	} {
		assert.Contains(t, out, row)
	}
	assert.NotContains(t, list("--who", "expiry"), "north desk")
	assert.Contains(t, list("--element", "heli-1"), "No version is like that.")
	first := list("--limit", "1")
	assert.Contains(t, first, "There are more: --before 3")
	assert.NotContains(t, first, "north desk")
	assert.Contains(t, list("--limit", "1", "--before", "3"), "north desk")

	var page wire.History
	require.NoError(t, json.Unmarshal([]byte(list("--json")), &page))
	require.Len(t, page.Entries, 3)
	assert.Equal(t, "theatre flooded", page.Entries[1].Why)
	assert.Equal(t, []wire.PastChange{{Action: "divert", File: region.FacilitiesFile, Element: "ettuquar-chest"}}, page.Entries[1].Changes)
}

// The hash that an answer names leads to the versions it can have been made
// from, and a file's own hash to those that had it. Source: the definition.
func TestHistoryContent(t *testing.T) {
	dir := edited(t)
	numbers := func(hash string) (out []int64) {
		var page wire.History
		require.NoError(t, json.Unmarshal([]byte(called(t, "history", "--region", dir, "--json", "--content", hash)), &page))
		for i := range page.Entries {
			out = append(out, page.Entries[i].Number)
		}
		return out
	}
	show := func(number string) wire.PastEdit {
		var out wire.PastEdit
		require.NoError(t, json.Unmarshal([]byte(called(t, "history", "show", number, "--region", dir, "--json")), &out))
		return out
	}
	second := show("2")
	require.NotNil(t, second.Versions)
	assert.Equal(t, []int64{2}, numbers(second.Versions.Facilities))
	assert.Equal(t, []int64{3, 1}, numbers(show("1").Versions.Facilities))
	assert.Equal(t, []int64{3, 2, 1}, numbers(second.Versions.Fleet))
	assert.Empty(t, numbers(strings.Repeat("0", 64)))
	var facilities store.File
	for _, f := range second.Files {
		if f.Name == region.FacilitiesFile {
			facilities = f
		}
	}
	assert.Equal(t, []int64{2}, numbers(facilities.Hash.String()))
	var answer struct {
		Versions wire.ContentHashes `json:"versions"`
	}
	require.NoError(t, json.Unmarshal([]byte(called(t, "options", "--json", "--limit", "1", "--scene", "45.52,-29.41", "--region", dir)), &answer))
	assert.Equal(t, []int64{3, 1}, numbers(answer.Versions.Facilities), "what the command line answers is made from the folder as it is")
}

func TestHistoryShow(t *testing.T) {
	dir := edited(t)
	out := called(t, "history", "show", "2", "--region", dir, "--width", "80")
	assert.Contains(t, out, "Version 2, 2031-03-14 21:42:00 UTC, by north desk: theatre flooded\n")
	assert.Contains(t, out, "divert facilities.geojson, ettuquar-chest\n")
	assert.Contains(t, out, `  /properties/accepting: none -> {"state": "divert", "reason": "theatre`)
	assert.Contains(t, called(t, "history", "show", "3", "--region", dir, "--since", "1"), "What differs from version 1:\n\nNothing differs.\n")
	var differs wire.Difference
	require.NoError(t, json.Unmarshal([]byte(called(t, "history", "show", "2", "--region", dir, "--since", "1", "--json")), &differs))
	require.Len(t, differs.Changes, 1)
	assert.Equal(t, "ettuquar-chest", differs.Changes[0].Element)

	files, err := region.DemoFiles()
	require.NoError(t, err)
	assert.Equal(t, string(files[region.FacilitiesFile]), called(t, "history", "show", "1", "--region", dir, "--file", region.FacilitiesFile))
	assert.Contains(t, called(t, "history", "show", "2", "--region", dir, "--file", region.FacilitiesFile), "theatre flooded")
}

// In a folder and in a database, beside a service that has the folder open.
func TestHistoryRestore(t *testing.T) {
	dir := edited(t)
	address := pgserver.Schema(t)
	called(t, "copy", dir, address)
	files, err := region.DemoFiles()
	require.NoError(t, err)
	for name, at := range map[string][]string{"folder": {"--region", dir}, "database": {"--database", address}} {
		do := func(args ...string) string { return called(t, append(append([]string{"history"}, args...), at...)...) }
		assert.Equal(t, "version 4 has the files of version 2 (1 change)\n", do("restore", "2", "--why", "it was no mistake"), name)
		assert.Equal(t, "nothing to do: version 4 has the files of version 2\n", do("restore", "2"), name)
		shown := do("show", "4")
		assert.Contains(t, shown, "by local: it was no mistake\n", name)
		assert.Contains(t, shown, "restore facilities.geojson, ettuquar-chest\n", name)
		assert.Contains(t, do("show", "4", "--since", "2"), "Nothing differs.", name)
		do("restore", "1")
		assert.Contains(t, do("show", "5"), "by local: as in version 1\n", name)
		assert.Equal(t, string(files[region.FacilitiesFile]), do("show", "5", "--file", region.FacilitiesFile), name)
		assert.Equal(t, 5, strings.Count(do("--width", "200"), "2031-03-14")+strings.Count(do("--width", "200"), time.Now().UTC().Format("2006-")), name)
	}
	now, err := os.ReadFile(filepath.Join(dir, region.FacilitiesFile))
	require.NoError(t, err)
	assert.Equal(t, string(files[region.FacilitiesFile]), string(now))

	held, err := folder.Open(dir, folder.Options{Names: region.Files()})
	require.NoError(t, err)
	defer func() { assert.NoError(t, held.Close()) }()
	assert.Contains(t, called(t, "history", "--region", dir), "north desk", "it can be read meanwhile")
	got := call(t, "", "history", "restore", "2", "--region", dir)
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.errors, "POST /v1/history/2/restore")
}

// Looking at the history of a folder that has none leaves no trace in it.
func TestHistoryLeavesNoTrace(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "region")
	called(t, "init", dir)
	assert.Contains(t, called(t, "history", "--region", dir), "create fleet.json")
	assert.NoDirExists(t, filepath.Join(dir, ".history"))
}

func TestHistoryRefuses(t *testing.T) {
	dir := edited(t)
	for _, tt := range []struct {
		name string
		args []string
		code int
		want string
	}{
		{"no such version", []string{"history", "show", "9", "--region", dir}, exitFailed, "version 9: there is no such version"},
		{"no such version to restore", []string{"history", "restore", "9", "--region", dir}, exitFailed, "version 9: there is no such version"},
		{"no such version to compare", []string{"history", "show", "1", "--since", "9", "--region", dir}, exitFailed, "--since: version 9: there is no such version"},
		{"no such file", []string{"history", "show", "1", "--file", "map.geojson", "--region", dir}, exitFailed, `version 1 has no file "map.geojson"`},
		{"number in words", []string{"history", "show", "last", "--region", dir}, exitUsage, "last"},
		{"no limit", []string{"history", "--limit", "0", "--region", dir}, exitUsage, "--limit: must be from 1 to"},
		{"before the first", []string{"history", "--before", "-1", "--region", dir}, exitUsage, "--before: "},
		{"two places", []string{"history", "--region", dir, "--database", "postgres://x"}, exitUsage, "can't be used together"},
		{"the demonstration region", []string{"history", "restore", "1"}, exitUsage, "name a region with --region or --database"},
		{"nowhere", []string{"history", "--region", filepath.Join(dir, "none")}, exitFailed, "no such file"},
	} {
		got := call(t, "", tt.args...)
		assert.Equal(t, tt.code, got.code, "%s: %s", tt.name, got.errors)
		assert.Contains(t, got.errors, tt.want, tt.name)
	}
}
