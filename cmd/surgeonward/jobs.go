package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/rs/zerolog"

	"surgeonward/api"
	"surgeonward/api/job"
	"surgeonward/api/job/postgres"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities/disk"
)

// jobFlags say where a server keeps its jobs, and how many of them.
type jobFlags struct {
	Jobs        string `help:"Folder in which jobs of coverage and siting and their results are kept over a restart; made if it does not exist (default: they end with the server; with --database they are kept there, and shared)." placeholder:"DIR"`
	JobsWaiting int    `name:"jobs-waiting" help:"Jobs that may wait while one runs (default: 16)." default:"16" placeholder:"N"`

	jobBounds `embed:""`
}

// jobBounds bound what is kept.
type jobBounds struct {
	JobsMB int64 `name:"jobs-mb" help:"Size of all results of jobs in MiB, beyond which the oldest are deleted (default: 128)." default:"128" placeholder:"N"`
}

// The bounds of the flags.
const (
	maxJobsMB      = 1 << 20
	maxJobsWaiting = 1000
)

// options are the options of a queue. What somebody should look at goes into the log.
func (b jobBounds) options(logger zerolog.Logger) (job.Options, error) {
	if b.JobsMB < 1 || b.JobsMB > maxJobsMB {
		return job.Options{}, usageError{fmt.Errorf("--jobs-mb: must be 1 to %d (got %d)", maxJobsMB, b.JobsMB)}
	}
	return job.Options{Bytes: b.JobsMB << 20, JobBytes: b.JobsMB << 19, Trouble: func(id string, cause error) {
		// the text may hold what somebody sent
		logger.Error().Str("job", id).Str("cause", fmt.Sprintf("%T", cause)).Bytes("stack", job.Stack(cause)).Msg("job")
	}}, nil
}

// open opens the queue of a service.
func (f *jobFlags) open(ctx context.Context, source *served, logger zerolog.Logger) (job.Service, error) {
	opts, err := f.options(logger)
	switch {
	case err != nil:
		return nil, err
	case f.JobsWaiting < 1 || f.JobsWaiting > maxJobsWaiting:
		return nil, usageError{fmt.Errorf("--jobs-waiting: must be 1 to %d (got %d)", maxJobsWaiting, f.JobsWaiting)}
	case source.database != "" && f.Jobs != "":
		return nil, usageError{errors.New("--jobs: with --database the jobs are kept in the database: leave one of the two out")}
	}
	opts.Dir, opts.Waiting = f.Jobs, f.JobsWaiting
	if source.database != "" {
		q, err := api.ShareJobs(ctx, source.store, source.database, version(), postgres.Options{Options: opts})
		if err != nil { // not a queue that is nil
			return nil, err
		}
		return q, nil
	}
	q, unreadable, err := api.NewJobs(source.Source, version(), opts)
	for _, sentence := range unreadable {
		logger.Warn().Str("what", terminal.Clean(sentence)).Msg("jobs")
	}
	switch {
	case errors.Is(err, disk.ErrInUse):
		return nil, fmt.Errorf("--jobs: %w; each server needs a folder of its own", err)
	case err != nil:
		return nil, fmt.Errorf("--jobs: %w; give another folder, or leave --jobs out to keep jobs in memory", err)
	}
	return q, nil
}

// kept says where jobs are kept.
func (f *jobFlags) kept(source *served) string {
	switch {
	case source.database != "":
		return "kept in the database, shared by all who serve or work on it"
	case f.Jobs != "":
		return "kept in " + f.Jobs
	}
	return "kept in memory: they end with the server"
}
