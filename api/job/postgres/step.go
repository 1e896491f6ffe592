package postgres

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"

	"surgeonward/api/job"
	database "surgeonward/facilities/store/postgres"
)

// lock locks a job, so that one process at a time changes it and its steps, and returns its
// state; an error wraps job.ErrNotFound where it is gone.
func lock(ctx context.Context, tx pgx.Tx, id string) (state job.State, err error) {
	err = tx.QueryRow(ctx, `SELECT state FROM job WHERE id = $1 FOR UPDATE`, id).Scan(&state)
	if errors.Is(err, pgx.ErrNoRows) {
		err = job.ErrNotFound
	}
	return state, err
}

// claim begins a step for this process; nil: there is nothing to be done any more.
func (q *Queue) claim(ctx context.Context, id string, number int, ticket int64) (*task, error) {
	var t *task
	err := q.inTx(ctx, "begin a step", func(tx pgx.Tx) error {
		state, err := lock(ctx, tx, id)
		if err != nil || state.Over() {
			return err
		}
		var starts int
		found := task{job: id, step: number}
		err = tx.QueryRow(ctx, `SELECT starts, spec FROM job_step WHERE job = $1 AND step = $2 AND ticket = $3 AND NOT done`, id, number, ticket).Scan(&starts, &found.spec)
		switch {
		case errors.Is(err, pgx.ErrNoRows):
			return nil
		case err != nil:
			return err
		case starts >= job.MaxStarts:
			return q.overIn(ctx, tx, id, job.Failed, job.Abandoned(), nil)
		}
		if _, err := tx.Exec(ctx, `UPDATE job_step SET starts = starts + 1, worker = $3 WHERE job = $1 AND step = $2`, id, number, q.number); err != nil {
			return err
		}
		began := q.now()
		err = tx.QueryRow(ctx, `UPDATE job SET state = 'running', change = change + 1,
			starts = (SELECT max(starts) FROM job_step WHERE job_step.job = id),
			began_at = CASE WHEN $2 THEN $3 ELSE began_at END,
			progress = CASE WHEN $2 THEN 0 ELSE progress END, word = CASE WHEN $2 THEN '' ELSE word END
			WHERE id = $1 RETURNING kind, request, began_at`, id, number == first, began).Scan(&found.kind, &found.request, &found.began)
		if err != nil {
			return err
		}
		t = &found
		if state == job.Waiting {
			return moved(ctx, tx)
		}
		return notify(ctx, tx, id)
	})
	if err != nil {
		t = nil
	}
	if errors.Is(err, job.ErrNotFound) {
		err = nil
	}
	return t, err
}

// moved tells those who wait that fewer are before them.
func moved(ctx context.Context, tx pgx.Tx) error {
	if _, err := tx.Exec(ctx, `UPDATE job SET change = change + 1 WHERE id IN (SELECT id FROM job WHERE state = 'waiting' ORDER BY id FOR UPDATE SKIP LOCKED)`); err != nil {
		return err
	}
	return notify(ctx, tx, "")
}

// keep keeps what a step has made, and makes the steps that follow.
func (q *Queue) keep(ctx context.Context, t *task, made *outcome) error {
	return q.change(ctx, "keep a step", t.job, func(tx pgx.Tx) error {
		if made.files != nil {
			return q.overIn(ctx, tx, t.job, job.Done, "", made.files)
		}
		kept, err := tx.Exec(ctx, `UPDATE job_step SET done = true, worker = NULL, content = $3 WHERE job = $1 AND step = $2 AND NOT done`, t.job, t.step, made.content)
		if err != nil || kept.RowsAffected() == 0 { // another was first
			return err
		}
		var next []step
		for i, part := range made.parts {
			next = append(next, step{i + 1, part})
		}
		if t.step > first {
			var left int
			if err := tx.QueryRow(ctx, `SELECT count(*) FROM job_step WHERE job = $1 AND step > 0 AND NOT done`, t.job).Scan(&left); err != nil {
				return err
			}
			if left == 0 {
				next = append(next, step{number: last})
			}
		}
		if err := q.addSteps(ctx, tx, t.job, next...); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `UPDATE job SET change = change + 1, word = parts.done || ' of ' || parts.parts || ' parts are done',
			progress = GREATEST(progress, $2 * parts.looks)
			FROM (SELECT count(*) FILTER (WHERE done) AS done, count(*) AS parts,
				sum(looks) FILTER (WHERE done)::double precision / GREATEST(sum(looks), 1) AS looks FROM job_step WHERE job = $1 AND step > 0) AS parts
			WHERE id = $1`, t.job, partsShare); err != nil {
			return err
		}
		return notify(ctx, tx, t.job)
	})
}

