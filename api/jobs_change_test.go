package api_test

import (
	"fmt"
	"image/png"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/job"
	"surgeonward/routing/coverage"
)

const byNight = `"situations":[{"name":"night","at":"2031-06-11T02:00:00Z"}]`

// bothWays asks for coverage with a change.
func bothWays(t *testing.T, h http.Handler, rest, change string) (summary map[string]any, paths map[string]string) {
	t.Helper()
	j := ended(t, h, asJob(t, h, "/v1/coverage", `{`+byNight+`,`+rest+`,"change":`+change+`}`))
	require.Equal(t, "done", j["state"], j)
	paths = resultsOf(j)
	w := get(h, paths["summary.json"])
	served(t, h, true).check(t, http.MethodGet, "/v1/jobs/{id}/results/{name}", w)
	return object(t, w.Body.Bytes()), paths
}

// TestChangeOfNothing: a region against itself is no different anywhere, in no draw. Source:
// identity.
func TestChangeOfNothing(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	summary, paths := bothWays(t, h, `"cell_m":20000,"demand":`+twoVillages, `{"name":"as it is"}`)
	changed := summary["changed"].(map[string]any)
	assert.Equal(t, "as it is", changed["name"])
	assert.Equal(t, summary["versions"], changed["versions"])
	d := changed["differences"].([]any)[0].(map[string]any)
	for _, name := range []string{"people_sooner", "people_later", "mean_gain_s", "mean_gain_low_s", "mean_gain_high_s"} {
		assert.Equal(t, 0.0, d[name], name)
	}
	for i, item := range d["bands"].([]any) {
		b := item.(map[string]any)
		assert.Equal(t, b["people_before"], b["people_after"])
		for _, name := range []string{"people_gained", "people_lost", "gained_low", "gained_high"} {
			assert.Equal(t, 0.0, b[name], "%g s, %s", coverage.BandsS[i], name)
		}
	}
	before, after := get(h, paths["before-cells.csv"]).Body.String(), get(h, paths["after-cells.csv"]).Body.String()
	assert.Equal(t, before, after)
	rows := object(t, do(h, call{method: http.MethodGet, path: paths["difference.csv"], header: http.Header{"Accept": {"application/json"}}}).Body.Bytes())["rows"].([]any)
	require.Len(t, rows, strings.Count(before, "\n")-1)
	for _, item := range rows {
		row := item.(map[string]any)
		require.Contains(t, []any{"same", "not_reached"}, row["change"])
		if row["change"] == "same" {
			require.Equal(t, []any{0.0, 0.0, 0.0, 0.0}, []any{row["gain_s"], row["gain_low_s"], row["gain_median_s"], row["gain_high_s"]})
		}
	}
	for _, item := range changed["situations"].([]any) {
		item.(map[string]any)["results"] = nil
	}
	for _, item := range summary["situations"].([]any) {
		item.(map[string]any)["results"] = nil
	}
	assert.Equal(t, summary["situations"], changed["situations"])
}

// TestChangeOfABase: a base with a helicopter more makes no cell later, and brings somebody
// within a time. Source: definition of the best of more ways.
func TestChangeOfABase(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	summary, paths := bothWays(t, h, `"cell_m":20000,"demand":{"type":"FeatureCollection","features":[
		{"type":"Feature","geometry":{"type":"Point","coordinates":[-30.21,45.586]},"properties":{"people":17520,"name":"a town in the west"}}]}`, `{"name":"A base more",
		"facilities.geojson":{"new":{"geometry":{"type":"Point","coordinates":[-30.17,45.56]},"properties":{"kind":"base","name":"New base"}}},
		"fleet.json":{"heli-new":{"name":"Helicopter N","kind":"helicopter","base":"new","skills":["paramedic","physician"],"night_flying":true,
			"night_vision":true,"cruise_kt":140,"rotors_turning":true}}}`)
	d := summary["changed"].(map[string]any)["differences"].([]any)[0].(map[string]any)
	assert.Equal(t, 0.0, d["people_later"])
	assert.Positive(t, d["people_sooner"])
	assert.Positive(t, d["mean_gain_s"])
	assert.LessOrEqual(t, d["mean_gain_low_s"], d["mean_gain_high_s"])
	for _, item := range d["bands"].([]any) {
		assert.Equal(t, 0.0, item.(map[string]any)["people_lost"])
	}
	assert.NotContains(t, get(h, paths["difference.csv"]).Body.String(), ",later,")
	page := get(h, paths["report.html"]).Body.String()
	assert.Contains(t, page, "against A base more")
	assert.Contains(t, page, "What the change does")
	for _, name := range d["results"].([]any) {
		assert.Contains(t, paths, name)
	}
	assert.NotContains(t, paths, "before-report.html")
	assert.Equal(t, 3, strings.Count(page, `<svg xmlns`), "before, after and what differs")
	for _, name := range []string{"before-map.png", "after-map.png", "difference.png"} {
		w := get(h, paths[name])
		assert.Equal(t, "image/png", w.Header().Get("Content-Type"))
		_, err := png.Decode(w.Body)
		require.NoError(t, err, name)
	}
	drawing := get(h, paths["difference.svg"]).Body.String()
	assert.Contains(t, drawing, "Advice only")
	assert.Contains(t, drawing, "<title>New base</title>")
}

