package jobtest

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/job"
)

func done(t *testing.T, open opener) {
	q := open(t, job.Options{Kinds: Kinds(nil)})
	asked := Submit(t, q, "echo")
	assert.Equal(t, job.Waiting, asked.State)
	j := Until(t, q, asked.ID, job.Done)
	assert.Equal(t, 1.0, j.Progress)
	assert.Equal(t, 1, j.Starts)
	assert.Equal(t, []job.Result{{Name: "echo.json", Media: "application/json", Bytes: 15}}, j.Results)
	assert.False(t, j.EndedAt.Before(j.BeganAt) || j.BeganAt.Before(j.AskedAt))
	f, err := q.Result(t.Context(), j.ID, "echo.json")
	require.NoError(t, err)
	assert.Equal(t, job.File{Name: "echo.json", Media: "application/json", Content: []byte(`{"kind":"echo"}`)}, f)
	again, err := q.Cancel(t.Context(), j.ID)
	require.NoError(t, err)
	assert.Equal(t, job.Done, again.State, "what is over stays as it is")
	list, err := q.List(t.Context())
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Equal(t, j.Results, list[0].Results)
}

// hostile asks by names that lead elsewhere, or nowhere.
func hostile(t *testing.T, open opener) {
	q := open(t, job.Options{Kinds: Kinds(nil)})
	j := Until(t, q, Submit(t, q, "echo").ID, job.Done)
	long := strings.Repeat("x", 5000)
	for _, name := range []string{"", "other", "job.json", "request.json", "../" + j.ID + "/result-echo.json", "echo.json\x00", "\xff\xfe", "'; DROP TABLE job; --", "%", long} {
		_, err := q.Result(t.Context(), j.ID, name)
		require.ErrorIs(t, err, job.ErrNotFound, "%.50q", name)
		assert.Less(t, len(err.Error()), 300)
	}
	for _, id := range []string{"", "../" + j.ID, strings.ToUpper(j.ID) + "0", j.ID + "\x00", "\xff", "' OR true; --", "%", long} {
		_, err := q.Get(t.Context(), id)
		require.ErrorIs(t, err, job.ErrNotFound, "%.50q", id)
		_, err = q.Cancel(t.Context(), id)
		require.ErrorIs(t, err, job.ErrNotFound, "%.50q", id)
		_, err = q.Result(t.Context(), id, "echo.json")
		require.ErrorIs(t, err, job.ErrNotFound, "%.50q", id)
		_, err = q.Wait(t.Context(), id, 0)
		require.ErrorIs(t, err, job.ErrNotFound, "%.50q", id)
	}
	for _, owner := range []string{"Émile 東 'of' \"the\" desk; --", "", long} {
		j, err := q.Submit(t.Context(), "echo", owner, []byte(`{"name":"\u0000 ' \"","n":1e400}`))
		require.NoError(t, err)
		j = Until(t, q, j.ID, job.Done)
		assert.Equal(t, owner, j.Owner)
		f, err := q.Result(t.Context(), j.ID, "echo.json")
		require.NoError(t, err)
		assert.Equal(t, `{"name":"\u0000 ' \"","n":1e400}`, string(f.Content), "byte for byte as it was asked")
	}
}

func failures(t *testing.T, open opener) {
	const ours = "it could not be done; the fault is on this side, and the log has the job's id"
	var mu sync.Mutex
	var logged []error
	q := open(t, job.Options{Kinds: Kinds(nil), JobBytes: 1000, Bytes: 4000, Trouble: func(_ string, err error) { mu.Lock(); logged = append(logged, err); mu.Unlock() }})
	for _, row := range []struct{ kind, says, logged string }{
		{"fault", "there is no base: add one", ""},
		{"broken", ours, "secret of the house"},
		{"panic", ours, "panic with a string"},
		{"climbs", ours, "the result's name"},
		{"twice", ours, "the result's name"},
		{"large", "its results have 2000 bytes, more than the 1000", ""},
	} {
		j := Until(t, q, Submit(t, q, row.kind).ID, job.Failed)
		assert.Contains(t, j.Detail, row.says)
		assert.Empty(t, j.Results)
		Until(t, q, Submit(t, q, "echo").ID, job.Done) // the next job runs
		mu.Lock()
		if row.logged == "" {
			assert.Empty(t, logged, row.kind)
		} else if assert.Len(t, logged, 1, row.kind) {
			assert.ErrorContains(t, logged[0], row.logged)
			assert.Equal(t, row.kind == "panic", job.Stack(logged[0]) != nil)
		}
		logged = nil
		mu.Unlock()
	}
}

