package job

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"
)

// CheckRequest says what is wrong with a request.
func CheckRequest(request []byte) error {
	if len(request) > MaxRequest || !json.Valid(request) {
		return fmt.Errorf("a request of %d bytes is no JSON text of at most %d", len(request), MaxRequest)
	}
	return nil
}

// CheckFiles says what is wrong with results, which may have so many bytes together.
func CheckFiles(files []File, most int64) error {
	if len(files) > MaxFiles {
		return fmt.Errorf("%d results are more than %d", len(files), MaxFiles)
	}
	var sum int64
	seen := map[string]bool{}
	for _, f := range files {
		if !isName(f.Name) || seen[f.Name] {
			return fmt.Errorf("the result's name %.*q is another's or none that one may have", MaxName, f.Name)
		}
		seen[f.Name] = true
		sum += int64(len(f.Content))
	}
	if sum > most {
		return &Fault{fmt.Sprintf("its results have %d bytes, more than the %d that one job may have: ask for less", sum, most)}
	}
	return nil
}

// NoKind says that nothing can be asked for by a name.
func NoKind(kind string) error { return fmt.Errorf("there is no job of the kind %q", kind) }

// UnknownKind says that a job that was kept is of no kind that this program knows.
func UnknownKind(kind string) *Fault {
	return &Fault{fmt.Sprintf("this version of the service has no job of the kind %q", kind)}
}

// NoResult says that a job has no result of a name, which may be any text.
func NoResult(name string) error {
	return fmt.Errorf("%w: the result %.*s", ErrNotFound, MaxName, name)
}

// Why is what is said of a job whose run ended with an error, or did not end within a time.
func Why(ctx context.Context, err error, within time.Duration) string {
	var fault *Fault
	switch {
	case errors.As(err, &fault):
		return fault.Detail
	case errors.Is(ctx.Err(), context.DeadlineExceeded):
		return TooLong(within)
	}
	return "it could not be done; the fault is on this side, and the log has the job's id"
}

// TooLong says that a job did not end within a time.
func TooLong(within time.Duration) string {
	return fmt.Sprintf("it was not done within %s: ask for less", within)
}

// Abandoned says that a job, or a part of it, was begun MaxStarts times without an end.
func Abandoned() string {
	return fmt.Sprintf("the service ended %d times while this ran: it is not begun again", MaxStarts)
}
