package api_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/job"
	"surgeonward/routing"
)

// twoVillages are points of the demo region, and a question about them.
const (
	twoVillages = `{"type":"FeatureCollection","features":[
		{"type":"Feature","geometry":{"type":"Point","coordinates":[-29.41,45.52]},"properties":{"people":1200,"name":"Northern village"}},
		{"type":"Feature","geometry":{"type":"Point","coordinates":[-29.44,45.53]},"properties":{"people":300,"name":"=Western village"}}]}`
	ofVillages = `{"situations":[{"at":"2031-06-10T14:00:00Z"}],"demand":` + twoVillages + `}`
)

// withJobs runs the jobs of a service in memory, or as the options say.
func withJobs(t testing.TB, opts job.Options) func(*api.Config) {
	return func(c *api.Config) {
		q, unreadable, err := api.NewJobs(c.Source, "test", opts)
		require.NoError(t, err)
		require.Empty(t, unreadable)
		t.Cleanup(func() { assert.NoError(t, q.Close()) })
		c.Jobs = q
	}
}

func asJob(t testing.TB, h http.Handler, path, body string) map[string]any {
	t.Helper()
	w := do(h, call{method: http.MethodPost, path: path, body: body})
	require.Equal(t, http.StatusAccepted, w.Code, "%s", w.Body)
	j := object(t, w.Body.Bytes())
	assert.Equal(t, "/v1/jobs/"+j["id"].(string), w.Header().Get("Location"))
	return j
}

// ended waits for the end of a job.
func ended(t testing.TB, h http.Handler, j map[string]any) map[string]any {
	t.Helper()
	require.Eventually(t, func() bool {
		w := get(h, "/v1/jobs/"+j["id"].(string))
		require.Equal(t, http.StatusOK, w.Code)
		j = object(t, w.Body.Bytes())
		return job.State(j["state"].(string)).Over()
	}, 60*time.Second, 5*time.Millisecond)
	return j
}

func resultsOf(j map[string]any) (paths map[string]string) {
	paths = map[string]string{}
	for _, r := range j["results"].([]any) {
		paths[r.(map[string]any)["name"].(string)] = r.(map[string]any)["path"].(string)
	}
	return paths
}

// TestCoverageIsOptions: a point's time is the typical total of the first option for a scene
// there. Source: definition, there is one engine.
func TestCoverageIsOptions(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	strict := served(t, h, true)
	w := do(h, call{method: http.MethodPost, path: "/v1/coverage", body: ofVillages})
	strict.check(t, http.MethodPost, "/v1/coverage", w)
	j := ended(t, h, object(t, w.Body.Bytes()))
	require.Equal(t, "done", j["state"], j)
	assert.Equal(t, 1.0, j["progress"])
	paths := resultsOf(j)
	var names []string
	for _, name := range []string{"summary.json", "cells.csv", "within.geojson", "report.html"} {
		require.Contains(t, paths, name)
		names = append(names, name)
	}
	require.Len(t, paths, len(names), "points have no map")
	page := do(h, call{method: http.MethodGet, path: paths["cells.csv"] + "?limit=1", header: http.Header{"Accept": {"application/json"}}})
	require.Equal(t, http.StatusOK, page.Code, "%s", page.Body)
	strict.check(t, http.MethodGet, "/v1/jobs/{id}/results/{name}", page)
	first := object(t, page.Body.Bytes())
	assert.Equal(t, 1.0, first["next"])
	rest := object(t, do(h, call{method: http.MethodGet, path: paths["cells.csv"] + "?after=1", header: http.Header{"Accept": {"application/json"}}}).Body.Bytes())
	assert.NotContains(t, rest, "next")
	rows := append(first["rows"].([]any), rest["rows"].([]any)...)
	require.Len(t, rows, 2)
	for i, at := range []string{"[-29.41,45.52]", "[-29.44,45.53]"} {
		answer := object(t, post(h, `{"at":"2031-06-10T14:00:00Z","scene":{"position":`+at+`,"landing":"possible"}}`).Body.Bytes())
		want := answer["options"].([]any)[0].(map[string]any)["total"].(map[string]any)
		row := rows[i].(map[string]any)
		assert.InDelta(t, want["typical_s"], row["typical_s"], 0.5)
		assert.InDelta(t, want["slow_s"], row["slow_s"], 0.5)
	}
	assert.Equal(t, "'=Western village", rows[1].(map[string]any)["name"], "no formula for a spreadsheet")

	w = get(h, paths["summary.json"])
	strict.check(t, http.MethodGet, "/v1/jobs/{id}/results/{name}", w)
	summary := object(t, w.Body.Bytes())
	assert.Equal(t, 1500.0, summary["places"].(map[string]any)["people"])
}