// TestChangeOfSeveral: each situation has its own difference, and after has its own
// expectation.
func TestChangeOfSeveral(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	j := ended(t, h, asJob(t, h, "/v1/coverage", `{"situations":[{"name":"day","at":"2031-06-10T14:00:00Z","share":3},{"at":"2031-06-11T02:00:00Z"}],
		"demand":`+twoVillages+`,"busy":{"calls_per_day":3},"change":{"fleet.json":{"amb-11":null}}}`))
	require.Equal(t, "done", j["state"], j)
	paths := resultsOf(j)
	w := get(h, paths["summary.json"])
	served(t, h, true).check(t, http.MethodGet, "/v1/jobs/{id}/results/{name}", w)
	summary := object(t, w.Body.Bytes())
	changed := summary["changed"].(map[string]any)
	require.Len(t, changed["differences"], 2)
	assert.Equal(t, "situation 2", changed["differences"].([]any)[1].(map[string]any)["name"])
	assert.Contains(t, changed, "expected")
	assert.Contains(t, changed, "busy")
	for _, name := range []string{"before-1-cells.csv", "after-2-cells.csv", "1-difference.csv", "2-report.html"} {
		assert.Contains(t, paths, name)
	}
	assert.Equal(t, 0.0, changed["differences"].([]any)[0].(map[string]any)["people_sooner"], "an ambulance less makes nobody sooner")
}

// TestRefusedChange: every fault at once, each at its place in the body.
func TestRefusedChange(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	many := ""
	for i := range 300 {
		many += fmt.Sprintf(`"x%d":{},`, i)
	}
	for _, row := range []struct {
		name, change string
		says         []string
	}{
		{"no object", `[]`, []string{`"#/change"`}},
		{"another file", `{"fleet":{},"map.geojson":{}}`, []string{`"#/change/fleet"`, `"#/change/map.geojson"`}},
		{"no elements", `{"fleet.json":3,"name":7}`, []string{`"#/change/fleet.json"`, `"#/change/name"`}},
		{"two files at once", `{"fleet.json":{"heli-2":{"cruise_kt":"fast"},"nobody":null},"facilities.geojson":{"nowhere":null}}`,
			[]string{`"#/change/fleet.json/nobody"`, `"#/change/facilities.geojson/nowhere"`}},
		{"what the region does not take", `{"fleet.json":{"heli-2":{"cruise_kt":"fast","base":"nowhere"},"new":{}}}`,
			[]string{`"#/change/fleet.json/heli-2/cruise_kt"`, `"#/change/fleet.json/new"`}},
		{"a base that is in use", `{"facilities.geojson":{"air-quorreth":null}}`, []string{`"#/change"`, "with this change, fleet.json"}},
		{"what the question names", `{"fleet.json":{"heli-3":null}}`, []string{`"#/situations/0/assets/states/0`, "with the change: "}},
		{"very many faults", `{"fleet.json":{` + strings.TrimSuffix(many, ",") + `}}`, []string{"faults more"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := do(h, call{method: http.MethodPost, path: "/v1/coverage", body: `{"situations":[{"at":"2031-06-11T02:00:00Z",
				"assets":{"states":[{"asset":"heli-3","state":"committed"}]}}],"cell_m":20000,"change":` + row.change + `}`})
			require.Equal(t, 422, w.Code, "%.300s", w.Body)
			for _, s := range row.says {
				assert.Contains(t, w.Body.String(), s)
			}
		})
	}
	assert.Empty(t, object(t, get(h, "/v1/jobs").Body.Bytes())["jobs"], "none of them has become a job")
}

// TestChangeOfMostSituations: as many situations as may be asked have all their results.
func TestChangeOfMostSituations(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	j := ended(t, h, asJob(t, h, "/v1/coverage", `{"situations":[`+strings.Repeat(`{"at":"2031-06-10T14:00:00Z"},`, 23)+`{"at":"2031-06-10T14:00:00Z"}],
		"demand":`+twoVillages+`,"change":{}}`))
	require.Equal(t, "done", j["state"], j)
	assert.Len(t, resultsOf(j), 1+24*7)
}
