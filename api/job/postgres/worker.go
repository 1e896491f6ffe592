package postgres

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/riverqueue/river"

	"surgeonward/api/job"
	"surgeonward/facilities/store"
)

// worker does what River hands out.
type worker struct {
	river.WorkerDefaults[args]
	queue *Queue
}

// Timeout is River's own bound on a step, which is ours with a margin.
func (w *worker) Timeout(j *river.Job[args]) time.Duration {
	if j.Args.Step > first {
		return w.queue.opts.PartTime + margin
	}
	return w.queue.opts.Time + margin
}

// Work does a step. What has become of it is in our tables; River hears of an error
// only where they cannot be written.
func (w *worker) Work(ctx context.Context, j *river.Job[args]) error {
	q := w.queue
	q.tasks.Add(1)
	defer q.tasks.Add(-1)
	var t *task
	err := q.persist(ctx, func() (err error) { t, err = q.claim(ctx, j.Args.Job, j.Args.Step, j.ID); return err })
	if err != nil || t == nil {
		return q.interrupted(err)
	}
	limit := q.opts.Time
	within := limit - q.now().Sub(t.began)
	if t.step > first && q.opts.PartTime < within {
		limit, within = q.opts.PartTime, q.opts.PartTime
	}
	own, cancel := context.WithTimeout(ctx, within)
	defer cancel()
	watched := q.watch(own, cancel, t)
	made, err := job.Guarded(func() (made *outcome, err error) {
		err = q.persist(own, func() error { made, err = q.do(own, t); return err })
		return made, err
	})
	cancelled := watched()
	switch {
	case cancelled: // nobody wants it any more
		return nil
	case q.closing.Err() != nil && (err != nil || own.Err() != nil):
		return q.giveBack(ctx, t)
	case errors.Is(err, job.ErrElsewhere):
		err = q.persist(ctx, func() error { return q.refuse(ctx, t) })
		pause(ctx) // another is to be first to take it
	case err == nil && own.Err() == nil:
		err = q.persist(ctx, func() error { return q.keep(ctx, t, made) })
	default:
		if !errors.As(err, new(*job.Fault)) && own.Err() == nil {
			q.opts.Trouble(t.job, err)
		}
		why := job.Why(own, err, limit)
		err = q.persist(ctx, func() error { return q.over(ctx, t.job, job.Failed, why) })
	}
	if err != nil && q.closing.Err() != nil {
		return q.giveBack(ctx, t)
	}
	if err != nil {
		q.opts.Trouble(t.job, err)
	}
	return err
}

// NextRetry is when River offers a step again whose error it was told of.
func (w *worker) NextRetry(*river.Job[args]) time.Time { return time.Now().Add(askEvery) }

// interrupted is what River is told of a step that was not begun.
func (q *Queue) interrupted(err error) error {
	if err != nil && q.closing.Err() != nil {
		return river.JobSnooze(0)
	}
	return err
}

// persist does something in the database, again and again while that cannot be reached.
func (q *Queue) persist(ctx context.Context, do func() error) error {
	for {
		err := do()
		if !errors.Is(err, store.ErrUnavailable) || !pause(ctx) {
			return err
		}
	}
}

// outcome is what a step has made: one of the three.
type outcome struct {
	parts   []job.Part
	content []byte
	files   []job.File // not nil
}

// maxContent is how many bytes a part may make.
const maxContent = 64 << 20

// do computes a step.
func (q *Queue) do(ctx context.Context, t *task) (*outcome, error) {
	kind := q.opts.Parts[t.kind]
	if kind == nil {
		return nil, job.UnknownKind(t.kind)
	}
	if t.step > first {
		content, err := kind.Work(ctx, t.request, t.spec)
		if err == nil && len(content) > maxContent {
			err = fmt.Errorf("a part of %d bytes is more than %d", len(content), maxContent)
		}
		return &outcome{content: content}, err
	}
	var parts []job.Part
	var err error
	if t.step == first {
		if parts, err = kind.Split(ctx, t.request); err != nil {
			return nil, err
		}
		if len(parts) > 0 {
			return &outcome{parts: parts}, nil
		}
	} else if parts, err = q.parts(ctx, t.job); err != nil {
		return nil, err
	}
	files, err := kind.Join(ctx, t.request, parts, func(part int) ([]byte, error) { return q.content(ctx, t.job, part) },
		func(done, total int, word string) { t.tell(done, total, word, len(parts) > 0) })
	if err == nil {
		err = job.CheckFiles(files, q.opts.JobBytes)
	}
	if files == nil {
		files = []job.File{}
	}
	return &outcome{files: files}, err
}

// task is a step that is being done.
type task struct {
	job     string
	step    int
	kind    string
	request json.RawMessage
	spec    json.RawMessage
	began   time.Time // the job

	told told
}
