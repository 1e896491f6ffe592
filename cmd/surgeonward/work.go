package main

import (
	"context"
	"errors"
	"fmt"
	"runtime"

	"github.com/rs/zerolog"

	"surgeonward/api"
	"surgeonward/api/job/postgres"
	"surgeonward/api/region"
)

// workCommand works for the services on a database until it is told to stop.
type workCommand struct {
	Database string `help:"PostgreSQL database that holds the region and its jobs (or DATABASE_URL); the password belongs in PGPASSWORD or a password file." placeholder:"URL"`
	Workers  int    `help:"Parts of jobs that are worked on at a time (default: one for each processor)." placeholder:"N"`

	jobBounds `embed:""`
}

// maxWorkers is how many parts one process works on at most.
const maxWorkers = 256

// Run takes parts of jobs, on this machine, and listens nowhere. What runs when it is told to stop is given back.
func (c *workCommand) Run(ctx context.Context, p *program) (err error) {
	at := place{Database: c.Database}.orEnvironment(p)
	if at.Database == "" {
		return usageError{errors.New("--database: name the database whose jobs are to be worked on, or set DATABASE_URL")}
	}
	workers := c.Workers
	if workers == 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	if workers < 1 || workers > maxWorkers {
		return usageError{fmt.Errorf("--workers: must be 1 to %d (got %d)", maxWorkers, c.Workers)}
	}
	opts, err := c.options(zerolog.New(p.stderr).With().Timestamp().Logger())
	if err != nil {
		return err
	}
	opts.Workers = workers
	kept, err := at.open(ctx, &region.Loader{}, nil)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, kept.Close()) }()
	q, err := api.ShareJobs(ctx, kept, at.Database, version(), postgres.Options{Options: opts})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, q.Close()) }()
	fmt.Fprintf(p.stdout, "surgeonward %s\nworking: on %d parts of jobs at a time\n", version(), workers)
	<-ctx.Done()
	return nil
}
