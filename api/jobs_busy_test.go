package api_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/job"
	"surgeonward/routing/busy"
)

// TestBusyCoverage: with one asset that can be busy, its share is Erlang's formula for one
// unit; with no calls, what is to be expected is the situation's own figures. Source: Erlang B,
// and identity.
func TestBusyCoverage(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	strict := served(t, h, true)
	asked := func(situations, calls string) (map[string]any, map[string]string) {
		j := ended(t, h, asJob(t, h, "/v1/coverage", `{"situations":[`+situations+`],"busy":`+calls+`,"demand":`+twoVillages+`}`))
		require.Equal(t, "done", j["state"], j)
		paths := resultsOf(j)
		w := get(h, paths["summary.json"])
		strict.check(t, http.MethodGet, "/v1/jobs/{id}/results/{name}", w)
		return object(t, w.Body.Bytes()), paths
	}
	const day, night = `{"name":"day","at":"2031-06-10T14:00:00Z"}`, `{"name":"night","at":"2031-06-11T02:00:00Z"}`

	none, paths := asked(day, `{"calls_per_day":0}`)
	situation := none["situations"].([]any)[0].(map[string]any)
	free := none["busy"].(map[string]any)
	assert.Equal(t, situation["within"], free["within"])
	assert.Equal(t, situation["reached"], free["reached"])
	assert.Equal(t, situation["mean_s"], free["mean_s"])
	assert.Equal(t, 0.0, free["unanswered_share"])
	require.Contains(t, paths, "busy.csv")
	table := get(h, paths["busy.csv"]).Body.String()
	assert.Equal(t, 3, strings.Count(table, "\n"), table)
	assert.True(t, strings.HasPrefix(table, "latitude,longitude,name,people,expected_s,reached_share,within_15_min_share"), table)
	page := get(h, paths["report.html"]).Body.String()
	assert.Contains(t, page, "While assets are out on other calls")
	assert.Contains(t, page, "queueing model")

	first := situation["assets"].([]any)[0].(map[string]any)["id"].(string)
	one, _ := asked(day, `{"calls_per_day":12,"service_min":60,"assets":["`+first+`"],"depth":2}`)
	shares := one["busy"].(map[string]any)["shares"].([]any)
	require.Len(t, shares, 1)
	load := 0.5 * situation["assets"].([]any)[0].(map[string]any)["people"].(float64) / 1500
	lost, err := busy.ErlangB(1, load)
	require.NoError(t, err)
	assert.InDelta(t, lost, shares[0].(map[string]any)["busy_share"], 1e-6, "one unit is busy as often as it loses calls")

	both, paths := asked(day+","+night, `{"calls_per_day":12}`)
	assert.NotEmpty(t, both["busy"].(map[string]any)["shares"])
	assert.Contains(t, paths, "1-busy.csv")
	assert.Contains(t, paths, "2-busy.csv")
}

// TestBusyFaults: each at its place.
func TestBusyFaults(t *testing.T) {
	h := handler(t, withJobs(t, job.Options{}))
	for _, row := range []struct{ name, calls, says string }{
		{"nothing", `{}`, "calls_per_day"},
		{"negative", `{"calls_per_day":-1}`, "#/busy/calls_per_day"},
		{"no such asset", `{"calls_per_day":1,"assets":["heli-1","heli-77"]}`, "#/busy/assets/1"},
		{"too deep", `{"calls_per_day":1,"depth":50}`, "#/busy/depth"},
		{"service of no time", `{"calls_per_day":1,"service_min":0}`, "#/busy/service_min"},
		{"misspelt", `{"calls_per_day":1,"service_s":60}`, "service_s"},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := do(h, call{method: http.MethodPost, path: "/v1/coverage", body: `{"situations":[{}],"demand":` + twoVillages + `,"busy":` + row.calls + `}`})
			assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
			assert.Contains(t, w.Body.String(), row.says)
		})
	}
	nobody := ended(t, h, asJob(t, h, "/v1/coverage", `{"situations":[{}],"cell_m":40000,"busy":{"calls_per_day":1}}`))
	assert.Equal(t, "failed", nobody["state"])
	assert.Contains(t, nobody["detail"], "give people or incidents")
}
