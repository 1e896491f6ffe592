package job

import "context"

// Service is a queue as those who ask it see it, wherever its jobs are kept and run. It is
// safe for concurrent use. Besides what is said of each method, an error wraps
// store.ErrUnavailable where what keeps the jobs cannot be reached now.
type Service interface {
	// Submit adds a job of a kind for an owner, for good once it returns. An error wraps
	// ErrFull, ErrTooMany or ErrClosed, or says that there is no such kind.
	Submit(ctx context.Context, kind, owner string, request []byte) (Job, error)
	// Get returns a job as it is now. An error wraps ErrNotFound where none is kept.
	Get(ctx context.Context, id string) (Job, error)
	// List returns all jobs, the newest first.
	List(ctx context.Context) ([]Job, error)
	// Result returns a result of a job that is done. An error wraps ErrNotFound where it
	// has none of the name.
	Result(ctx context.Context, id, name string) (File, error)
	// Wait returns the job at its next change after the one numbered so, or at once where
	// that has been or the job is over.
	Wait(ctx context.Context, id string, change int) (Job, error)
	// Cancel ends a job: at once where it waits, soon where it runs. One that is over
	// stays as it is.
	Cancel(ctx context.Context, id string) (Job, error)
	// Close stops what this process runs, to be begun again by another, and waits for it.
	Close() error
}