// TestEveryResultHasTheCaution, and says that the region is invented.
func TestEveryResultHasTheCaution(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	j := ended(t, h, asJob(t, h, "/v1/coverage", `{"situations":[{"name":"day","at":"2031-06-10T14:00:00Z","share":3},{"name":"night","at":"2031-06-11T02:00:00Z"}],
		"second":true,"cell_m":20000,"demand":`+twoVillages+`}`))
	require.Equal(t, "done", j["state"], j)
	paths := resultsOf(j)
	require.Len(t, paths, 1+2*5)
	media := map[string]string{"json": "application/json", "csv": "text/csv", "geojson": "application/geo+json", "svg": "image/svg+xml", "png": "image/png", "html": "text/html; charset=utf-8"}
	for name, path := range paths {
		w := get(h, path)
		require.Equal(t, http.StatusOK, w.Code)
		_, kind, _ := strings.Cut(name, ".")
		assert.Equal(t, media[kind], w.Header().Get("Content-Type"), name)
		assert.Contains(t, w.Header().Get("Content-Disposition"), name)
		assert.Contains(t, w.Header().Get("Content-Security-Policy"), "sandbox")
		if kind == "csv" || kind == "png" {
			continue // a table has no place for it: its job says what it is of; a picture has it in letters
		}
		text := strings.Join(strings.Fields(w.Body.String()), " ")
		assert.Contains(t, text, "Advice only", name)
		assert.Contains(t, text, "invented", name)
	}
	served(t, h, true).check(t, http.MethodGet, "/v1/jobs/{id}/results/{name}", get(h, paths["summary.json"]))
	summary := object(t, get(h, paths["summary.json"]).Body.Bytes())
	people := func(name string, i int) float64 {
		situation := summary["situations"].([]any)[i].(map[string]any)
		return situation[name].(map[string]any)["people"].(float64)
	}
	expected := summary["expected"].(map[string]any)["reached"].(map[string]any)["people"].(float64)
	assert.InDelta(t, 0.75*people("reached", 0)+0.25*people("reached", 1), expected, 0.001, "three to one")
}

// TestSiting: of two candidates, the choice is the one with which, alone, the engine's
// answers are better; both are asked for alone too. Source: definition.
func TestSiting(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	strict := served(t, h, true)
	const far, near = `{"name":"far","position":[-29.9,45.4]}`, `{"name":"near","position":[-29.3,45.55]}`
	sited := func(candidates, objective string) map[string]any {
		j := ended(t, h, asJob(t, h, "/v1/siting", `{"situation":{"at":"2031-06-11T02:00:00Z"},"demand":{"type":"FeatureCollection","features":[
			{"type":"Feature","geometry":{"type":"Point","coordinates":[-30.1792,45.3614]},"properties":{"people":700}},
			{"type":"Feature","geometry":{"type":"Point","coordinates":[-29.41,45.52]},"properties":{"people":900}}]},
			"candidates":[`+candidates+`],"like":"heli-1","count":1,"objective":`+objective+`}`))
		require.Equal(t, "done", j["state"], j)
		w := get(h, resultsOf(j)["summary.json"])
		strict.check(t, http.MethodGet, "/v1/jobs/{id}/results/{name}", w)
		return object(t, w.Body.Bytes())
	}
	mean := func(choice map[string]any, when string) float64 {
		return choice[when].(map[string]any)["mean_s"].(float64)
	}
	for objective, sites := range map[string]int{`"least_mean_time"`: 1, `"most_people","within_s":2700`: 1, `"least_worst_time"`: 1,
		`"fewest_sites","within_s":7200`: 0} { // where all are within the time already
		choice := sited(far+","+near, objective)
		require.Equal(t, true, choice["found"], objective)
		assert.Equal(t, 0.0, choice["gap"])
		assert.Equal(t, routing.Caution, choice["caution"])
		require.Len(t, choice["chosen"], sites, objective)
		assert.LessOrEqual(t, mean(choice, "after"), mean(choice, "before"), "an asset more never takes longer")
	}
	withFar, withNear := mean(sited(far, `"least_mean_time"`), "after"), mean(sited(near, `"least_mean_time"`), "after")
	require.NotEqual(t, withFar, withNear, "else there is nothing to choose")
	assert.Equal(t, min(withFar, withNear), mean(sited(far+","+near, `"least_mean_time"`), "after"))
}

