package postgres_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/job"
	"surgeonward/api/job/jobtest"
	"surgeonward/api/job/postgres"
	"surgeonward/facilities/store/postgres/pgserver"
)

// letters is a kind of job with a part for each letter of its request; the result is what was
// made of each, in their order.
type letters struct {
	work func(ctx context.Context, letter string) error
}

func (letters) Split(_ context.Context, request json.RawMessage) (parts []job.Part, err error) {
	var text string
	err = json.Unmarshal(request, &text)
	for _, letter := range text {
		parts = append(parts, job.Part{Spec: json.RawMessage(`"` + string(letter) + `"`), Looks: 1})
	}
	return parts, err
}

func (l letters) Work(ctx context.Context, _, part json.RawMessage) ([]byte, error) {
	var letter string
	if err := json.Unmarshal(part, &letter); err != nil {
		return nil, err
	}
	return []byte("<" + letter + ">"), l.work(ctx, letter)
}

func (letters) Join(_ context.Context, _ json.RawMessage, parts []job.Part, done func(int) ([]byte, error), _ job.Progress) ([]job.File, error) {
	var all []byte
	for i := range parts {
		content, err := done(i)
		if err != nil {
			return nil, err
		}
		all = append(all, content...)
	}
	return []job.File{{Name: "all.txt", Media: "text/plain", Content: all}}, nil
}

func withLetters(work func(ctx context.Context, letter string) error) postgres.Options {
	return postgres.Options{Parts: map[string]job.Parts{"letters": letters{work}}}
}

// askOnly is a queue that does not work.
func askOnly() postgres.Options {
	opts := withLetters(nil)
	opts.AskOnly = true
	return opts
}

// TestElsewhere: what one worker cannot do another does.
func TestElsewhere(t *testing.T) {
	database := pgserver.Schema(t)
	refuses := make(chan struct{}, 100)
	older := withLetters(func(context.Context, string) error { refuses <- struct{}{}; return job.ErrElsewhere })
	here := join(t, database, older)
	id := spell(t, here, "a")
	within(t, refuses)
	join(t, database, withLetters(func(context.Context, string) error { return nil }))
	assert.Equal(t, "<a>", spelled(t, here, id))
}

// within waits for what must come soon; the machine may be busy.
func within[T any](t testing.TB, from <-chan T) (out T) {
	t.Helper()
	select {
	case out = <-from:
	case <-time.After(20 * time.Second):
		t.Fatal("it does not come")
	}
	return out
}

func spell(t testing.TB, q job.Service, text string) string {
	t.Helper()
	request, err := json.Marshal(text)
	require.NoError(t, err)
	j, err := q.Submit(t.Context(), "letters", "somebody", request)
	require.NoError(t, err)
	return j.ID
}

func spelled(t testing.TB, q job.Service, id string) string {
	t.Helper()
	jobtest.Until(t, q, id, job.Done)
	f, err := q.Result(t.Context(), id, "all.txt")
	require.NoError(t, err)
	return string(f.Content)
}

// TestShared: two queues share the parts of a job, and each tells of the whole of it.
func TestShared(t *testing.T) {
	database := pgserver.Schema(t)
	var both sync.WaitGroup // until each has one at hand
	both.Add(2)
	var mu sync.Mutex
	by := map[string]int{}
	working := func(name string) postgres.Options {
		var once sync.Once
		return withLetters(func(context.Context, string) error {
			once.Do(both.Done)
			both.Wait()
			mu.Lock()
			defer mu.Unlock()
			by[name]++
			return nil
		})
	}
	here, there := join(t, database, working("here")), join(t, database, working("there"))
	id := spell(t, here, "abcdefgh")
	var progress []float64
	for change := -1; ; {
		j, err := there.Wait(t.Context(), id, change)
		require.NoError(t, err)
		if j.State.Over() {
			break
		}
		progress, change = append(progress, j.Progress), j.Change
	}
	assert.IsNonDecreasing(t, progress)
	assert.Equal(t, "<a><b><c><d><e><f><g><h>", spelled(t, there, id))
	assert.Equal(t, 8, by["here"]+by["there"], "each part once")
	assert.Positive(t, by["here"])
	assert.Positive(t, by["there"])
	j, err := here.Get(t.Context(), id)
	require.NoError(t, err)
	assert.Equal(t, 1, j.Starts)
	assert.Zero(t, execute(t, database, `DELETE FROM job_step`), "what was made on the way is gone")
}

