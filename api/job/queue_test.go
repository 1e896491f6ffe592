package job_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"surgeonward/api/job"
	"surgeonward/api/job/jobtest"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(runnerFolder); dir != "" {
		os.Exit(runUntilKilled(dir))
	}
	goleak.VerifyTestMain(m)
}

// open opens a queue that ends with the test.
func open(t testing.TB, opts job.Options) *job.Queue {
	t.Helper()
	q, unreadable, err := job.Open(opts)
	require.NoError(t, err)
	require.Empty(t, unreadable)
	t.Cleanup(func() { assert.NoError(t, q.Close()) })
	return q
}

// TestQueue: a queue in memory and one in a folder keep the promises of every queue.
func TestQueue(t *testing.T) {
	t.Run("memory", func(t *testing.T) {
		jobtest.Run(t, func(_ *testing.T, opts job.Options) (job.Service, error) {
			q, _, err := job.Open(opts)
			return q, err
		})
	})
	t.Run("folder", func(t *testing.T) {
		jobtest.Run(t, func(t *testing.T, opts job.Options) (job.Service, error) {
			opts.Dir = filepath.Join(t.TempDir(), "new", "jobs")
			q, _, err := job.Open(opts)
			return q, err
		})
	})
}

// TestDroppedFiles: what is too much leaves nothing in the folder.
func TestDroppedFiles(t *testing.T) {
	dir := t.TempDir()
	q := open(t, job.Options{Kinds: jobtest.Kinds(nil), Dir: dir, Kept: 1})
	var ids []string
	for range 2 {
		ids = append(ids, jobtest.Submit(t, q, "echo").ID)
		jobtest.Until(t, q, ids[len(ids)-1], job.Done)
	}
	require.Eventually(t, func() bool { _, err := os.Stat(filepath.Join(dir, ids[0])); return os.IsNotExist(err) }, 5*time.Second, time.Millisecond)
	assert.DirExists(t, filepath.Join(dir, ids[1]))
}

func TestOptionFaults(t *testing.T) {
	_, _, err := job.Open(job.Options{Workers: -1, Bytes: 5, JobBytes: 6})
	for _, says := range []string{"no kinds", "workers is -1", "6 bytes are more than the 5"} {
		assert.ErrorContains(t, err, says)
	}
	dir := t.TempDir()
	open(t, job.Options{Kinds: jobtest.Kinds(nil), Dir: dir})
	_, _, err = job.Open(job.Options{Kinds: jobtest.Kinds(nil), Dir: dir})
	assert.ErrorContains(t, err, "in use by another process")
}
