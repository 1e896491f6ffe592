package api_test

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/region"
)

const filesPath, filesTemplate = "/v1/region/files/", "/v1/region/files/{name}"

func TestImport(t *testing.T) {
	d := editable(t)
	path := filesPath + region.FacilitiesFile
	file, tag := d.read(path)
	changed := strings.Replace(file, "Ossuvaune helicopter base", "Ossuvaune air base", 1)
	changed = strings.Replace(changed, `"id": "ls-vaumirel"`, `"id": "ls-new"`, 1)
	changed = strings.Replace(changed, `"type": "FeatureCollection"`, `"type": "FeatureCollection", "x_made": 1`, 1)

	w := d.send("PUT", path+"?dry_run=true", "application/geo+json", changed)
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	d.strict.check(t, "PUT", filesTemplate, w)
	want := map[string]any{
		"dry_run": true, "file": "facilities.geojson", "beside": true, "faults": []any{},
		"created": map[string]any{"count": 1.0, "ids": []any{"ls-new"}},
		"changed": map[string]any{"count": 1.0, "ids": []any{"air-ossuvaune"}},
		"deleted": map[string]any{"count": 1.0, "ids": []any{"ls-vaumirel"}},
	}
	assert.Equal(t, want, object(t, w.Body.Bytes()))
	assert.Equal(t, int64(1), d.live.State().Version.Number, "nothing was changed")

	w = d.send("PUT", path, "application/geo+json", changed)
	require.Equal(t, http.StatusPreconditionRequired, w.Code)
	w = d.send("PUT", path, "application/geo+json", changed, "If-Match", `"0"`)
	require.Equal(t, http.StatusPreconditionFailed, w.Code)
	w = d.send("PUT", path, "application/geo+json", changed, "If-Match", tag)
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	d.strict.check(t, "PUT", filesTemplate, w)
	want["dry_run"], want["version"] = false, 2.0
	assert.Equal(t, want, object(t, w.Body.Bytes()))
	now, newTag := d.read(path)
	assert.True(t, now == changed, "byte for byte")
	assert.Equal(t, newTag, w.Header().Get("ETag"))
	w = d.send("PUT", path, "application/geo+json", changed, "If-Match", newTag)
	require.Equal(t, http.StatusOK, w.Code, "the same again changes nothing")
	assert.Equal(t, "2", w.Header().Get("Surgeonward-Version"))

	bad := strings.Replace(file, `"id": "air-ossuvaune"`, `"id": "air-new"`, 1)
	w = d.send("PUT", path+"?dry_run=true", "application/json", bad)
	require.Equal(t, http.StatusOK, w.Code)
	d.strict.check(t, "PUT", filesTemplate, w)
	assert.NotEmpty(t, object(t, w.Body.Bytes())["faults"], "a base of the fleet is missing")
	w = d.send("PUT", path, "application/json", bad, "If-Match", "*")
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	d.strict.check(t, "PUT", filesTemplate, w)
	first := object(t, w.Body.Bytes())["errors"].([]any)[0].(map[string]any)
	assert.Equal(t, "fleet.json", first["file"])
	assert.Equal(t, int64(2), d.live.State().Version.Number)
}

func TestImportRefused(t *testing.T) {
	d := editable(t)
	for _, tt := range []struct {
		name, path, media, body string
		status                  int
	}{
		{"no such file", "map.geojson", "application/json", `{}`, 404},
		{"a path", "..%2fsettings.json", "application/json", `{}`, 404},
		{"a list as text", region.FleetFile, "text/plain", `{}`, 415},
		{"dry run, perhaps", region.FleetFile + "?dry_run=maybe", "application/json", `{}`, 400},
		{"nothing", region.FleetFile, "application/json", ``, 422},
		{"broken", region.FleetFile, "application/json", `{"assets":[`, 422},
		{"invalid UTF-8", region.FleetFile, "application/json", "{\"assets\":[{\"id\":\"\xff\"}]}", 422},
		{"nested", region.FacilitiesFile, "application/json", strings.Repeat("[", 1<<20), 422},
		{"nested objects", region.FacilitiesFile, "application/json", strings.Repeat(`{"a":`, 1<<18), 422},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := httptest.NewRequest(http.MethodPut, filesPath+tt.path, strings.NewReader(tt.body))
			r.Header.Set("Content-Type", tt.media)
			r.Header.Set("If-Match", "*")
			w := serveOne(d, r)
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			d.strict.check(t, "PUT", filesTemplate, w)
		})
	}
}

