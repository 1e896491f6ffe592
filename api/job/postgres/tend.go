package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"surgeonward/api/job"
	database "surgeonward/facilities/store/postgres"
)

// sweepEvery is how many looks after lost steps there are between two sweeps.
const sweepEvery = 60

// tend looks after what nobody does any more, until ctx ends. Every process does so; what
// they find is changed by one.
func (q *Queue) tend(ctx context.Context) {
	for n := 1; pause(ctx); n++ {
		looking, cancel := context.WithTimeout(ctx, 10*askEvery)
		// what fails now is tried again in a second
		_ = q.lost(looking)
		_ = q.late(looking)
		cancel()
		if n%sweepEvery == 0 {
			q.Sweep()
		}
	}
}

// riverLag is how long River may have a step in hand before it is begun.
const riverLag = 30 * time.Second

// lost gives steps out again whose worker is gone, and those that River has lost: it says
// that it hands them out, or has done with them, and nobody has begun them.
func (q *Queue) lost(ctx context.Context) error {
	rows, err := q.pool.Query(ctx, `SELECT job, step, worker, ticket FROM job_step LEFT JOIN river_job ON river_job.id = ticket
		WHERE NOT done AND (worker <> $1 OR worker IS NULL AND (river_job.id IS NULL OR finalized_at IS NOT NULL
			OR river_job.state = 'running' AND attempted_at < now() - $2 * interval '1 second'))`, q.number, riverLag.Seconds())
	if err != nil {
		return database.Fault("look after steps", err)
	}
	type held struct {
		job    string
		step   int
		worker *int64
		ticket int64
	}
	all, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (h held, err error) {
		return h, row.Scan(&h.job, &h.step, &h.worker, &h.ticket)
	})
	if err != nil {
		return database.Fault("look after steps", err)
	}
	alive := map[int64]bool{}
	for _, h := range all {
		if h.worker != nil && alive[*h.worker] {
			continue
		}
		err := q.inTx(ctx, "look after steps", func(tx pgx.Tx) error {
			if h.worker != nil {
				var gone bool
				if err := tx.QueryRow(ctx, `SELECT pg_try_advisory_xact_lock($1)`, *h.worker).Scan(&gone); err != nil {
					return err
				}
				if alive[*h.worker] = !gone; !gone {
					return nil
				}
			}
			return q.again(ctx, tx, h.job, h.step, h.ticket)
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// again gives a step out again, or gives its job up.
func (q *Queue) again(ctx context.Context, tx pgx.Tx, id string, number int, ticket int64) error {
	state, err := lock(ctx, tx, id)
	if err != nil || state.Over() {
		return err
	}
	found, err := tx.Query(ctx, `SELECT starts FROM job_step WHERE job = $1 AND step = $2 AND ticket = $3 AND NOT done`, id, number, ticket)
	if err != nil {
		return err
	}
	starts, err := pgx.CollectRows(found, pgx.RowTo[int])
	if err != nil || len(starts) == 0 { // another process was first
		return err
	}
	if starts[0] >= job.MaxStarts {
		return q.overIn(ctx, tx, id, job.Failed, job.Abandoned(), nil)
	}
	if err := q.handOut(ctx, tx, id, number); err != nil {
		return err
	}
	if number != first {
		return nil
	}
	if _, err := tx.Exec(ctx, `UPDATE job SET state = 'waiting', change = change + 1 WHERE id = $1`, id); err != nil {
		return err
	}
	return moved(ctx, tx)
}

// late ends jobs that take too long, whoever works on them.
func (q *Queue) late(ctx context.Context) error {
	rows, err := q.pool.Query(ctx, `SELECT id FROM job WHERE state = 'running' AND began_at < $1`, q.now().Add(-q.opts.Time-margin))
	if err != nil {
		return database.Fault("look after jobs", err)
	}
	ids, err := pgx.CollectRows(rows, pgx.RowTo[string])
	for _, id := range ids {
		if err == nil {
			err = q.over(ctx, id, job.Failed, job.TooLong(q.opts.Time))
		}
	}
	return err
}
