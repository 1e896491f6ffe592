package job

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"
)

// What a queue refuses, by kind.
var (
	ErrFull     = errors.New("as many jobs wait as may: ask again when some are done")
	ErrTooMany  = errors.New("you have as many jobs waiting or running as one may have: wait for one or cancel one")
	ErrNotFound = errors.New("there is no such job or result: results are kept for a time only")
	ErrClosed   = errors.New("the queue is closed: the service is stopping")
)

// Queue is a Service whose jobs are run by this process, and kept in a folder or in its memory.
type Queue struct {
	opts  Options
	store store

	mu      sync.Mutex
	ready   *sync.Cond // something waits, or the queue is closed
	jobs    map[string]*entry
	waiting []*entry // in order of asking
	kept    []*entry // that are over, in order of their end
	next    int64    // number of the next job
	adding  int      // jobs on their way to the store
	closed  bool

	stop    context.CancelFunc
	workers sync.WaitGroup
}

// entry is a job as the queue has it. Its members are guarded by the queue.
type entry struct {
	job       Job
	cancel    context.CancelFunc // while it runs
	cancelled bool               // somebody has asked for its end
	unsaved   bool               // it is on its way to the store: nobody sees it yet, or it cannot be dropped yet
	changed   chan struct{}      // closed at the next change
}

// Open starts a queue with the jobs that are in the folder: those that waited wait, and
// those that ran wait to be begun again. Unreadable says what of the folder cannot be read and was
// left as it is. It fails where another process runs the folder's jobs.
func Open(opts Options) (q *Queue, unreadable []string, err error) {
	if opts, err = opts.OrDefault(); err != nil {
		return nil, nil, err
	}
	q = &Queue{opts: opts, store: newMemory(), jobs: map[string]*entry{}, next: 1}
	q.ready = sync.NewCond(&q.mu)
	if opts.Dir != "" {
		if q.store, err = openFolder(opts.Files, opts.Dir, opts.JobBytes); err != nil {
			return nil, nil, fmt.Errorf("the jobs in %s cannot be run: %w", opts.Dir, err)
		}
	}
	if unreadable, err = q.resume(); err != nil {
		return nil, unreadable, errors.Join(fmt.Errorf("the jobs in %s cannot be read: %w", opts.Dir, err), q.store.close())
	}
	var ctx context.Context
	ctx, q.stop = context.WithCancel(context.Background())
	for range opts.Workers {
		q.workers.Go(func() { q.work(ctx) })
	}
	return q, unreadable, nil
}

// resume puts the jobs of the store in their places.
func (q *Queue) resume() ([]string, error) {
	jobs, unreadable, err := q.store.load()
	if err != nil {
		return unreadable, err
	}
	slices.SortFunc(jobs, func(a, b Job) int { return int(a.Number - b.Number) })
	for _, j := range jobs {
		e := &entry{job: j, changed: make(chan struct{})}
		q.jobs[j.ID] = e
		q.next = max(q.next, j.Number+1)
		switch {
		case j.State.Over():
			if j.State == Done {
				e.job.Progress = 1
			}
			q.kept = append(q.kept, e)
		case j.Starts >= MaxStarts:
			q.over(e, Failed, Abandoned(), nil)
			q.settle(e)
		default:
			e.job.State = Waiting
			q.waiting = append(q.waiting, e)
		}
	}
	slices.SortStableFunc(q.kept, func(a, b *entry) int { return a.job.EndedAt.Compare(b.job.EndedAt) })
	return unreadable, nil
}

// Submit adds a job. An error may also come from the disk.
func (q *Queue) Submit(_ context.Context, kind, owner string, request []byte) (Job, error) {
	if q.opts.Kinds[kind] == nil {
		return Job{}, NoKind(kind)
	}
	if err := CheckRequest(request); err != nil {
		return Job{}, err
	}
	q.Sweep()
	e, err := q.reserve(kind, owner)
	if err != nil {
		return Job{}, err
	}
	err = q.store.add(e.job, request) // without the lock: disks can be slow
	q.mu.Lock()
	defer q.mu.Unlock()
	q.adding--
	e.unsaved = false
	if err != nil {
		delete(q.jobs, e.job.ID)
		return Job{}, fmt.Errorf("the job cannot be kept: %w", err)
	}
	q.waiting = append(q.waiting, e)
	slices.SortFunc(q.waiting, func(a, b *entry) int { return int(a.job.Number - b.job.Number) })
	q.ready.Signal()
	return q.view(e), nil
}

