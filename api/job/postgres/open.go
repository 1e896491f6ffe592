package postgres

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"log/slog"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/pressly/goose/v3"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
	"github.com/riverqueue/river/rivermigrate"

	"surgeonward/api/job"
	database "surgeonward/facilities/store/postgres"
)

//go:embed migrations/*.sql
var migrations embed.FS

// riverTables is the version of River's own tables that this program's release of it needs. A
// later release with later tables needs one more migration that goes to its version.
const riverTables = 8

// Queue is a job.Service in a database.
type Queue struct {
	opts   Options
	pool   *pgxpool.Pool
	river  *river.Client[pgx.Tx]
	number int64 // of this process as a worker
	pulse  *pulse

	closing context.Context // ends when the queue is closed
	end     context.CancelFunc
	running sync.WaitGroup
	tasks   atomic.Int64 // that run
	once    sync.Once
	closed  error
}

// otherConnections are those besides one for each worker: River's, the pulse, and some for
// those who ask.
const otherConnections = 6

// stopTime is how long a stop waits for what runs.
const stopTime = 8 * time.Second

// Open joins the queue in the database that a URL or a list of key=value words names, brings its
// tables up to date, and begins to work.
func Open(ctx context.Context, address string, opts Options) (*Queue, error) {
	opts, err := opts.orDefault()
	if err != nil {
		return nil, err
	}
	pool, err := database.Connect(ctx, address, int32(min(opts.Workers, 1000)+otherConnections))
	if err != nil {
		return nil, err
	}
	if err := migrate(ctx, pool); err != nil {
		pool.Close()
		return nil, database.Fault("prepare the tables of jobs", err)
	}
	q := &Queue{opts: opts, pool: pool, number: rand.Int64()}
	q.closing, q.end = context.WithCancel(context.Background())
	q.pulse = newPulse(pool, q.number)
	if err := q.pulse.begin(ctx); err != nil {
		q.end()
		pool.Close()
		return nil, err
	}
	if err := q.work(); err != nil {
		q.end()
		q.pulse.end()
		pool.Close()
		return nil, database.Fault("begin to work", err)
	}
	q.running.Go(func() { q.pulse.run(q.closing) })
	q.running.Go(func() { q.tend(q.closing) })
	return q, nil
}

func migrate(ctx context.Context, pool *pgxpool.Pool) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	rivers := goose.NewGoMigration(1, &goose.GoFunc{RunDB: func(ctx context.Context, _ *sql.DB) error {
		m, err := rivermigrate.New(riverpgxv5.New(pool), &rivermigrate.Config{Logger: slog.New(slog.DiscardHandler)})
		if err != nil {
			return err
		}
		_, err = m.Migrate(ctx, rivermigrate.DirectionUp, &rivermigrate.MigrateOpts{TargetVersion: riverTables})
		return err
	}}, nil)
	return database.Migrate(ctx, pool, "job_migration", files, rivers)
}

// The queue of River's, and the order in it: what of a job has begun goes before what has not.
const (
	riverQueue = "jobs"
	soon       = 1
	later      = 2
)

// work begins to take steps.
func (q *Queue) work() error {
	workers := river.NewWorkers()
	river.AddWorker(workers, &worker{queue: q})
	var err error
	q.river, err = river.NewClient(riverpgxv5.New(q.pool), &river.Config{
		Queues:                      map[string]river.QueueConfig{riverQueue: {MaxWorkers: q.opts.Workers}},
		Workers:                     workers,
		JobTimeout:                  q.opts.PartTime + margin,
		RescueStuckJobsAfter:        q.opts.PartTime + 2*margin,
		CompletedJobRetentionPeriod: time.Hour,
		CancelledJobRetentionPeriod: time.Hour,
		DiscardedJobRetentionPeriod: time.Hour,
		Logger:                      slog.New(slog.DiscardHandler), // its words may hold the database's address
	})
	if err != nil {
		return err
	}
	if q.opts.AskOnly {
		return nil
	}
	return q.river.Start(context.Background())
}

// margin is what River leaves a step to say that its time is over.
const margin = 30 * time.Second

// Close gives back what this process runs, to be begun again by others, and waits for that. While
// the database is away that cannot be told: what ran counts as lost once the process has ended.
func (q *Queue) Close() error {
	q.once.Do(func() {
		q.end()
		q.pulse.wake("")
		stopping, cancel := context.WithTimeout(context.Background(), stopTime)
		defer cancel()
		if !q.opts.AskOnly {
			_ = q.river.StopAndCancel(stopping) // with the database away it goes on trying; what matters is what runs
		}
		if n := q.tasks.Load(); n > 0 {
			q.closed = fmt.Errorf("%d parts of jobs that ran have not ended", n)
		}
		q.running.Wait()
		q.pulse.end()
		closed := make(chan struct{})
		go func() { q.pool.Close(); close(closed) }()
		select {
		case <-closed:
		case <-stopping.Done():
		}
	})
	return q.closed
}

// usable says why nothing can be done now.
func (q *Queue) usable(ctx context.Context) error {
	if q.closing.Err() != nil {
		return job.ErrClosed
	}
	return ctx.Err()
}
