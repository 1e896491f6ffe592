package job_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"surgeonward/api/job"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(runnerFolder); dir != "" {
		os.Exit(runUntilKilled(dir))
	}
	goleak.VerifyTestMain(m)
}

// kinds are jobs of tests: echo gives its request back, held waits to be let go, and the
// rest fail in their ways.
func kinds(held chan struct{}) map[string]job.Run {
	return map[string]job.Run{
		"echo": func(_ context.Context, request json.RawMessage, progress job.Progress) ([]job.File, error) {
			progress(1, 2, "half way")
			return []job.File{{Name: "echo.json", Media: "application/json", Content: request}}, nil
		},
		"held": func(ctx context.Context, request json.RawMessage, _ job.Progress) ([]job.File, error) {
			select {
			case <-held:
				return []job.File{{Name: "held.json", Content: request}}, nil
			case <-ctx.Done():
				return nil, ctx.Err()
			}
		},
		"steps": func(ctx context.Context, _ json.RawMessage, progress job.Progress) ([]job.File, error) {
			for i := range 4 {
				progress(i, 4, fmt.Sprintf("step %d", i))
				select {
				case held <- struct{}{}:
				case <-ctx.Done():
					return nil, ctx.Err()
				}
			}
			return nil, nil
		},
		"fault": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			return nil, &job.Fault{Detail: "there is no base: add one"}
		},
		"broken": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			return nil, errors.New("secret of the house")
		},
		"panic": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			panic("secret of the caller")
		},
		"large": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			return []job.File{{Name: "large", Content: make([]byte, 2000)}}, nil
		},
		"climbs": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			return []job.File{{Name: "../../out.txt", Content: []byte("x")}}, nil
		},
		"twice": func(context.Context, json.RawMessage, job.Progress) ([]job.File, error) {
			return []job.File{{Name: "a"}, {Name: "a"}}, nil
		},
	}
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

func submit(t testing.TB, q *job.Queue, kind string) job.Job {
	t.Helper()
	j, err := q.Submit(kind, "somebody", []byte(`{"kind":"`+kind+`"}`))
	require.NoError(t, err)
	return j
}

// until waits for a state.
func until(t testing.TB, q *job.Queue, id string, state job.State) job.Job {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	for change := -1; ; {
		j, err := q.Wait(ctx, id, change)
		require.NoError(t, err, "it is %s", j.State)
		if j.State == state {
			return j
		}
		require.False(t, j.State.Over(), "it is %s: %s", j.State, j.Detail)
		change = j.Change
	}
}

// both runs a test with a queue in memory and one in a folder.
func both(t *testing.T, test func(t *testing.T, opts job.Options)) {
	t.Run("memory", func(t *testing.T) { test(t, job.Options{}) })
	t.Run("folder", func(t *testing.T) { test(t, job.Options{Dir: filepath.Join(t.TempDir(), "new", "jobs")}) })
}

func TestDone(t *testing.T) {
	both(t, func(t *testing.T, opts job.Options) {
		opts.Kinds = kinds(nil)
		q := open(t, opts)
		asked := submit(t, q, "echo")
		assert.Equal(t, job.Waiting, asked.State)
		j := until(t, q, asked.ID, job.Done)
		assert.Equal(t, 1.0, j.Progress)
		assert.Equal(t, []job.Result{{Name: "echo.json", Media: "application/json", Bytes: 15}}, j.Results)
		assert.False(t, j.EndedAt.Before(j.BeganAt) || j.BeganAt.Before(j.AskedAt))
		f, err := q.Result(j.ID, "echo.json")
		require.NoError(t, err)
		assert.Equal(t, job.File{Name: "echo.json", Media: "application/json", Content: []byte(`{"kind":"echo"}`)}, f)
		for _, name := range []string{"", "other", "job.json", "request.json", "../" + j.ID + "/result-echo.json", strings.Repeat("x", 5000)} {
			_, err := q.Result(j.ID, name)
			assert.ErrorIs(t, err, job.ErrNotFound)
			assert.Less(t, len(err.Error()), 300)
		}
		_, err = q.Get("../" + j.ID)
		assert.ErrorIs(t, err, job.ErrNotFound)
		again, err := q.Cancel(j.ID)
		require.NoError(t, err)
		assert.Equal(t, job.Done, again.State, "what is over stays as it is")
	})
}

