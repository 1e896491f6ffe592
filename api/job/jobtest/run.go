package jobtest

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/job"
)

// Open opens an empty queue. Options name the kinds and the bounds; where jobs are kept is up
// to the queue.
type Open func(t *testing.T, opts job.Options) (job.Service, error)

// Run runs the suite.
func Run(t *testing.T, open Open) {
	for _, test := range []struct {
		name string
		run  func(t *testing.T, open opener)
	}{
		{"done", done}, {"failures", failures}, {"refusals", refusals}, {"cancel", cancels}, {"giving up", givesUp},
		{"progress", progresses}, {"too long", tooLong}, {"bounds", bounds}, {"closed", closed}, {"hostile names", hostile},
	} {
		t.Run(test.name, func(t *testing.T) {
			test.run(t, func(t *testing.T, opts job.Options) job.Service {
				t.Helper()
				q, err := open(t, opts)
				require.NoError(t, err)
				t.Cleanup(func() { assert.NoError(t, q.Close()) })
				return q
			})
		})
	}
}

// opener opens a queue that ends with the test.
type opener func(t *testing.T, opts job.Options) job.Service

// Submit asks for a job of a kind.
func Submit(t testing.TB, q job.Service, kind string) job.Job {
	t.Helper()
	j, err := q.Submit(t.Context(), kind, "somebody", []byte(`{"kind":"`+kind+`"}`))
	require.NoError(t, err)
	return j
}

// Until waits for a state.
func Until(t testing.TB, q job.Service, id string, state job.State) job.Job {
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
