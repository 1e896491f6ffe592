package job

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"runtime/debug"
)

// Parts is a kind of job whose work is done by several at a time, on several machines. What
// is said of [Run] holds for its methods.
type Parts interface {
	// Split says what there is to be done. Without any part all is done by Join.
	Split(ctx context.Context, request json.RawMessage) ([]Part, error)
	// Work does a part. It gives the same bytes wherever and however often it is called.
	Work(ctx context.Context, request, part json.RawMessage) ([]byte, error)
	// Join makes the results. Done is what Work gave for a part, by its place.
	Join(ctx context.Context, request json.RawMessage, parts []Part, done func(part int) ([]byte, error), progress Progress) ([]File, error)
}

// ErrElsewhere says that this program cannot do what is asked, but another worker can: one of
// the version that began the job.
var ErrElsewhere = errors.New("it is for a worker of another version")

// Part is a part of a job's work.
type Part struct {
	Spec  json.RawMessage // what Work is given
	Looks int             // how much work it is, in a unit of the kind's own; at least 1
}

// Whole is a kind of job that one worker does from its beginning to its end.
func Whole(run Run) Parts { return whole{run} }

type whole struct{ run Run }

func (whole) Split(context.Context, json.RawMessage) ([]Part, error) { return nil, nil }

func (whole) Work(context.Context, json.RawMessage, json.RawMessage) ([]byte, error) {
	return nil, errors.New("there are no parts")
}

func (w whole) Join(ctx context.Context, request json.RawMessage, _ []Part, _ func(int) ([]byte, error), progress Progress) ([]File, error) {
	return w.run(ctx, request, progress)
}

// Guarded calls a job's function. A panic in it is its error, which has a [Stack].
func Guarded[T any](do func() (T, error)) (out T, err error) {
	defer func() {
		if thrown := recover(); thrown != nil {
			err = &panicked{kind: fmt.Sprintf("%T", thrown), stack: debug.Stack()}
		}
	}()
	return do()
}