func TestFailures(t *testing.T) {
	const ours = "it could not be done; the fault is on this side, and the log has the job's id"
	for _, row := range []struct{ kind, says, logged string }{
		{"fault", "there is no base: add one", ""},
		{"broken", ours, "secret of the house"},
		{"panic", ours, "panic with a string"},
		{"climbs", ours, "the result's name"},
		{"twice", ours, "the result's name"},
		{"large", "its results have 2000 bytes, more than the 1000", ""},
	} {
		both(t, func(t *testing.T, opts job.Options) {
			var mu sync.Mutex
			var logged []error
			opts.Kinds, opts.JobBytes, opts.Bytes = kinds(nil), 1000, 4000
			opts.Trouble = func(_ string, err error) { mu.Lock(); logged = append(logged, err); mu.Unlock() }
			q := open(t, opts)
			j := until(t, q, submit(t, q, row.kind).ID, job.Failed)
			assert.Contains(t, j.Detail, row.says)
			assert.Empty(t, j.Results)
			until(t, q, submit(t, q, "echo").ID, job.Done) // the next job runs
			mu.Lock()
			defer mu.Unlock()
			if row.logged == "" {
				assert.Empty(t, logged)
				return
			}
			require.Len(t, logged, 1)
			assert.ErrorContains(t, logged[0], row.logged)
			assert.Equal(t, row.kind == "panic", job.Stack(logged[0]) != nil)
		})
	}
}

func TestRefusals(t *testing.T) {
	held := make(chan struct{})
	q := open(t, job.Options{Kinds: kinds(held), Waiting: 2, Each: 3})
	_, err := q.Submit("nothing", "a", []byte(`{}`))
	assert.ErrorContains(t, err, `no job of the kind "nothing"`)
	_, err = q.Submit("echo", "a", []byte(`{`))
	assert.ErrorContains(t, err, "no JSON text")
	_, err = q.Submit("echo", "a", make([]byte, job.MaxRequest+1))
	assert.ErrorContains(t, err, "no JSON text")
	var ids []string
	ask := func(owner string) error {
		j, err := q.Submit("held", owner, []byte(`{}`))
		ids = append(ids, j.ID)
		return err
	}
	require.NoError(t, ask("a"))
	until(t, q, ids[0], job.Running)
	require.NoError(t, ask("a"))
	require.NoError(t, ask("a"))
	assert.ErrorIs(t, ask("a"), job.ErrTooMany)
	assert.ErrorIs(t, ask("b"), job.ErrFull)
	last, err := q.Get(ids[2])
	require.NoError(t, err)
	assert.Equal(t, 1, last.Ahead)
	_, err = q.Cancel(ids[1])
	require.NoError(t, err)
	require.NoError(t, ask("b"), "a job that was cancelled makes room")
	list := q.List()
	require.Len(t, list, 4)
	assert.Equal(t, "b", list[0].Owner, "the newest first")
	close(held)
	until(t, q, ids[2], job.Done)
}

func TestCancel(t *testing.T) {
	both(t, func(t *testing.T, opts job.Options) {
		opts.Kinds = kinds(make(chan struct{}))
		q := open(t, opts)
		running, waits := submit(t, q, "held"), submit(t, q, "held")
		until(t, q, running.ID, job.Running)
		j, err := q.Cancel(waits.ID)
		require.NoError(t, err)
		assert.Equal(t, job.Cancelled, j.State)
		_, err = q.Cancel(running.ID)
		require.NoError(t, err)
		j = until(t, q, running.ID, job.Cancelled)
		assert.Empty(t, j.Detail)
		_, err = q.Cancel("0123")
		assert.ErrorIs(t, err, job.ErrNotFound)
	})
}