func refusals(t *testing.T, open opener) {
	held := make(chan struct{})
	q := open(t, job.Options{Kinds: Kinds(held), Waiting: 2, Each: 3})
	_, err := q.Submit(t.Context(), "nothing", "a", []byte(`{}`))
	assert.ErrorContains(t, err, `no job of the kind "nothing"`)
	_, err = q.Submit(t.Context(), "echo", "a", []byte(`{`))
	assert.ErrorContains(t, err, "no JSON text")
	_, err = q.Submit(t.Context(), "echo", "a", make([]byte, job.MaxRequest+1))
	assert.ErrorContains(t, err, "no JSON text")
	var ids []string
	ask := func(owner string) error {
		j, err := q.Submit(t.Context(), "held", owner, []byte(`{}`))
		ids = append(ids, j.ID)
		return err
	}
	require.NoError(t, ask("a"))
	Until(t, q, ids[0], job.Running)
	require.NoError(t, ask("a"))
	require.NoError(t, ask("a"))
	assert.ErrorIs(t, ask("a"), job.ErrTooMany)
	assert.ErrorIs(t, ask("b"), job.ErrFull)
	last, err := q.Get(t.Context(), ids[2])
	require.NoError(t, err)
	assert.Equal(t, 1, last.Ahead)
	_, err = q.Cancel(t.Context(), ids[1])
	require.NoError(t, err)
	require.NoError(t, ask("b"), "a job that was cancelled makes room")
	list, err := q.List(t.Context())
	require.NoError(t, err)
	require.Len(t, list, 4)
	assert.Equal(t, "b", list[0].Owner, "the newest first")
	close(held)
	Until(t, q, ids[2], job.Done)
}

func cancels(t *testing.T, open opener) {
	q := open(t, job.Options{Kinds: Kinds(make(chan struct{}))})
	running, waits := Submit(t, q, "held"), Submit(t, q, "held")
	Until(t, q, running.ID, job.Running)
	j, err := q.Cancel(t.Context(), waits.ID)
	require.NoError(t, err)
	assert.Equal(t, job.Cancelled, j.State)
	_, err = q.Cancel(t.Context(), running.ID)
	require.NoError(t, err)
	j = Until(t, q, running.ID, job.Cancelled)
	assert.Empty(t, j.Detail)
	_, err = q.Cancel(t.Context(), "0123")
	assert.ErrorIs(t, err, job.ErrNotFound)
	Until(t, q, Submit(t, q, "echo").ID, job.Done) // the worker is free again
}

// progresses: it grows, its words are told, and whoever waits hears of each change.
func progresses(t *testing.T, open opener) {
	steps := make(chan struct{})
	q := open(t, job.Options{Kinds: Kinds(steps)})
	j := Submit(t, q, "steps")
	j = Until(t, q, j.ID, job.Running)
	for i := range 4 {
		for j.Word != fmt.Sprintf("step %d", i) {
			var err error
			j, err = q.Wait(t.Context(), j.ID, j.Change)
			require.NoError(t, err)
		}
		assert.Equal(t, float64(i)/4, j.Progress)
		<-steps
	}
	j = Until(t, q, j.ID, job.Done)
	assert.Equal(t, 1.0, j.Progress)
	assert.Empty(t, j.Word)
}

func tooLong(t *testing.T, open opener) {
	q := open(t, job.Options{Kinds: Kinds(nil), Time: 20 * time.Millisecond})
	j := Until(t, q, Submit(t, q, "held").ID, job.Failed)
	assert.Contains(t, j.Detail, "it was not done within 20ms: ask for less")
}

// sweeper is a queue that can be told to hold its bounds now.
type sweeper interface{ Sweep() }

// bounds: the oldest go first, by age, by number and by bytes, with their results.
func bounds(t *testing.T, open opener) {
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
			var mu sync.Mutex
			at := time.Date(2031, 3, 14, 12, 0, 0, 0, time.UTC)
			row.opts.Kinds, row.opts.JobBytes = Kinds(nil), 40
			row.opts.Now = func() time.Time { mu.Lock(); defer mu.Unlock(); return at }
			q := open(t, row.opts)
			var ids []string
			for range 5 {
				j := Submit(t, q, "echo")
				Until(t, q, j.ID, job.Done)
				ids = append(ids, j.ID)
			}
			mu.Lock()
			at = at.Add(row.later)
			mu.Unlock()
			require.Eventually(t, func() bool {
				q.(sweeper).Sweep()
				list, err := q.List(t.Context())
				return err == nil && len(list) == row.left
			}, 5*time.Second, time.Millisecond)
			for i, id := range ids {
				_, err := q.Result(t.Context(), id, "echo.json")
				if i < 5-row.left {
					assert.ErrorIs(t, err, job.ErrNotFound)
				} else {
					assert.NoError(t, err)
				}
			}
		})
	}
}

func closed(t *testing.T, open opener) {
	q := open(t, job.Options{Kinds: Kinds(nil)})
	j := Submit(t, q, "held")
	Until(t, q, j.ID, job.Running)
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
	_, err := q.Submit(t.Context(), "echo", "a", []byte(`{}`))
	assert.ErrorIs(t, err, job.ErrClosed)
	require.NoError(t, q.Close())
}

// givesUp: whoever gives up waiting does not end the job.
func givesUp(t *testing.T, open opener) {
	held := make(chan struct{})
	q := open(t, job.Options{Kinds: Kinds(held)})
	j := Until(t, q, Submit(t, q, "held").ID, job.Running)
	waiting, giveUp := context.WithCancel(t.Context())
	giveUp()
	_, err := q.Wait(waiting, j.ID, j.Change)
	require.True(t, errors.Is(err, context.Canceled), "%v", err)
	close(held)
	Until(t, q, j.ID, job.Done)
}
