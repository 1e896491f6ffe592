package main

import (
	"encoding/json"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store/postgres/pgserver"
)

// plannedJob is what a service says of a job.
type plannedJob struct {
	State    string
	Detail   string
	Progress float64
	Doing    string
	Starts   int
	Results  []struct{ Name, Path string }
}

func jobAt(t testing.TB, address, path string) (j plannedJob) {
	t.Helper()
	r := sent(t, http.MethodGet, address+path, "")
	require.Equal(t, http.StatusOK, r.code, r.body)
	require.NoError(t, json.Unmarshal([]byte(r.body), &j))
	return j
}

func askJob(t testing.TB, address, what, body string) string {
	t.Helper()
	r := sent(t, http.MethodPost, address+what, body)
	require.Equal(t, http.StatusAccepted, r.code, r.body)
	return r.header.Get("Location")
}

// resultsAt waits for a job and returns all its results by name.
func resultsAt(t testing.TB, address, path string) (j plannedJob, results map[string]string) {
	t.Helper()
	require.Eventually(t, func() bool { j = jobAt(t, address, path); return j.State != "waiting" && j.State != "running" }, 60*time.Second, 20*time.Millisecond)
	require.Equal(t, "done", j.State, j.Detail)
	results = map[string]string{}
	for _, r := range j.Results {
		answer := sent(t, http.MethodGet, address+r.Path, "")
		require.Equal(t, http.StatusOK, answer.code)
		results[r.Name] = answer.body
	}
	return j, results
}

// startWorker starts a process that only works.
func startWorker(t testing.TB, database string) *child {
	t.Helper()
	program, err := os.Executable()
	require.NoError(t, err)
	c := &child{cmd: exec.Command(program, "work", "--database", database, "--workers", "2")}
	c.cmd.Env = append(os.Environ(), asProgram+"=1")
	c.cmd.Stdout = &c.stdout
	require.NoError(t, c.cmd.Start())
	t.Cleanup(func() { c.kill(t) })
	require.Eventually(t, func() bool { return strings.Contains(c.stdout.String(), "working: on 2 parts of jobs at a time") }, 30*time.Second, 2*time.Millisecond)
	return c
}

// stop tells a process to stop, and waits for it.
func (c *child) stop(t testing.TB) {
	t.Helper()
	c.ended = true
	require.NoError(t, c.cmd.Process.Signal(syscall.SIGTERM))
	require.NoError(t, c.cmd.Wait())
}

// begun is how many parts of jobs are being worked on.
func begun(t testing.TB, database string) (n int) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), database)
	require.NoError(t, err)
	defer func() { assert.NoError(t, conn.Close(t.Context())) }()
	require.NoError(t, conn.QueryRow(t.Context(), `SELECT count(*) FROM job_step WHERE step > 0 AND worker IS NOT NULL AND NOT done`).Scan(&n))
	return n
}

// TestWorkersShareJobs: what several processes make of a job is what one process makes of it,
// byte for byte, also where one of them is killed and another is stopped while they work. Source: identity.
func TestWorkersShareJobs(t *testing.T) {
	const (
		coverage = `{"situations":[{"name":"day","at":"2031-06-10T14:00:00Z","share":3},{"name":"night","at":"2031-06-11T02:00:00Z"},
			{"at":"2031-06-10T08:00:00Z"},{"at":"2031-12-10T17:00:00Z"}],"second":true,"cell_m":8000}`
		siting = `{"situation":{"at":"2031-06-11T02:00:00Z"},"cell_m":12000,"candidates":[{"name":"far","position":[-29.9,45.4]},{"name":"near","position":[-29.3,45.55]}],
			"like":"heli-1","count":1,"objective":"least_mean_time"}`
	)
	alone := startChild(t, "--jobs", filepath.Join(t.TempDir(), "jobs"))
	began := time.Now()
	_, wantCoverage := resultsAt(t, alone.address, askJob(t, alone.address, "/v1/coverage", coverage))
	t.Logf("alone: %v", time.Since(began))
	_, wantSiting := resultsAt(t, alone.address, askJob(t, alone.address, "/v1/siting", siting))
	alone.kill(t)

	database := pgserver.Schema(t)
	called(t, "copy", freshDemo(t), database)
	here := startChild(t, "--database", database)
	began = time.Now()
	path := askJob(t, here.address, "/v1/coverage", coverage)
	here.stop(t) // it gives back what it has begun
	killed := startWorker(t, database)
	require.Eventually(t, func() bool { return begun(t, database) > 0 }, 30*time.Second, time.Millisecond)
	killed.kill(t)
	startWorker(t, database).stop(t)
	here, there := startChild(t, "--database", database), startChild(t, "--database", database)
	j, got := resultsAt(t, there.address, path)
	t.Logf("shared: %v, begun at most %d times", time.Since(began), j.Starts)
	assert.Equal(t, 2, j.Starts, "what the killed process had begun was begun again")
	for name := range wantCoverage {
		assert.True(t, wantCoverage[name] == got[name], "%s differs", name)
	}
	assert.Len(t, got, len(wantCoverage))

	_, got = resultsAt(t, here.address, askJob(t, there.address, "/v1/siting", siting))
	for name := range wantSiting {
		assert.True(t, wantSiting[name] == got[name], "%s differs", name)
	}
	assert.Len(t, got, len(wantSiting))
}