// TestProgress: it grows, its words are told, and whoever waits hears of each change.
func TestProgress(t *testing.T) {
	steps := make(chan struct{})
	q := open(t, job.Options{Kinds: kinds(steps)})
	j := submit(t, q, "steps")
	j = until(t, q, j.ID, job.Running)
	for i := range 4 {
		for j.Word != fmt.Sprintf("step %d", i) {
			var err error
			j, err = q.Wait(t.Context(), j.ID, j.Change)
			require.NoError(t, err)
		}
		assert.Equal(t, float64(i)/4, j.Progress)
		<-steps
	}
	j = until(t, q, j.ID, job.Done)
	assert.Equal(t, 1.0, j.Progress)
	assert.Empty(t, j.Word)
}

func TestTooLong(t *testing.T) {
	q := open(t, job.Options{Kinds: kinds(nil), Time: time.Millisecond})
	j := until(t, q, submit(t, q, "held").ID, job.Failed)
	assert.Contains(t, j.Detail, "it was not done within 1ms: ask for less")
}

// TestBounds: the oldest go first, by age, by number and by bytes, with their files.
func TestBounds(t *testing.T) {
	for _, row := range []struct {
		name  string
		opts  job.Options
		later time.Duration
		left  int
	}{
		{"none", job.Options{}, 0, 5},
		{"number", job.Options{Kept: 3}, 0, 3},
		{"bytes", job.Options{Bytes: 2*15 + 14}, 0, 2}, // of 15 each
		{"age", job.Options{Age: time.Hour}, time.Hour + time.Second, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			both(t, func(t *testing.T, opts job.Options) {
				var mu sync.Mutex
				at := time.Date(2031, 3, 14, 12, 0, 0, 0, time.UTC)
				row.opts.Kinds, row.opts.Dir, row.opts.JobBytes = kinds(nil), opts.Dir, 40
				row.opts.Now = func() time.Time { mu.Lock(); defer mu.Unlock(); return at }
				q := open(t, row.opts)
				var ids []string
				for range 5 {
					j := submit(t, q, "echo")
					until(t, q, j.ID, job.Done)
					ids = append(ids, j.ID)
				}
				mu.Lock()
				at = at.Add(row.later)
				mu.Unlock()
				require.Eventually(t, func() bool { q.Sweep(); return len(q.List()) == row.left }, 5*time.Second, time.Millisecond)
				for i, id := range ids {
					_, err := q.Result(id, "echo.json")
					if i < 5-row.left {
						assert.ErrorIs(t, err, job.ErrNotFound)
						if opts.Dir != "" {
							assert.NoDirExists(t, filepath.Join(opts.Dir, id))
						}
					} else {
						assert.NoError(t, err)
					}
				}
			})
		})
	}
}

func TestOptionFaults(t *testing.T) {
	_, _, err := job.Open(job.Options{Workers: -1, Bytes: 5, JobBytes: 6})
	for _, says := range []string{"no kinds", "workers is -1", "6 bytes are more than the 5"} {
		assert.ErrorContains(t, err, says)
	}
	dir := t.TempDir()
	open(t, job.Options{Kinds: kinds(nil), Dir: dir})
	_, _, err = job.Open(job.Options{Kinds: kinds(nil), Dir: dir})
	assert.ErrorContains(t, err, "in use by another process")
}

func TestClosed(t *testing.T) {
	q := open(t, job.Options{Kinds: kinds(nil)})
	j := submit(t, q, "held")
	until(t, q, j.ID, job.Running)
	told := make(chan error)
	go func() {
		for {
			var err error
			if j, err = q.Wait(context.Background(), j.ID, j.Change); err != nil {
				told <- err
				return
			}
		}
	}()
	require.NoError(t, q.Close())
	assert.ErrorIs(t, <-told, job.ErrClosed)
	_, err := q.Submit("echo", "a", []byte(`{}`))
	assert.ErrorIs(t, err, job.ErrClosed)
	require.NoError(t, q.Close())
}