// TestHugeImports: a list of 100 MB and one of a million features are refused
// in bounded time and memory.
func TestHugeImports(t *testing.T) {
	d := editable(t)
	const feature = `{"type":"Feature"},`
	million := `{"type":"FeatureCollection","features":[` + strings.Repeat(feature, 1_000_000) + `{}]}`
	for _, tt := range []struct {
		name   string
		body   func() io.Reader
		length int64
		status int
	}{
		{"100 MB, as it says", func() io.Reader { return strings.NewReader("") }, 100 << 20, 413},
		{"100 MB, and does not say so", func() io.Reader { return io.LimitReader(endless{}, 100<<20) }, -1, 413},
		{"a million features", func() io.Reader { return strings.NewReader(million) }, int64(len(million)), 422},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			r := httptest.NewRequest(http.MethodPut, filesPath+region.FacilitiesFile, tt.body())
			r.ContentLength = tt.length
			r.Header.Set("Content-Type", "application/json")
			r.Header.Set("If-Match", "*")
			w := serveOne(d, r)
			runtime.ReadMemStats(&after)
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			d.strict.check(t, "PUT", filesTemplate, w)
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(1<<30), "all that was ever allocated, in bytes")
		})
	}
	runtime.GC()
}

// TestListFilters asks for parts of the lists.
func TestListFilters(t *testing.T) {
	d := editable(t)
	ids := func(path, array string) (out []string) {
		w := get(d, path)
		require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
		template, _, _ := strings.Cut(path, "?")
		d.strict.check(t, "GET", template, w)
		for _, e := range object(t, w.Body.Bytes())[array].([]any) {
			out = append(out, e.(map[string]any)["id"].(string))
		}
		return out
	}
	assert.Equal(t, []string{"ossuvaune-general", "ettuquar-chest"}, ids("/v1/facilities?capability=cardiothoracic_surgery", "features"))
	assert.Equal(t, []string{"ettuquar-chest"}, ids("/v1/facilities?capability=cardiothoracic_surgery,ecmo", "features"))
	assert.Equal(t, []string{"ossuvaune-airfield", "quorreth-airfield", "luorimaune-airfield", "quessavel-airstrip"}, ids("/v1/facilities?kind=airfield", "features"))
	assert.Equal(t, []string{"luorimaune-childrens", "luorimaune-general"}, ids("/v1/facilities?text=L%C3%9AORIMAUNE&kind=hospital", "features"))
	assert.Equal(t, []string{"ossuvaune-general"}, ids("/v1/facilities?bbox=-29.45,45.52,-29.43,45.54&kind=hospital", "features"))
	assert.Empty(t, ids("/v1/facilities?bbox=170,45,-170,46", "features"), "around the antimeridian")
	assert.NotEmpty(t, ids("/v1/facilities?bbox=170,45,-20,46", "features"), "a long way round, across it")
	assert.Equal(t, []string{"heli-1", "heli-2"}, ids("/v1/assets?kind=helicopter&skill=thoracotomy", "assets"))
	assert.Equal(t, []string{"heli-1"}, ids("/v1/assets?kind=helicopter&bbox=-29.5,45.4,-29.4,45.6", "assets"), "where its base is")
	assert.Empty(t, ids("/v1/assets?state=committed", "assets"))
	crossings := ids("/v1/roads?kind=crossing", "features")
	assert.Len(t, crossings, len(d.live.Region().RoadMap().Crossings))
	assert.Empty(t, ids("/v1/roads?bbox=0,0,1,1", "features"))
	_, tag := d.read("/v1/facilities?kind=airfield")
	w := do(d, call{method: "GET", path: "/v1/facilities?kind=airfield", header: header("If-None-Match", tag)})
	assert.Equal(t, http.StatusNotModified, w.Code)
	for _, query := range []string{"kinds=hospital", "kind=a&kind=b", "bbox=1,2,3", "bbox=1,2,3,x", "bbox=1,2,3,NaN", "bbox=1,5,3,4", "bbox=-181,0,1,1", "bbox=0,-91,0,1", "bbox=1e400,0,0,0", "skill=x", "text=" + strings.Repeat("x", 401)} {
		w := get(d, "/v1/facilities?"+query)
		require.Equal(t, http.StatusBadRequest, w.Code, query)
		checkProblem(t, w, "bad-query")
	}
}

// TestImportsTakeTurns: the few places for imports are given back.
func TestImportsTakeTurns(t *testing.T) {
	d := editable(t)
	file, _ := d.read(filesPath + region.FleetFile)
	for n := range 6 {
		body := append([]byte(file), bytes.Repeat([]byte("\n"), n)...)
		w := d.send("PUT", filesPath+region.FleetFile, "application/json", string(body), "If-Match", "*")
		require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	}
}
