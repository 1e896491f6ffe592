package job

import (
	"context"
	"encoding/json"
	"time"
)

// Run computes the results of a request. It stops soon after ctx ends. The text of an error
// that is a *Fault is shown to whoever asked; of another one only that it happened.
// Run is called from several goroutines at a time, and again for the same request after a
// restart.
type Run func(ctx context.Context, request json.RawMessage, progress Progress) ([]File, error)

// Progress says that done of total parts are done, and what is being done now in a few
// words. It is safe for concurrent use and cheap enough for every part.
type Progress func(done, total int, word string)

// File is one result.
type File struct {
	Name    string // small letters, digits, dots and hyphens, as in "cells.csv"; at most MaxName
	Media   string // media type
	Content []byte
}

// Fault is why a job cannot be done, in words for whoever asked.
type Fault struct{ Detail string }

func (f *Fault) Error() string { return f.Detail }

// State is what has become of a job.
type State string

// The states. A job in one of the last three is over.
const (
	Waiting   State = "waiting"
	Running   State = "running"
	Done      State = "done"
	Failed    State = "failed"
	Cancelled State = "cancelled"
)

// Over reports whether nothing more happens to a job in this state.
func (s State) Over() bool { return s == Done || s == Failed || s == Cancelled }

// Job is a job as it was at one moment.
type Job struct {
	ID     string `json:"id"`
	Number int64  `json:"number"` // in order of asking
	Kind   string `json:"kind"`
	Owner  string `json:"owner"` // who asked
	State  State  `json:"state"`
	// Detail says why a job has failed; empty where it has not.
	Detail  string    `json:"detail,omitempty"`
	Starts  int       `json:"starts"` // how often it was begun
	AskedAt time.Time `json:"asked_at"`
	BeganAt time.Time `json:"began_at,omitzero"` // the last time
	EndedAt time.Time `json:"ended_at,omitzero"`
	Results []Result  `json:"results,omitempty"`

	Progress float64 `json:"-"` // share that is done, 0 to 1; never falls while it runs
	Word     string  `json:"-"` // what is being done now
	Ahead    int     `json:"-"` // jobs that wait before it
	Change   int     `json:"-"` // grows with every change that [Queue.Wait] tells of
}

// Result is one result of a job that is done, without its content.
type Result struct {
	Name  string `json:"name"`
	Media string `json:"media"`
	Bytes int    `json:"bytes"`
}

func (j *Job) bytes() (sum int64) {
	for _, r := range j.Results {
		sum += int64(r.Bytes)
	}
	return sum
}
