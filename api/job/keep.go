package job

import "time"

// over ends a job; the queue is locked.
func (q *Queue) over(e *entry, state State, detail string, files []File) {
	e.job.State, e.job.Detail, e.job.EndedAt = state, detail, q.opts.Now().UTC().Truncate(time.Millisecond)
	if state == Done {
		e.job.Progress = 1
	}
	e.job.Word = ""
	for _, f := range files {
		e.job.Results = append(e.job.Results, Result{Name: f.Name, Media: f.Media, Bytes: len(f.Content)})
	}
	q.kept = append(q.kept, e)
	e.unsaved = true
	e.touch()
}

// settle keeps what has become of a job that is over, and holds the bounds.
func (q *Queue) settle(e *entry) {
	q.mu.Lock()
	j := e.job
	q.mu.Unlock()
	if j.State != Done {
		q.note(j.ID, q.store.strip(j.ID))
	}
	q.note(j.ID, q.store.save(j))
	q.mu.Lock()
	e.unsaved = false
	dropped := q.hold()
	q.mu.Unlock()
	q.forget(dropped)
}

// hold takes out of the queue what is too old or too much, the oldest first, and returns
// it; the queue is locked. The job that ended last stays.
func (q *Queue) hold() (dropped []Job) {
	var bytes int64
	for _, e := range q.kept {
		bytes += e.job.bytes()
	}
	now := q.opts.Now()
	for len(q.kept) > 0 {
		oldest := q.kept[0]
		tooOld := now.Sub(oldest.job.EndedAt) > q.opts.Age
		tooMuch := len(q.kept) > 1 && (bytes > q.opts.Bytes || len(q.kept) > q.opts.Kept)
		if !tooOld && !tooMuch || oldest.unsaved {
			break
		}
		bytes -= oldest.job.bytes()
		q.kept = q.kept[1:]
		delete(q.jobs, oldest.job.ID)
		oldest.touch()
		dropped = append(dropped, oldest.job)
	}
	return dropped
}

// forget removes what was taken out.
func (q *Queue) forget(dropped []Job) {
	for _, j := range dropped {
		q.note(j.ID, q.store.drop(j))
	}
}

// Sweep drops what has become too old. It also happens whenever a job ends.
func (q *Queue) Sweep() {
	q.mu.Lock()
	dropped := q.hold()
	q.mu.Unlock()
	q.forget(dropped)
}
