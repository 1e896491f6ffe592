package postgres_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/job"
	"surgeonward/api/job/jobtest"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/postgres/pgserver"
)

// TestDatabaseGone: while the database is away all calls say so and what runs goes on; when it
// is back, so is everything, with nobody's help.
func TestDatabaseGone(t *testing.T) {
	server, err := pgserver.Start()
	if errors.Is(err, pgserver.ErrMissing) {
		t.Skip(err.Error())
	}
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, server.Close()) })
	began, held := make(chan struct{}, 10), make(chan struct{})
	q := join(t, server.URL(), withLetters(func(ctx context.Context, _ string) error {
		began <- struct{}{}
		select {
		case <-held:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	}))
	runs, waits := spell(t, q, "ab"), spell(t, q, "c")
	within(t, began)
	require.NoError(t, server.Stop())
	_, err = q.Get(t.Context(), runs)
	assert.ErrorIs(t, err, store.ErrUnavailable)
	_, err = q.List(t.Context())
	assert.ErrorIs(t, err, store.ErrUnavailable)
	_, err = q.Submit(t.Context(), "letters", "somebody", []byte(`"d"`))
	assert.ErrorIs(t, err, store.ErrUnavailable)
	_, err = q.Cancel(t.Context(), runs)
	assert.ErrorIs(t, err, store.ErrUnavailable)
	assert.NotContains(t, err.Error(), "postgres@", "no address")
	close(held) // the part is done, and cannot be kept yet
	told := make(chan job.Job, 1)
	go func() {
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
		defer cancel()
		j, _ := q.Wait(ctx, runs, 0)
		told <- j
	}()
	select {
	case j := <-told:
		t.Errorf("it is told of %v while nobody knows", j)
	case <-time.After(time.Second):
	}
	require.NoError(t, server.Resume())
	assert.Equal(t, runs, (<-told).ID, "who waited goes on waiting")
	assert.Equal(t, "<a><b>", spelled(t, q, runs))
	assert.Equal(t, "<c>", spelled(t, q, waits))
	jobtest.Until(t, q, spell(t, q, "e"), job.Done)
}