// giveBack lets another begin a step that was begun here, as if nobody had: this process is to stop.
func (q *Queue) giveBack(ctx context.Context, t *task) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	err := q.change(ctx, "give a step back", t.job, func(tx pgx.Tx) error { _, err := q.unclaim(ctx, tx, t); return err })
	if err != nil {
		q.opts.Trouble(t.job, err) // once this process has ended the step counts as lost
	}
	return river.JobSnooze(0)
}

// maxRefusals is how often a step may be refused by those who cannot do it, each of them once a
// second, before its job is begun anew by one of them: those who could are gone.
const maxRefusals = 60

// refuse lets another do a step that this program cannot do.
func (q *Queue) refuse(ctx context.Context, t *task) error {
	return q.change(ctx, "refuse a step", t.job, func(tx pgx.Tx) error {
		refused, err := q.unclaim(ctx, tx, t)
		if err != nil || refused == 0 {
			return err
		}
		if refused < maxRefusals {
			return q.handOut(ctx, tx, t.job, t.step)
		}
		if _, err := tx.Exec(ctx, `DELETE FROM job_step WHERE job = $1`, t.job); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `UPDATE job SET state = 'waiting' WHERE id = $1`, t.job); err != nil {
			return err
		}
		return q.addSteps(ctx, tx, t.job, step{})
	})
}

// handOut gives a step to River once more. Who has its ticket of before finds nothing to do.
func (q *Queue) handOut(ctx context.Context, tx pgx.Tx, id string, number int) error {
	tickets, err := q.tickets(ctx, tx, id, number)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `UPDATE job_step SET worker = NULL, ticket = $3 WHERE job = $1 AND step = $2`, id, number, tickets[number])
	return err
}

// change changes a job that is locked, unless it is over or gone.
func (q *Queue) change(ctx context.Context, doing, id string, do func(pgx.Tx) error) error {
	err := q.inTx(ctx, doing, func(tx pgx.Tx) error {
		state, err := lock(ctx, tx, id)
		if err != nil || state.Over() {
			return err
		}
		return do(tx)
	})
	if errors.Is(err, job.ErrNotFound) {
		return nil
	}
	return err
}

// unclaim makes a step one that nobody has begun, and returns how often that has been; 0: another
// has it by now.
func (q *Queue) unclaim(ctx context.Context, tx pgx.Tx, t *task) (times int, err error) {
	err = tx.QueryRow(ctx, `UPDATE job_step SET worker = NULL, starts = starts - 1, refused = refused + 1
		WHERE job = $1 AND step = $2 AND worker = $3 AND NOT done RETURNING refused`, t.job, t.step, q.number).Scan(&times)
	if errors.Is(err, pgx.ErrNoRows) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	if _, err := tx.Exec(ctx, `UPDATE job SET change = change + 1, starts = (SELECT max(starts) FROM job_step WHERE job_step.job = id),
		state = CASE WHEN $2 THEN 'waiting' ELSE state END WHERE id = $1`, t.job, t.step == first); err != nil {
		return 0, err
	}
	return times, notify(ctx, tx, t.job)
}

// parts reads what a job fell into.
func (q *Queue) parts(ctx context.Context, id string) ([]job.Part, error) {
	rows, err := q.pool.Query(ctx, `SELECT spec, looks FROM job_step WHERE job = $1 AND step > 0 ORDER BY step`, id)
	if err != nil {
		return nil, database.Fault("read the parts", err)
	}
	parts, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (p job.Part, err error) {
		var spec []byte
		err = row.Scan(&spec, &p.Looks)
		p.Spec = spec
		return p, err
	})
	return parts, database.Fault("read the parts", err)
}

// content reads what a part has made.
func (q *Queue) content(ctx context.Context, id string, part int) (content []byte, err error) {
	err = q.persist(ctx, func() error {
		return database.Fault("read a part", q.pool.QueryRow(ctx, `SELECT content FROM job_step WHERE job = $1 AND step = $2 AND done`, id, part+1).Scan(&content))
	})
	if errors.Is(err, pgx.ErrNoRows) {
		err = fmt.Errorf("part %d is not there", part)
	}
	return content, err
}
