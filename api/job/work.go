package job

import (
	"context"
	"errors"
	"math"
	"slices"
	"time"
)

// work runs jobs, one after the other, until the queue is closed.
func (q *Queue) work(ctx context.Context) {
	for {
		e, own := q.take(ctx)
		if e == nil {
			return
		}
		q.run(own, e)
	}
}

// take waits for a job and begins it.
func (q *Queue) take(ctx context.Context) (*entry, context.Context) {
	q.mu.Lock()
	for len(q.waiting) == 0 && !q.closed {
		q.ready.Wait()
	}
	if q.closed {
		q.mu.Unlock()
		return nil, nil
	}
	e := q.waiting[0]
	q.waiting = slices.Delete(q.waiting, 0, 1)
	own, cancel := context.WithTimeout(ctx, q.opts.Time)
	e.cancel = cancel
	e.job.State, e.job.BeganAt, e.job.Starts = Running, q.opts.Now().UTC().Truncate(time.Millisecond), e.job.Starts+1
	e.job.Progress, e.job.Word = 0, ""
	e.touch()
	for _, behind := range q.waiting {
		behind.touch()
	}
	j := e.job
	q.mu.Unlock()
	q.note(j.ID, q.store.save(j)) // it can be run all the same
	return e, own
}

// run runs a job that has begun, to its end or to the end of the queue.
func (q *Queue) run(ctx context.Context, e *entry) {
	defer e.cancel()
	id := e.job.ID
	files, err := q.compute(ctx, e)
	if err == nil {
		err = CheckFiles(files, q.opts.JobBytes)
	}
	for _, f := range files {
		if err == nil && ctx.Err() == nil {
			err = q.store.put(id, f)
		}
	}
	q.mu.Lock()
	if q.closed && !e.cancelled && (err != nil || ctx.Err() != nil) { // that the service stops is not the job's doing
		e.job.State, e.job.Starts = Waiting, e.job.Starts-1
		j := e.job
		q.mu.Unlock()
		q.note(id, q.store.save(j))
		return
	}
	switch {
	case e.cancelled:
		q.over(e, Cancelled, "", nil)
	case err == nil && ctx.Err() == nil:
		q.over(e, Done, "", files)
	default:
		q.over(e, Failed, Why(ctx, err, q.opts.Time), nil)
		if !errors.As(err, new(*Fault)) && ctx.Err() == nil {
			q.note(id, err)
		}
	}
	q.mu.Unlock()
	q.settle(e)
}

// compute calls the job's function.
func (q *Queue) compute(ctx context.Context, e *entry) ([]File, error) {
	run := q.opts.Kinds[e.job.Kind]
	if run == nil {
		return nil, UnknownKind(e.job.Kind)
	}
	if err := q.store.strip(e.job.ID); err != nil { // what a run before left
		return nil, err
	}
	request, err := q.store.request(e.job.ID)
	if err != nil {
		return nil, err
	}
	return Guarded(func() ([]File, error) {
		return run(ctx, request, func(done, total int, word string) { q.progress(e, done, total, word) })
	})
}

// panicked is a panic of a job. Its text leaves out what was thrown, which may hold what
// was asked.
type panicked struct {
	kind  string
	stack []byte
}

func (p *panicked) Error() string { return "panic with a " + p.kind }

// Stack is where a panic came from, for the log; nil for other errors.
func Stack(err error) []byte {
	var p *panicked
	if errors.As(err, &p) {
		return p.stack
	}
	return nil
}

// leastProgress is how much more must be done for anybody to be told.
const leastProgress = 0.002

func (q *Queue) progress(e *entry, done, total int, word string) {
	share := 0.0
	if total > 0 && done > 0 {
		share = min(float64(done)/float64(total), 1)
	}
	q.mu.Lock()
	defer q.mu.Unlock()
	if e.job.State != Running {
		return
	}
	share = math.Max(share, e.job.Progress)
	if word == e.job.Word && share < 1 && share-e.job.Progress < leastProgress || share == e.job.Progress && word == e.job.Word {
		return
	}
	e.job.Progress, e.job.Word = share, word
	e.touch()
}
