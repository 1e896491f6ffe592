package postgres

import (
	"context"
	"errors"
	"sync"
	"time"

	"surgeonward/api/job"
)

// partsShare is the share of a job that its parts are; the rest is to make the results.
const partsShare = 0.95

// flushEvery is how often progress is written at most.
const flushEvery = 200 * time.Millisecond

// told is the newest progress that has not been written.
type told struct {
	sync.Mutex
	share float64
	word  string
	fresh bool
}

// tell notes progress, of the last step or of the whole job.
func (t *task) tell(done, total int, word string, afterParts bool) {
	share := 0.0
	if total > 0 && done > 0 {
		share = min(float64(done)/float64(total), 1)
	}
	if afterParts {
		share = partsShare + (1-partsShare)*share
	}
	t.told.Lock()
	defer t.told.Unlock()
	t.told.share, t.told.word, t.told.fresh = max(share, t.told.share), asText(word), true
}

func (t *task) news() (share float64, word string, fresh bool) {
	t.told.Lock()
	defer t.told.Unlock()
	fresh, t.told.fresh = t.told.fresh, false
	return t.told.share, t.told.word, fresh
}

// watch writes a task's progress while it is done, and ends it when the job is over for
// another reason. What it returns ends the watching and reports whether the job is over.
func (q *Queue) watch(ctx context.Context, end context.CancelFunc, t *task) func() bool {
	watching, stop := context.WithCancel(ctx)
	var wait sync.WaitGroup
	var over bool
	wait.Go(func() {
		flush := time.NewTicker(flushEvery)
		defer flush.Stop()
		look := time.NewTicker(askEvery)
		defer look.Stop()
		for {
			changed, done := q.pulse.listen(t.job)
			wanted := true
			select {
			case <-flush.C:
				if share, word, fresh := t.news(); fresh {
					q.write(watching, t.job, share, word)
				}
			case <-look.C:
				wanted = q.wanted(watching, t.job)
			case <-changed:
				wanted = q.wanted(watching, t.job)
			case <-watching.Done():
				done()
				return
			}
			done()
			if !wanted {
				over = true
				end()
				return
			}
		}
	})
	return func() bool {
		stop()
		wait.Wait()
		return over
	}
}

// write keeps progress. What cannot be written now is told with the next.
func (q *Queue) write(ctx context.Context, id string, share float64, word string) {
	_, _ = q.pool.Exec(ctx, `WITH told AS (
		UPDATE job SET progress = GREATEST(progress, $2), word = $3, change = change + 1
		WHERE id = $1 AND state = 'running' AND (word <> $3 OR progress < $2) RETURNING id)
		SELECT pg_notify($4, id) FROM told`, id, share, word, channel)
}

// wanted reports whether a job is still to be done. Where the database cannot say, it is.
func (q *Queue) wanted(ctx context.Context, id string) bool {
	j, err := q.Get(ctx, id)
	return !errors.Is(err, job.ErrNotFound) && (err != nil || !j.State.Over())
}
