package api_test

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/region"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
)

func (d *desk) accept(id, body string) {
	d.Helper()
	w := d.send("POST", "/v1/facilities/"+id+"/accepting", "application/json", body)
	require.Equal(d, http.StatusOK, w.Code, "%s", w.Body)
}

// object gets a path and checks the answer against the document.
func (d *desk) object(path, template string) map[string]any {
	d.Helper()
	w := get(d, path)
	require.Equal(d, http.StatusOK, w.Code, "%s", w.Body)
	d.strict.check(d, "GET", template, w)
	return object(d, w.Body.Bytes())
}

func numbersOf(page map[string]any) (out []int) {
	for _, e := range page["entries"].([]any) {
		out = append(out, int(e.(map[string]any)["number"].(float64)))
	}
	return out
}

func TestHistory(t *testing.T) {
	d := editable(t)
	d.accept("ettuquar-chest", `{"state":"divert","reason":"theatre flooded"}`)
	d.accept("ossuvaune-general", `{"state":"closed"}`)
	d.accept("ettuquar-chest", `{"state":"open"}`)

	page := d.object("/v1/history", "/v1/history")
	assert.Equal(t, []int{4, 3, 2, 1}, numbersOf(page))
	assert.NotContains(t, page, "next")
	divert := page["entries"].([]any)[2].(map[string]any)
	assert.Equal(t, "theatre flooded", divert["why"])
	assert.Equal(t, []any{map[string]any{"action": "divert", "file": "facilities.geojson", "element": "ettuquar-chest"}}, divert["changes"])

	for query, want := range map[string][]int{
		"?limit=2": {4, 3}, "?before=3": {2, 1}, "?before=3&limit=1": {2}, "?element=ettuquar-chest": {4, 2},
		"?element=ettuquar-chest&limit=1": {4}, "?who=local": {4, 3, 2}, "?who=expiry": nil, "?file=fleet.json": nil, "?before=1": nil,
	} {
		assert.Equal(t, want, numbersOf(d.object("/v1/history"+query, "/v1/history")), query)
	}
	assert.InDelta(t, 3, d.object("/v1/history?limit=2", "/v1/history")["next"], 0)
	for _, query := range []string{"?limit=0", "?limit=501", "?before=0", "?before=x", "?since=4", "?limit=1&limit=2", "?who=" + strings.Repeat("x", 401), "?%zz"} {
		w := get(d, "/v1/history"+query)
		require.Equal(t, http.StatusBadRequest, w.Code, query)
		checkProblem(t, w, "bad-query")
	}

	one := d.object("/v1/history/2", "/v1/history/{number}")
	change := one["changes"].([]any)[0].(map[string]any)
	assert.NotContains(t, change["before"].(map[string]any)["properties"], "accepting")
	assert.Equal(t, map[string]any{"state": "divert", "reason": "theatre flooded"}, change["after"].(map[string]any)["properties"].(map[string]any)["accepting"])
	assert.Len(t, one["files"], 4)

	first, err := d.store.At(t.Context(), 1)
	require.NoError(t, err)
	w := get(d, "/v1/history/1/files/facilities.geojson")
	require.Equal(t, http.StatusOK, w.Code)
	assert.True(t, w.Body.String() == string(first.Content[region.FacilitiesFile]))
	assert.Equal(t, http.StatusNotFound, get(d, "/v1/history/1/files/map.geojson").Code)

	differs := d.object("/v1/history/4/changes?since=1", "/v1/history/{number}/changes")["changes"].([]any)
	require.Len(t, differs, 1, "what was changed and changed back does not differ")
	assert.Equal(t, "ossuvaune-general", differs[0].(map[string]any)["element"])
	assert.Len(t, d.object("/v1/history/4/changes", "/v1/history/{number}/changes")["changes"], 1)
	assert.Len(t, d.object("/v1/history/1/changes?since=0", "/v1/history/{number}/changes")["changes"], 4, "four files")

	for _, path := range []string{"/v1/history/5", "/v1/history/0", "/v1/history/-1", "/v1/history/x", "/v1/history/99999999999999999999", "/v1/history/4/changes?since=77"} {
		w := get(d, path)
		require.Equal(t, http.StatusNotFound, w.Code, path)
		checkProblem(t, w, "no-such-thing")
	}
}

