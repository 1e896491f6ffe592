package api_test

import (
	"context"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/job"
	"surgeonward/api/job/postgres"
	"surgeonward/api/region"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/postgres/pgserver"
)

func TestMain(m *testing.M) { pgserver.Main(m) }

// sharing opens the queue on a database for the region of a desk.
func sharing(t testing.TB, versions api.Versions, database, build string, opts postgres.Options) *postgres.Queue {
	t.Helper()
	q, err := api.ShareJobs(t.Context(), versions, database, build, opts)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, q.Close()) })
	return q
}

// TestSharedJobAsksItsVersion: a job is answered for the region as it was when it was asked for,
// whatever has changed before a worker begins it, with the bytes of the one process. Its events
// come from a server that does not work. Source: identity.
func TestSharedJobAsksItsVersion(t *testing.T) {
	d := editable(t)
	database := pgserver.Schema(t)
	server := handler(t, d.config, func(c *api.Config) {
		c.Jobs = sharing(t, d.store, database, "test", postgres.Options{AskOnly: true})
	})
	alone := handler(t, d.config, withJobs(t, job.Options{}))
	const question = `{"situations":[{"at":"2031-06-10T14:00:00Z"},{"at":"2031-06-11T02:00:00Z"}],"second":true,"demand":` + twoVillages + `}`
	results := func(h http.Handler, j map[string]any) map[string]string {
		require.Equal(t, "done", j["state"], j)
		texts := map[string]string{}
		for name, path := range resultsOf(j) {
			texts[name] = get(h, path).Body.String()
		}
		return texts
	}
	want := results(alone, ended(t, alone, asJob(t, alone, "/v1/coverage", question)))
	j := asJob(t, server, "/v1/coverage", question)
	w := do(d, call{method: http.MethodDelete, path: "/v1/assets/heli-1", header: header("If-Match", get(d, "/v1/assets/heli-1").Header().Get("ETag"))})
	require.Less(t, w.Code, 300, "%s", w.Body)
	sharing(t, d.store, database, "test", postgres.Options{})
	events := get(server, "/v1/jobs/"+j["id"].(string)+"/events").Body.String()
	assert.Contains(t, events, `"state":"running"`)
	assert.Contains(t, events[strings.LastIndex(events, "data: "):], `"state":"done"`)
	got := results(server, ended(t, server, j))
	assert.Equal(t, want, got)
	now := results(server, ended(t, server, asJob(t, server, "/v1/coverage", question)))
	assert.NotEqual(t, want["summary.json"], now["summary.json"], "else the change changes nothing")
}

// noVersions keeps what a worker cannot use.
type noVersions struct{ content map[string][]byte }

func (n noVersions) At(context.Context, int64) (*store.Version, error) {
	if n.content == nil {
		return nil, store.ErrNotFound
	}
	return &store.Version{Content: n.content}, nil
}

// TestSharedJobWithoutItsVersion: a worker that cannot read the version says so.
func TestSharedJobWithoutItsVersion(t *testing.T) {
	d := editable(t)
	for _, row := range []struct {
		versions api.Versions
		says     string
	}{
		{noVersions{}, "the worker finds no version 1 of the region"},
		{noVersions{map[string][]byte{region.FleetFile: []byte(`{"assets":[`)}}, "the worker cannot use version 1 of the region"},
	} {
		h := handler(t, d.config, func(c *api.Config) {
			c.Jobs = sharing(t, row.versions, pgserver.Schema(t), "test", postgres.Options{})
		})
		j := ended(t, h, asJob(t, h, "/v1/coverage", ofVillages))
		assert.Equal(t, "failed", j["state"])
		assert.Contains(t, j["detail"], row.says)
	}
}
