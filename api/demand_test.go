package api_test

import (
	"errors"
	"io/fs"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/job"
	"surgeonward/testdata"
)

// withDemand serves a file of people.
func withDemand(text string, err error) func(*api.Config) {
	return func(c *api.Config) {
		c.Demand = func() ([]byte, error) { return []byte(text), err }
	}
}

// TestDemand: what the file of people becomes. Source: RFC 7946 for GeoJSON, the
// interface's own document for the rest.
func TestDemand(t *testing.T) {
	for _, row := range []struct {
		name, text string
		err        error
		status     int
		says       string
	}{
		{"a table", "latitude,longitude,people,name\n45.5,-29.4,12,\"<b>Here\"\n", nil, http.StatusOK,
			`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[-29.4,45.5]},"properties":{"people":12,"name":"<b>Here"}}]}` + "\n"},
		{"GeoJSON as it is", " " + twoVillages, nil, http.StatusOK, " " + twoVillages},
		{"no such file", "", &fs.PathError{Op: "open", Path: "/secret/demand.csv", Err: fs.ErrNotExist}, http.StatusNotFound, "put a demand.csv into its folder"},
		{"not to be read", "", errors.New("/secret: permission denied"), http.StatusServiceUnavailable, "cannot be read"},
		{"a table with faults", "latitude,longitude\n145.5,-29.4\n", nil, http.StatusConflict, "line 2, latitude: 145.5 is not from -90 to 90"},
		{"GeoJSON with faults", `{"type":"FeatureCollection","features":[]}`, nil, http.StatusConflict, "has neither a point nor a polygon"},
		{"longer than a question", strings.Repeat(" ", api.MaxDemand+1), nil, http.StatusConflict, "join its points"},
	} {
		t.Run(row.name, func(t *testing.T) {
			h := handler(t, withDemand(row.text, row.err))
			w := get(h, "/v1/region/demand")
			require.Equal(t, row.status, w.Code, "%s", w.Body)
			assert.NotContains(t, w.Body.String(), "secret")
			served(t, h, true).check(t, http.MethodGet, "/v1/region/demand", w)
			if row.status == http.StatusOK {
				assert.Equal(t, row.says, w.Body.String())
				again := do(h, call{method: http.MethodGet, path: "/v1/region/demand", header: http.Header{"If-None-Match": {w.Header().Get("ETag")}}})
				assert.Equal(t, http.StatusNotModified, again.Code)
			} else {
				assert.Contains(t, w.Body.String(), row.says)
			}
		})
	}
	assert.Equal(t, http.StatusNotFound, get(handler(t), "/v1/region/demand").Code)
}

// TestDemandIsTaken: the region's people, put into a question, are all counted. Source:
// the demo region's README, 403,200 people, and its README's own test.
func TestDemandIsTaken(t *testing.T) {
	text, err := fs.ReadFile(testdata.Demo, "demand.csv")
	require.NoError(t, err)
	h := handler(t, withJobs(t, job.Options{}), withDemand(string(text), nil))
	w := get(h, "/v1/region/demand")
	require.Equal(t, http.StatusOK, w.Code)
	j := ended(t, h, asJob(t, h, "/v1/coverage", `{"situations":[{"at":"2031-06-10T14:00:00Z"}],"cell_m":20000,"demand":`+w.Body.String()+`}`))
	require.Equal(t, "done", j["state"], j)
	summary := object(t, get(h, resultsOf(j)["summary.json"]).Body.Bytes())
	assert.InDelta(t, 403_200, summary["places"].(map[string]any)["people"], 0.5)
}
