package postgres

import (
	"context"

	"github.com/jackc/pgx/v5"

	"surgeonward/api/job"
)

// over ends a job without results, unless it is over.
func (q *Queue) over(ctx context.Context, id string, state job.State, detail string) error {
	return q.change(ctx, "end a job", id, func(tx pgx.Tx) error { return q.overIn(ctx, tx, id, state, detail, nil) })
}

// overIn ends a job that is locked and not over.
func (q *Queue) overIn(ctx context.Context, tx pgx.Tx, id string, state job.State, detail string, files []job.File) error {
	bytes := 0
	for i, f := range files {
		content := f.Content
		if content == nil {
			content = []byte{}
		}
		if _, err := tx.Exec(ctx, `INSERT INTO job_result (job, place, name, media, size, content) VALUES ($1, $2, $3, $4, $5, $6)`,
			id, i, f.Name, asText(f.Media), len(content), content); err != nil {
			return err
		}
		bytes += len(content)
	}
	if _, err := tx.Exec(ctx, `DELETE FROM job_step WHERE job = $1`, id); err != nil {
		return err
	}
	if _, err := tx.Exec(ctx, `UPDATE job SET state = $2, detail = $3, ended_at = $4, bytes = $5, word = '', change = change + 1,
		progress = CASE WHEN $2 = 'done' THEN 1 ELSE progress END WHERE id = $1`, id, state, asText(detail), q.now(), bytes); err != nil {
		return err
	}
	if err := q.hold(ctx, tx); err != nil {
		return err
	}
	return moved(ctx, tx)
}

// hold deletes what is too old or too much, the oldest first. The job that ended last stays
// whatever its size.
func (q *Queue) hold(ctx context.Context, tx pgx.Tx) error {
	// what another process is deleting is left to it
	_, err := tx.Exec(ctx, `DELETE FROM job WHERE id IN (SELECT id FROM job WHERE id IN (
		SELECT id FROM (
			SELECT id, ended_at, row_number() OVER newest AS place, sum(bytes) OVER newest AS sum
			FROM job WHERE state NOT IN ('waiting', 'running') WINDOW newest AS (ORDER BY ended_at DESC, number DESC)) AS over
		WHERE ended_at < $1 OR place > 1 AND (place > $2 OR sum > $3)) ORDER BY id FOR UPDATE SKIP LOCKED)`, q.now().Add(-q.opts.Age), q.opts.Kept, q.opts.Bytes)
	return err
}

// Sweep deletes what has become too old. It also happens by itself.
func (q *Queue) Sweep() {
	err := q.inTx(q.closing, "sweep", func(tx pgx.Tx) error { return q.hold(q.closing, tx) })
	if err != nil && q.closing.Err() == nil {
		q.opts.Trouble("", err)
	}
}

// Cancel ends a job at once; what still works on it stops within a second.
func (q *Queue) Cancel(ctx context.Context, id string) (job.Job, error) {
	if !isText(id) {
		return job.Job{}, job.ErrNotFound
	}
	if err := q.usable(ctx); err != nil {
		return job.Job{}, err
	}
	if err := q.over(ctx, id, job.Cancelled, ""); err != nil {
		return job.Job{}, err
	}
	return q.Get(ctx, id)
}