// TestHostilePlanning: what would take the machine down is refused at once or fails in words.
func TestHostilePlanning(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	point := `{"type":"Feature","geometry":{"type":"Point","coordinates":[0,0]},"properties":{}}`
	world := `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[-179,-85],[179,-85],[179,85],[-179,85],[-179,-85]]]},"properties":{}}]}`
	for _, row := range []struct {
		name, path, body string
		status           int
		says             string
	}{
		{"a grid of 1e12 cells", "/v1/coverage", `{"situations":[{}],"cell_m":100,"demand":` + world + `}`, 422, "more than 2000000: choose larger cells"},
		{"cells of no size", "/v1/coverage", `{"situations":[{}],"cell_m":1e-300}`, 422, "at least 100"},
		{"cells of NaN", "/v1/coverage", `{"situations":[{}],"cell_m":NaN}`, 400, "NaN"},
		{"1e9 points", "/v1/coverage", `{"situations":[{}],"demand":{"type":"FeatureCollection","features":[` + strings.Repeat(point+",", 60_000) + point + `]}}`, 413, "longer than"},
		{"too many values", "/v1/coverage", `{"situations":[{}],"demand":{"type":"FeatureCollection","features":[` + strings.Repeat("1,", 600_000) + `1]}}`, 400, "values"},
		{"endless situations", "/v1/coverage", `{"situations":[` + strings.Repeat("{},", 1000) + `{}],"cell_m":5000}`, 422, "at most 24"},
		{"nowhere", "/v1/coverage", `{"situations":[{}]}`, 422, "nowhere to look"},
		{"no situation", "/v1/coverage", `{"situations":[],"cell_m":5000}`, 422, "must not be empty"},
		{"a scene in a situation", "/v1/coverage", `{"situations":[{"scene":{"position":[0,0]}}],"cell_m":5000}`, 422, `unknown field \"scene\"`},
		{"swapped", "/v1/coverage", `{"situations":[{}],"demand":{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[45,-129]},"properties":{}}]}}`, 422, "#/demand/features/0/geometry/coordinates"},
		{"negative people", "/v1/coverage", `{"situations":[{}],"demand":{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[0,0]},"properties":{"people":-1}}]}}`, 422, "#/demand/features/0/properties/people"},
		{"no such asset", "/v1/coverage", `{"situations":[{"assets":{"only":["heli-77"]}}],"cell_m":5000}`, 422, "#/situations/0/assets/only/0"},
		{"no such need", "/v1/coverage", `{"situations":[{},{"patient":{"needs":["ecmoo"]}}],"cell_m":5000}`, 422, "#/situations/1/patient/needs/0"},
		{"nested", "/v1/coverage", strings.Repeat(`{"situations":`, 20_000), 400, "nested more than 16 deep"},
		{"nothing to be like", "/v1/siting", `{"situation":{},"cell_m":5000,"candidates":[{"position":[0,0]}],"like":"heli-77","count":1,"objective":"least_mean_time"}`, 422, "#/like"},
		{"more than there are", "/v1/siting", `{"situation":{},"cell_m":5000,"candidates":[{"position":[0,0]}],"like":"heli-1","count":2,"objective":"least_mean_time"}`, 422, "more than the 1 candidates"},
		{"no time", "/v1/siting", `{"situation":{},"cell_m":5000,"candidates":[{"position":[0,0]}],"like":"heli-1","count":1,"objective":"most_people"}`, 422, "needs within_s"},
		{"no such base", "/v1/siting", `{"situation":{},"cell_m":5000,"candidates":[{"facility":"nowhere"}],"like":"heli-1","count":1,"objective":"least_mean_time"}`, 422, "#/candidates/0/facility"},
		{"endless count", "/v1/siting", `{"situation":{},"cell_m":5000,"candidates":[{"position":[0,0]}],"like":"heli-1","count":1e300,"objective":"least_mean_time"}`, 422, "at most 200"},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := do(h, call{method: http.MethodPost, path: row.path, body: row.body})
			require.Equal(t, row.status, w.Code, "%.300s", w.Body)
			assert.Contains(t, w.Body.String(), row.says)
		})
	}
	list := object(t, get(h, "/v1/jobs").Body.Bytes())
	assert.Empty(t, list["jobs"], "none of them has become a job")

	j := ended(t, h, asJob(t, h, "/v1/coverage", `{"situations":[`+strings.Repeat("{},", 23)+`{}],"cell_m":200}`))
	assert.Equal(t, "failed", j["state"])
	assert.Contains(t, j["detail"], "more than 1000000 looks in all")
}

