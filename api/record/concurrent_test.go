package record_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
)

// Writers, readers of the same store and readers of the folder at the same
// time, while the oldest are being dropped. For the race detector, and: a reader never
// sees anything but whole records.
func TestConcurrentWritersAndReaders(t *testing.T) {
	dir := t.TempDir()
	s, _, err := record.Open(dir, record.Options{MaxSegment: 4000, MaxTotal: 60_000})
	require.NoError(t, err)
	part := func(i int) record.Data { return record.NewData("fleet.json", fmt.Appendf(nil, "%0300d", i/20)) }
	const callers, answers = 8, 25
	var writing, reading sync.WaitGroup
	var mu sync.Mutex
	ids := map[string]int{}
	done := make(chan struct{})
	for w := range callers {
		writing.Go(func() {
			for k := range answers {
				i := w*answers + k
				id, err := s.Answer(t.Context(), sample(i, part(i)))
				if !assert.NoError(t, err) {
					return
				}
				rec, err := s.Get(id)
				if assert.NoError(t, err, "it can be read at once") {
					assert.Equal(t, string(answer(i)), string(rec.Answer))
				}
				_, err = s.Blob(part(i).Hash)
				assert.NoError(t, err)
				mu.Lock()
				ids[id] = i
				mu.Unlock()
			}
		})
	}
	look := func(r *record.Reader) {
		for rec, err := range r.Range(time.Time{}, time.Time{}) {
			if err != nil {
				assert.ErrorIs(t, err, record.ErrNotFound, "a segment may be dropped under a reader")
			} else if rec.Kind == record.KindAnswer {
				assert.Equal(t, rec.AnswerHash, record.Sum(rec.Answer))
			}
		}
	}
	for range 2 {
		reading.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
				}
				look(s.Reader)
				r, report, err := record.OpenReadOnly(dir)
				if assert.NoError(t, err) {
					assert.Empty(t, report.Damaged)
					look(r)
				}
				s.Stats()
			}
		})
	}
	writing.Wait()
	close(done)
	reading.Wait()
	require.NoError(t, s.Close())
	assert.Len(t, ids, callers*answers, "every id is another")
	_, size := bytesIn(t, dir)
	assert.Less(t, size, int64(60_100))
}

// Callers that give up and a store that closes under them: whoever got an id
// has a record.
func TestCallersGiveUp(t *testing.T) {
	dir := t.TempDir()
	s, _, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	var group sync.WaitGroup
	var mu sync.Mutex
	ids := map[string]int{}
	for i := range 64 {
		group.Go(func() {
			ctx, cancel := context.WithTimeout(t.Context(), time.Duration(i)*100*time.Microsecond)
			defer cancel()
			id, err := s.Answer(ctx, sample(i, regionPart(i)))
			if err != nil {
				assert.True(t, errors.Is(err, context.DeadlineExceeded) || errors.Is(err, record.ErrClosed), err)
				return
			}
			mu.Lock()
			ids[id] = i
			mu.Unlock()
		})
	}
	time.Sleep(2 * time.Millisecond)
	require.NoError(t, s.Close())
	group.Wait()
	r, report, err := record.OpenReadOnly(dir)
	require.NoError(t, err)
	require.Empty(t, report.Sentences())
	for id, i := range ids {
		rec, err := r.Get(id)
		require.NoError(t, err)
		equal(t, sample(i, regionPart(i)), rec)
	}
}