// TestCancelledElsewhere: a job that is cancelled here ends on every other worker.
func TestCancelledElsewhere(t *testing.T) {
	database := pgserver.Schema(t)
	here := join(t, database, askOnly())
	began, ended := make(chan struct{}, 2), make(chan error, 2)
	opts := withLetters(func(ctx context.Context, _ string) error {
		began <- struct{}{}
		<-ctx.Done()
		ended <- ctx.Err()
		return ctx.Err()
	})
	opts.Workers = 2
	join(t, database, opts)
	id := spell(t, here, "ab")
	within(t, began)
	within(t, began)
	_, err := here.Cancel(t.Context(), id)
	require.NoError(t, err)
	jobtest.Until(t, here, id, job.Cancelled)
	require.ErrorIs(t, within(t, ended), context.Canceled)
	require.ErrorIs(t, within(t, ended), context.Canceled)
}

// TestStopped: a stop that is asked for is no start that failed, and the part is done by
// whoever comes next.
func TestStopped(t *testing.T) {
	database := pgserver.Schema(t)
	began := make(chan struct{})
	stops := withLetters(func(ctx context.Context, _ string) error {
		began <- struct{}{}
		<-ctx.Done()
		return ctx.Err()
	})
	var id string
	for range job.MaxStarts + 1 {
		q, err := postgres.Open(t.Context(), database, stops)
		require.NoError(t, err)
		if id == "" {
			id = spell(t, q, "a")
		}
		within(t, began)
		require.NoError(t, q.Close())
	}
	q := join(t, database, withLetters(func(context.Context, string) error { return nil }))
	assert.Equal(t, "<a>", spelled(t, q, id))
	j, err := q.Get(t.Context(), id)
	require.NoError(t, err)
	assert.Equal(t, 1, j.Starts)
}

// TestPartTooLong: a part that takes too long ends its job.
func TestPartTooLong(t *testing.T) {
	opts := withLetters(func(ctx context.Context, _ string) error { <-ctx.Done(); return ctx.Err() })
	opts.PartTime = 20 * time.Millisecond
	q := join(t, pgserver.Schema(t), opts)
	j := jobtest.Until(t, q, spell(t, q, "a"), job.Failed)
	assert.Contains(t, j.Detail, "it was not done within 20ms")
}

// TestLostByRiver: what River has lost is begun all the same.
func TestLostByRiver(t *testing.T) {
	database := pgserver.Schema(t)
	held := make(chan struct{})
	q := join(t, database, withLetters(func(context.Context, string) error { <-held; return nil }))
	runs, waits := spell(t, q, "a"), spell(t, q, "b")
	jobtest.Until(t, q, runs, job.Running)
	assert.Positive(t, execute(t, database, `DELETE FROM river_job WHERE state <> 'running'`))
	close(held)
	assert.Equal(t, "<a>", spelled(t, q, runs))
	assert.Equal(t, "<b>", spelled(t, q, waits))
}

// deadlyWorker is the variable, with a database's address, that turns the test's program into a
// worker that is killed by what it works on.
const deadlyWorker = "SURGEONWARD_TEST_DEADLY_WORKER"

func workUntilDead(database string) int {
	_, err := postgres.Open(context.Background(), database, withLetters(func(context.Context, string) error {
		self, err := os.FindProcess(os.Getpid())
		if err == nil {
			err = self.Kill()
		}
		return err
	}))
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	time.Sleep(time.Minute)
	return 1
}

// TestPoison: a part that ends every process that works on it is begun three times, and
// its job is given up.
func TestPoison(t *testing.T) {
	program, err := os.Executable()
	require.NoError(t, err)
	database := pgserver.Schema(t)
	q := join(t, database, askOnly())
	id := spell(t, q, "a")
	for range job.MaxStarts { // each ends by what it works on
		cmd := exec.CommandContext(t.Context(), program)
		cmd.Env = append(os.Environ(), deadlyWorker+"="+database)
		var said strings.Builder
		cmd.Stderr = &said
		require.Error(t, cmd.Run())
		require.Equal(t, -1, cmd.ProcessState.ExitCode(), "it was not killed: %s", said.String())
	}
	j := jobtest.Until(t, q, id, job.Failed)
	assert.Contains(t, j.Detail, "the service ended 3 times while this ran")
	assert.Equal(t, job.MaxStarts, j.Starts)
}