// TestAnswerLeadsToItsVersion: the hashes in an answer lead to the data it was
// made from, and to no other.
func TestAnswerLeadsToItsVersion(t *testing.T) {
	d := editable(t)
	hashes := func() map[string]any {
		return object(t, post(d, oneAsset).Body.Bytes())["versions"].(map[string]any)
	}
	before := hashes()
	d.accept("ettuquar-chest", `{"state":"divert"}`)
	after := hashes()
	d.accept("ettuquar-chest", `{"state":"open"}`)
	for _, tt := range []struct {
		hash any
		want []int
	}{{before["facilities"], []int{3, 1}}, {after["facilities"], []int{2}}, {before["fleet"], []int{3, 2, 1}}, {"0", nil}} {
		assert.Equal(t, tt.want, numbersOf(d.object(fmt.Sprintf("/v1/history?content=%s", tt.hash), "/v1/history")))
	}
	assert.Equal(t, []int{1}, numbersOf(d.object(fmt.Sprintf("/v1/history?content=%s&before=3", before["facilities"]), "/v1/history")))
	versions := d.object("/v1/history/2", "/v1/history/{number}")["versions"].(map[string]any)
	delete(after, "engine")
	assert.Equal(t, after, versions)
}

// TestDamagedVersion: what is lost for good is not told as something to be tried
// again, and the rest of the history is there. Source: definition.
func TestDamagedVersion(t *testing.T) {
	dir, h, s := inFolder(t)
	for _, state := range []string{"divert", "closed"} {
		w := do(h, call{method: "POST", path: "/v1/facilities/ettuquar-chest/accepting", body: `{"state":"` + state + `"}`, header: header("Content-Type", "application/json")})
		require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	}
	two, err := s.At(t.Context(), 2)
	require.NoError(t, err)
	hash := store.Sum(two.Content[region.FacilitiesFile]).String()
	lost, err := filepath.Glob(filepath.Join(dir, ".history", "contents", hash[:2], hash[2:]+"*"))
	require.NoError(t, err)
	require.Len(t, lost, 1)
	require.NoError(t, os.WriteFile(lost[0], []byte("x"), 0o600))

	w := get(h, "/v1/history/2")
	require.Equal(t, http.StatusInternalServerError, w.Code)
	assert.Contains(t, w.Body.String(), "what is kept of this version is damaged")
	for _, path := range []string{"/v1/history", "/v1/history/1", "/v1/history/3", "/v1/history?content=" + two.Files[1].Hash.String()} {
		assert.Equal(t, http.StatusOK, get(h, path).Code, path)
	}
}

// TestByHandAndOverHTTP: with a file that somebody has broken by hand, an edit of
// it is refused with what is wrong there, nothing is written over, and edits of
// other files hold. Source: definition.
func TestByHandAndOverHTTP(t *testing.T) {
	dir, h, s := inFolder(t)
	strict := served(t, h, true)
	path := filepath.Join(dir, region.FacilitiesFile)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	broken := strings.Replace(string(before), `"kind": "hospital"`, `"kind": "hospitle"`, 1)
	require.NotEqual(t, string(before), broken)
	require.NoError(t, os.WriteFile(path, []byte(broken), 0o600))
	require.Eventually(t, func() bool { return len(s.Rejected()) > 0 }, 10*time.Second, 10*time.Millisecond)

	tag, fileTag := get(h, "/v1/region").Header().Get("ETag"), get(h, "/v1/region/files/facilities.geojson").Header().Get("ETag")
	for _, tt := range []struct{ method, path, template, media, body, match string }{
		{"POST", "/v1/facilities/ettuquar-chest/accepting", "/v1/facilities/{id}/accepting", "application/json", `{"state":"divert"}`, ""},
		{"PATCH", "/v1/facilities/ettuquar-chest", "/v1/facilities/{id}", merge, `{"properties":{"accepting":{"state":"divert"}}}`, "*"},
		{"PUT", "/v1/region/files/facilities.geojson", "/v1/region/files/{name}", "application/json", string(before) + " ", fileTag},
	} {
		head := header("Content-Type", tt.media)
		if tt.match != "" {
			head.Set("If-Match", tt.match)
		}
		w := do(h, call{method: tt.method, path: tt.path, body: tt.body, header: head})
		require.Equal(t, http.StatusConflict, w.Code, "%s: %s", tt.path, w.Body)
		strict.check(t, tt.method, tt.template, w)
		checkProblem(t, w, "edited-by-hand")
		problem := object(t, w.Body.Bytes())
		assert.Contains(t, problem["detail"], "changed by hand")
		assert.Contains(t, problem["errors"].([]any)[0].(map[string]any)["detail"], "hospitle")
	}
	w := do(h, call{method: "POST", path: "/v1/assets/heli-1/state", body: `{"state":"moving","position":[-29.5,45.5]}`, header: header("Content-Type", "application/json")})
	require.Equal(t, http.StatusOK, w.Code, "another file: %s", w.Body)
	w = do(h, call{method: "POST", path: "/v1/history/1/restore", header: header("If-Match", tag)})
	require.Equal(t, http.StatusPreconditionFailed, w.Code, "%s", w.Body)
	w = do(h, call{method: "POST", path: "/v1/history/1/restore", header: header("If-Match", get(h, "/v1/region").Header().Get("ETag"))})
	require.Equal(t, http.StatusConflict, w.Code, "%s", w.Body)
	strict.check(t, "POST", "/v1/history/{number}/restore", w)
	now, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, broken, string(now))
}