// TestFullQueue: a full queue and a caller with too many jobs are told so.
func TestFullQueue(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{Waiting: 1}))
	slow := `{"situations":[{}],"cell_m":500}`
	running := asJob(t, h, "/v1/coverage", slow)
	require.Eventually(t, func() bool {
		return object(t, get(h, "/v1/jobs/"+running["id"].(string)).Body.Bytes())["state"] == "running"
	}, 20*time.Second, time.Millisecond)
	waits := do(h, call{method: http.MethodPost, path: "/v1/coverage", body: slow})
	require.Contains(t, []int{http.StatusAccepted, http.StatusTooManyRequests}, waits.Code)
	w := do(h, call{method: http.MethodPost, path: "/v1/coverage", body: slow})
	require.Equal(t, http.StatusTooManyRequests, w.Code, "%s", w.Body)
	assert.NotEmpty(t, w.Header().Get("Retry-After"))
	w = do(h, call{method: http.MethodDelete, path: "/v1/jobs/" + running["id"].(string)})
	require.Equal(t, http.StatusOK, w.Code)
	assert.Equal(t, "cancelled", ended(t, h, running)["state"])

	h = handler(t, withJobs(t, job.Options{Waiting: 1, Each: 5}))
	statuses := map[int]int{}
	for range 4 {
		statuses[do(h, call{method: http.MethodPost, path: "/v1/coverage", body: slow}).Code]++
	}
	assert.Positive(t, statuses[http.StatusServiceUnavailable])
	for _, j := range object(t, get(h, "/v1/jobs").Body.Bytes())["jobs"].([]any) {
		do(h, call{method: http.MethodDelete, path: "/v1/jobs/" + j.(map[string]any)["id"].(string)})
	}
}

// TestJobsOfOthers: a reader sees and ends its own jobs only, a desk everybody's.
func TestJobsOfOthers(t *testing.T) {
	k := newKeyring(t)
	h := guarded(t, k, withJobs(t, job.Options{}))
	as := func(role, method, path, body string) *httptest.ResponseRecorder {
		return do(h, call{method: method, path: path, body: body, header: http.Header{"Authorization": {"Bearer " + k.text[role]}}})
	}
	w := as("desk", http.MethodPost, "/v1/coverage", ofVillages)
	require.Equal(t, http.StatusAccepted, w.Code, "%s", w.Body)
	path := w.Header().Get("Location")
	for _, call := range [][2]string{{http.MethodGet, path}, {http.MethodDelete, path}, {http.MethodGet, path + "/events"}, {http.MethodGet, path + "/results/cells.csv"}} {
		assert.Equal(t, http.StatusNotFound, as("reader", call[0], call[1], "").Code, call)
	}
	assert.Empty(t, object(t, as("reader", http.MethodGet, "/v1/jobs", "").Body.Bytes())["jobs"])
	assert.Len(t, object(t, as("admin", http.MethodGet, "/v1/jobs", "").Body.Bytes())["jobs"], 1)
	own := as("reader", http.MethodPost, "/v1/coverage", ofVillages)
	require.Equal(t, http.StatusAccepted, own.Code)
	assert.Equal(t, http.StatusOK, as("reader", http.MethodGet, own.Header().Get("Location"), "").Code)
	assert.Equal(t, http.StatusOK, as("desk", http.MethodDelete, own.Header().Get("Location"), "").Code)
}

// TestJobEvents: the stream tells of the job until its end, and then ends.
func TestJobEvents(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	j := asJob(t, h, "/v1/coverage", ofVillages)
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	r := httptest.NewRequest(http.MethodGet, "/v1/jobs/"+j["id"].(string)+"/events", nil).WithContext(ctx)
	w := serveOne(h, r)
	require.NoError(t, ctx.Err())
	assert.Equal(t, "text/event-stream", w.Header().Get("Content-Type"))
	events := strings.Split(strings.TrimSpace(w.Body.String()), "\n\n")
	_, data, _ := strings.Cut(events[len(events)-1], "data: ")
	var last map[string]any
	require.NoError(t, json.Unmarshal([]byte(data), &last))
	assert.Equal(t, "done", last["state"])
}

// TestNoJobs: a service that runs none says so, on every route.
func TestNoJobs(t *testing.T) {
	h := handler(t)
	for _, c := range []call{{method: "POST", path: "/v1/coverage", body: ofVillages}, {method: "POST", path: "/v1/siting", body: "{}"},
		{method: "GET", path: "/v1/jobs"}, {method: "GET", path: "/v1/jobs/x"}, {method: "DELETE", path: "/v1/jobs/x"},
		{method: "GET", path: "/v1/jobs/x/events"}, {method: "GET", path: "/v1/jobs/x/results/y"}} {
		w := do(h, c)
		assert.Equal(t, http.StatusNotFound, w.Code, fmt.Sprint(c))
		assert.Contains(t, w.Body.String(), "runs no jobs")
	}
}

// TestPlanningExamplesHold: the document's examples are taken.
func TestPlanningExamplesHold(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	d := served(t, h, true)
	for _, path := range []string{"/v1/coverage", "/v1/siting"} {
		examples, _ := d.find(t, "paths", path, "post", "requestBody", "content", "application/json", "examples")
		for name, example := range examples {
			body, err := json.Marshal(example.(map[string]any)["value"])
			require.NoError(t, err)
			j := ended(t, h, asJob(t, h, path, string(body)))
			assert.Equal(t, "done", j["state"], "%s: %v", name, j)
		}
	}
}
