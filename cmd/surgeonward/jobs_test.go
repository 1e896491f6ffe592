package main

import (
	"encoding/json"
	"net/http"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestKilledServiceBeginsJobsAgain kills a service while a job runs and another waits: both are
// done by the next one. Source: definition of an acknowledgement.
func TestKilledServiceBeginsJobsAgain(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "jobs")
	c := startChild(t, "--jobs", dir)
	ask := func(body string) string {
		r := sent(t, http.MethodPost, c.address+"/v1/coverage", body)
		require.Equal(t, http.StatusAccepted, r.code, r.body)
		return r.header.Get("Location")
	}
	state := func(path string) (out struct {
		State  string
		Starts int
	}) {
		r := sent(t, http.MethodGet, c.address+path, "")
		require.Equal(t, http.StatusOK, r.code, r.body)
		require.NoError(t, json.Unmarshal([]byte(r.body), &out))
		return out
	}
	runs := ask(`{"situations":[{},{}],"cell_m":5000}`)
	waits := ask(`{"situations":[{}],"cell_m":20000}`)
	require.Eventually(t, func() bool { return state(runs).State == "running" }, 20*time.Second, time.Millisecond)
	c.kill(t)
	c = startChild(t, "--jobs", dir)
	require.Eventually(t, func() bool { return state(runs).State == "done" && state(waits).State == "done" }, 90*time.Second, 20*time.Millisecond)
	assert.Equal(t, 2, state(runs).Starts)
	assert.Equal(t, 1, state(waits).Starts)
	assert.Equal(t, http.StatusOK, sent(t, http.MethodGet, c.address+waits+"/results/map.svg", "").code)
}

func TestJobFlags(t *testing.T) {
	for flag, says := range map[string]string{"--jobs-mb=0": "--jobs-mb: must be 1 to", "--jobs-waiting=-1": "--jobs-waiting: must be 1 to"} {
		got := call(t, "", "serve", "--listen", "127.0.0.1:0", flag)
		assert.Equal(t, exitUsage, got.code)
		assert.Contains(t, got.errors, says)
	}
}
