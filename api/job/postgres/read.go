package postgres

import (
	"context"
	"errors"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/jackc/pgx/v5"

	"surgeonward/api/job"
	"surgeonward/facilities/store"
	database "surgeonward/facilities/store/postgres"
)

// querier is a pool or a transaction.
type querier interface {
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
}

const columns = `SELECT id, number, kind, owner, state, detail, starts, asked_at, began_at, ended_at, progress, word, change,
	CASE WHEN state = 'waiting' THEN (SELECT count(*) FROM job AS before WHERE before.state = 'waiting' AND before.number < job.number) ELSE 0 END
	FROM job `

func scan(row pgx.CollectableRow) (job.Job, error) {
	var j job.Job
	var began, ended *time.Time
	err := row.Scan(&j.ID, &j.Number, &j.Kind, &j.Owner, &j.State, &j.Detail, &j.Starts, &j.AskedAt, &began, &ended, &j.Progress, &j.Word, &j.Change, &j.Ahead)
	j.AskedAt = j.AskedAt.UTC()
	if began != nil {
		j.BeganAt = began.UTC()
	}
	if ended != nil {
		j.EndedAt = ended.UTC()
	}
	return j, err
}

// jobs reads jobs with their results.
func jobs(ctx context.Context, from querier, which string, args ...any) ([]job.Job, error) {
	rows, err := from.Query(ctx, columns+which, args...)
	if err != nil {
		return nil, database.Fault("read the jobs", err)
	}
	out, err := pgx.CollectRows(rows, scan)
	if err != nil {
		return nil, database.Fault("read the jobs", err)
	}
	place := map[string]*job.Job{}
	var ids []string
	for i := range out {
		if out[i].State == job.Done {
			place[out[i].ID] = &out[i]
			ids = append(ids, out[i].ID)
		}
	}
	if len(ids) == 0 {
		return out, nil
	}
	rows, err = from.Query(ctx, `SELECT job, name, media, size FROM job_result WHERE job = ANY($1) ORDER BY job, place`, ids)
	if err != nil {
		return nil, database.Fault("read the jobs", err)
	}
	var id string
	var r job.Result
	_, err = pgx.ForEachRow(rows, []any{&id, &r.Name, &r.Media, &r.Bytes}, func() error {
		place[id].Results = append(place[id].Results, r)
		return nil
	})
	return out, database.Fault("read the jobs", err)
}

// isText reports whether the database can hold a text at all.
func isText(text string) bool { return utf8.ValidString(text) && !strings.Contains(text, "\x00") }

// asText is a text as the database can hold it.
func asText(text string) string {
	return strings.ReplaceAll(strings.ToValidUTF8(text, "\uFFFD"), "\x00", "\uFFFD")
}

func find(ctx context.Context, from querier, id string) (job.Job, error) {
	if !isText(id) {
		return job.Job{}, job.ErrNotFound
	}
	found, err := jobs(ctx, from, `WHERE id = $1`, id)
	if err == nil && len(found) == 0 {
		err = job.ErrNotFound
	}
	if err != nil {
		return job.Job{}, err
	}
	return found[0], nil
}

// Get returns a job as it is now.
func (q *Queue) Get(ctx context.Context, id string) (job.Job, error) { return find(ctx, q.pool, id) }

// List returns all jobs, the newest first.
func (q *Queue) List(ctx context.Context) ([]job.Job, error) {
	return jobs(ctx, q.pool, `ORDER BY number DESC`)
}

// Result returns a result of a job that is done.
func (q *Queue) Result(ctx context.Context, id, name string) (job.File, error) {
	if !isText(id) || !isText(name) {
		return job.File{}, job.NoResult(name)
	}
	f := job.File{Name: name}
	err := q.pool.QueryRow(ctx, `SELECT media, content FROM job_result WHERE job = $1 AND name = $2`, id, name).Scan(&f.Media, &f.Content)
	if errors.Is(err, pgx.ErrNoRows) {
		return job.File{}, job.NoResult(name)
	}
	return f, database.Fault("read the result", err)
}

// Wait returns the job at its next change after the one numbered so. While the database is
// away it waits for it.
func (q *Queue) Wait(ctx context.Context, id string, change int) (job.Job, error) {
	var j job.Job
	for {
		changed, done := q.pulse.listen(id)
		now, err := q.Get(ctx, id)
		switch {
		case err == nil:
			j = now
		case ctx.Err() != nil:
			err = ctx.Err()
		case errors.Is(err, store.ErrUnavailable) && q.closing.Err() == nil:
			err = nil
		}
		if err == nil && q.closing.Err() != nil && !j.State.Over() && j.Change <= change {
			err = job.ErrClosed
		}
		if err != nil || now.ID != "" && (now.Change > change || now.State.Over()) {
			done()
			return j, err
		}
		timer := time.NewTimer(askEvery)
		select {
		case <-changed:
		case <-timer.C:
		case <-ctx.Done():
		}
		timer.Stop()
		done()
		if ctx.Err() != nil {
			return j, ctx.Err()
		}
	}
}