// reserve makes a place for a job.
func (q *Queue) reserve(kind, owner string) (*entry, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.closed {
		return nil, ErrClosed
	}
	of := 0
	for _, e := range q.jobs {
		if e.job.Owner == owner && !e.job.State.Over() {
			of++
		}
	}
	if of >= q.opts.Each {
		return nil, ErrTooMany
	}
	if len(q.waiting)+q.adding >= q.opts.Waiting {
		return nil, ErrFull
	}
	e := &entry{changed: make(chan struct{}), unsaved: true, job: Job{
		ID: NewID(), Number: q.next, Kind: kind, Owner: owner, State: Waiting, AskedAt: q.opts.Now().UTC().Truncate(time.Millisecond),
	}}
	q.next++
	q.adding++
	q.jobs[e.job.ID] = e
	return e, nil
}

// Get returns a job as it is now.
func (q *Queue) Get(_ context.Context, id string) (Job, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	e, err := q.find(id)
	if err != nil {
		return Job{}, err
	}
	return q.view(e), nil
}

// List returns all jobs, the newest first.
func (q *Queue) List(context.Context) ([]Job, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	out := []Job{}
	for _, e := range q.jobs {
		if !e.adding() {
			out = append(out, q.view(e))
		}
	}
	slices.SortFunc(out, func(a, b Job) int { return int(b.Number - a.Number) })
	return out, nil
}

// Result returns a result of a job that is done.
func (q *Queue) Result(ctx context.Context, id, name string) (File, error) {
	j, err := q.Get(ctx, id)
	if err != nil {
		return File{}, err
	}
	for _, r := range j.Results {
		if r.Name == name {
			content, err := q.store.get(id, name)
			return File{Name: name, Media: r.Media, Content: content}, err
		}
	}
	return File{}, NoResult(name)
}

// Wait returns the job at its next change after the one numbered so, or at once where that
// has been or the job is over.
func (q *Queue) Wait(ctx context.Context, id string, change int) (Job, error) {
	for {
		q.mu.Lock()
		e, err := q.find(id)
		if err != nil {
			q.mu.Unlock()
			return Job{}, err
		}
		j, changed, closed := q.view(e), e.changed, q.closed
		q.mu.Unlock()
		if j.Change > change || j.State.Over() {
			return j, nil
		}
		if closed {
			return j, ErrClosed
		}
		select {
		case <-changed:
		case <-ctx.Done():
			return j, ctx.Err()
		}
	}
}

// Cancel ends a job: at once where it waits, soon where it runs. One that is over stays as
// it is.
func (q *Queue) Cancel(_ context.Context, id string) (Job, error) {
	q.mu.Lock()
	e, err := q.find(id)
	if err != nil {
		q.mu.Unlock()
		return Job{}, err
	}
	e.cancelled = true
	if e.cancel != nil {
		e.cancel()
	}
	at := slices.Index(q.waiting, e)
	if at >= 0 {
		q.waiting = slices.Delete(q.waiting, at, at+1)
		q.over(e, Cancelled, "", nil)
		for _, behind := range q.waiting[at:] {
			behind.touch()
		}
	}
	j := q.view(e)
	q.mu.Unlock()
	if at >= 0 {
		q.settle(e)
	}
	return j, nil
}

// Close stops the jobs that run, to be begun again by the next queue of the folder, and
// waits for them.
func (q *Queue) Close() error {
	q.mu.Lock()
	if q.closed {
		q.mu.Unlock()
		return nil
	}
	q.closed = true
	for _, e := range q.jobs {
		e.touch() // nobody waits for a change any more
	}
	q.mu.Unlock()
	q.stop()
	q.ready.Broadcast()
	q.workers.Wait()
	return q.store.close()
}

// find looks for a job; the queue is locked.
func (q *Queue) find(id string) (*entry, error) {
	e, ok := q.jobs[id]
	if !ok || e.adding() {
		return nil, ErrNotFound
	}
	return e, nil
}

// adding reports whether it is not yet kept.
func (e *entry) adding() bool { return e.unsaved && e.job.State == Waiting }

// view is a job as others see it; the queue is locked.
func (q *Queue) view(e *entry) Job {
	j := e.job
	j.Results = slices.Clone(j.Results)
	j.Ahead = max(slices.Index(q.waiting, e), 0)
	return j
}

// touch tells of a change; the queue is locked.
func (e *entry) touch() {
	e.job.Change++
	close(e.changed)
	e.changed = make(chan struct{})
}

// note tells of an error that nobody is shown.
func (q *Queue) note(id string, err error) {
	if err != nil {
		q.opts.Trouble(id, err)
	}
}