// inFolder serves the demo region from a folder.
func inFolder(t *testing.T) (dir string, h http.Handler, s store.Store) {
	t.Helper()
	dir = t.TempDir()
	files, err := region.DemoFiles()
	require.NoError(t, err)
	for name, content := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), content, 0o600))
	}
	var loader region.Loader
	s, err = folder.Open(dir, folder.Options{Names: region.Files(), Check: loader.Check})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	l, err := region.NewLive(t.Context(), region.LiveConfig{Store: s, Loader: &loader})
	require.NoError(t, err)
	return dir, handler(t, func(c *api.Config) { c.Source = l }), s
}

func TestRestore(t *testing.T) {
	d := editable(t)
	d.accept("ettuquar-chest", `{"state":"divert"}`)
	_, tag := d.read("/v1/region")
	d.accept("ossuvaune-general", `{"state":"closed"}`)
	const path = "/v1/history/1/restore"
	check := func(status int, pairs ...string) map[string]any {
		w := d.send("POST", path, "", "", pairs...)
		require.Equal(t, status, w.Code, "%s", w.Body)
		d.strict.check(t, "POST", "/v1/history/{number}/restore", w)
		return object(t, w.Body.Bytes())
	}
	check(http.StatusPreconditionRequired)
	check(http.StatusPreconditionFailed, "If-Match", tag)
	_, tag = d.read("/v1/region")
	now := check(http.StatusOK, "If-Match", tag, "Surgeonward-Why", "both were a mistake")
	assert.InDelta(t, 4, now["version"], 0)
	one, err := d.store.At(t.Context(), 1)
	require.NoError(t, err)
	four, err := d.store.At(t.Context(), 4)
	require.NoError(t, err)
	assert.True(t, string(one.Content[region.FacilitiesFile]) == string(four.Content[region.FacilitiesFile]))
	assert.Equal(t, "both were a mistake", four.Why)
	require.Len(t, four.What, 2)
	assert.Equal(t, "restore", four.What[0].Action)
	_, tag = d.read("/v1/region")
	assert.InDelta(t, 4, check(http.StatusOK, "If-Match", tag)["version"], 0, "it is that already")
	w := d.send("POST", "/v1/history/9/restore", "", "", "If-Match", "*")
	require.Equal(t, http.StatusNotFound, w.Code)
}

func TestRegionState(t *testing.T) {
	d := editable(t)
	body, tag := d.read("/v1/region")
	state := d.object("/v1/region", "/v1/region")
	assert.Equal(t, true, state["editable"])
	assert.InDelta(t, 1, state["version"], 0)
	assert.Contains(t, state["kept"], "lost when the program ends")
	assert.Len(t, state["files"], 4)
	w := do(d, call{method: "GET", path: "/v1/region", header: header("If-None-Match", tag)})
	assert.Equal(t, http.StatusNotModified, w.Code)
	d.accept("ettuquar-chest", `{"state":"divert"}`)
	again, newer := d.read("/v1/region")
	assert.NotEqual(t, tag, newer)
	assert.NotEqual(t, body, again)
	assert.Empty(t, d.object("/v1/region/faults", "/v1/region/faults")["faults"])
}
