package main

import (
	"errors"
	"fmt"

	"github.com/rs/zerolog"

	"surgeonward/api"
	"surgeonward/api/job"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities/disk"
)

// jobFlags say where a server keeps its jobs, and how many of them.
type jobFlags struct {
	Jobs        string `help:"Folder in which jobs of coverage and siting and their results are kept over a restart; made if it does not exist (default: they end with the server)." placeholder:"DIR"`
	JobsMB      int64  `name:"jobs-mb" help:"Size of all results in MiB, beyond which the oldest are deleted (default: 128)." default:"128" placeholder:"N"`
	JobsWaiting int    `name:"jobs-waiting" help:"Jobs that may wait while one runs (default: 16)." default:"16" placeholder:"N"`
}

// The bounds of the flags.
const (
	maxJobsMB      = 1 << 20
	maxJobsWaiting = 1000
)

// open opens the queue. What somebody should look at goes into the log.
func (f *jobFlags) open(source api.Source, logger zerolog.Logger) (*job.Queue, error) {
	switch {
	case f.JobsMB < 1 || f.JobsMB > maxJobsMB:
		return nil, usageError{fmt.Errorf("--jobs-mb: must be 1 to %d (got %d)", maxJobsMB, f.JobsMB)}
	case f.JobsWaiting < 1 || f.JobsWaiting > maxJobsWaiting:
		return nil, usageError{fmt.Errorf("--jobs-waiting: must be 1 to %d (got %d)", maxJobsWaiting, f.JobsWaiting)}
	}
	q, unreadable, err := api.NewJobs(source, version(), job.Options{Dir: f.Jobs, Bytes: f.JobsMB << 20, JobBytes: f.JobsMB << 19, Waiting: f.JobsWaiting,
		Trouble: func(id string, cause error) {
			// the text may hold what somebody sent
			logger.Error().Str("job", id).Str("cause", fmt.Sprintf("%T", cause)).Bytes("stack", job.Stack(cause)).Msg("job")
		}})
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
