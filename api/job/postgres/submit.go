package postgres

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"

	"surgeonward/api/job"
	database "surgeonward/facilities/store/postgres"
)

// counting is the advisory lock of who counts the jobs to add one: the bounds hold however many
// services there are.
const counting = 0x6a6f6273 // of the database, so that schemas wait for each other; it is short

// Submit adds a job.
func (q *Queue) Submit(ctx context.Context, kind, owner string, request []byte) (job.Job, error) {
	if q.opts.Parts[kind] == nil {
		return job.Job{}, job.NoKind(kind)
	}
	if err := job.CheckRequest(request); err != nil {
		return job.Job{}, err
	}
	if err := q.usable(ctx); err != nil {
		return job.Job{}, err
	}
	owner = asText(owner)
	var j job.Job
	err := q.inTx(ctx, "keep the job", func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock($1)`, counting); err != nil {
			return err
		}
		var waiting, of int
		err := tx.QueryRow(ctx, `SELECT count(*) FILTER (WHERE state = 'waiting'), count(*) FILTER (WHERE owner = $1) FROM job WHERE state IN ('waiting', 'running')`,
			owner).Scan(&waiting, &of)
		switch {
		case err != nil:
			return err
		case of >= q.opts.Each:
			return job.ErrTooMany
		case waiting >= q.opts.Waiting:
			return job.ErrFull
		}
		id := job.NewID()
		if _, err := tx.Exec(ctx, `INSERT INTO job (id, kind, owner, request, state, asked_at) VALUES ($1, $2, $3, $4, 'waiting', $5)`,
			id, kind, owner, request, q.now()); err != nil {
			return err
		}
		if err := q.addSteps(ctx, tx, id, step{}); err != nil {
			return err
		}
		j, err = find(ctx, tx, id)
		return err
	})
	return j, err
}

func (q *Queue) now() time.Time { return q.opts.Now().UTC().Truncate(time.Millisecond) }

// step is a step of a job that is to be done.
type step struct {
	number int
	part   job.Part
}

// args is what River keeps of a step.
type args struct {
	Job  string `json:"job"`
	Step int    `json:"step"`
}

// Kind is the name of steps in River's tables.
func (args) Kind() string { return "job_step" }

// The steps that are no parts.
const (
	first = 0
	last  = -1
)

// addSteps makes steps and hands them to River, in one transaction with what calls for them.
func (q *Queue) addSteps(ctx context.Context, tx pgx.Tx, id string, steps ...step) error {
	if len(steps) == 0 {
		return nil
	}
	numbers := make([]int, len(steps))
	for i := range steps {
		numbers[i] = steps[i].number
	}
	tickets, err := q.tickets(ctx, tx, id, numbers...)
	if err != nil {
		return err
	}
	_, err = tx.CopyFrom(ctx, pgx.Identifier{"job_step"}, []string{"job", "step", "spec", "looks", "ticket"},
		pgx.CopyFromSlice(len(steps), func(i int) ([]any, error) {
			return []any{id, steps[i].number, []byte(steps[i].part.Spec), steps[i].part.Looks, tickets[steps[i].number]}, nil
		}))
	return err
}

// tickets gives steps to River.
func (q *Queue) tickets(ctx context.Context, tx pgx.Tx, id string, numbers ...int) (map[int]int64, error) {
	var many []river.InsertManyParams
	for _, n := range numbers {
		opts := &river.InsertOpts{Queue: riverQueue, Priority: soon}
		if n == first {
			opts.Priority = later
		}
		many = append(many, river.InsertManyParams{Args: args{id, n}, InsertOpts: opts})
	}
	made, err := q.river.InsertManyTx(ctx, tx, many)
	if err != nil {
		return nil, err
	}
	tickets := map[int]int64{}
	for _, m := range made {
		var of args
		if err := json.Unmarshal(m.Job.EncodedArgs, &of); err != nil {
			return nil, err
		}
		tickets[of.Step] = m.Job.ID
	}
	return tickets, nil
}

// inTx does something in one transaction that is safe once it is committed.
func (q *Queue) inTx(ctx context.Context, doing string, do func(pgx.Tx) error) error {
	tx, err := q.pool.Begin(ctx)
	if err != nil {
		return database.Fault(doing, err)
	}
	defer func() { _ = tx.Rollback(context.WithoutCancel(ctx)) }() // once committed this does nothing
	err = do(tx)
	if errors.Is(err, job.ErrFull) || errors.Is(err, job.ErrTooMany) || errors.Is(err, job.ErrNotFound) {
		return err
	}
	if err != nil {
		return database.Fault(doing, err)
	}
	if _, err := tx.Exec(ctx, `SET LOCAL synchronous_commit = on`); err != nil {
		return database.Fault(doing, err)
	}
	return database.Fault(doing, tx.Commit(ctx))
}

// notify tells everybody who waits for a job; without an id, everybody.
func notify(ctx context.Context, tx pgx.Tx, id string) error {
	_, err := tx.Exec(ctx, `SELECT pg_notify($1, $2)`, channel, id)
	return err
}
