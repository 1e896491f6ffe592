package job

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
)

const idBytes = 10

// NewID is the id of a job: one that nobody can guess.
func NewID() string {
	var b [idBytes]byte
	_, _ = rand.Read(b[:]) // never fails, by its definition
	return hex.EncodeToString(b[:])
}

var (
	idForm     = regexp.MustCompile(fmt.Sprintf(`^[0-9a-f]{%d}$`, 2*idBytes))
	resultForm = regexp.MustCompile(`^[a-z0-9][a-z0-9-]*(\.[a-z0-9-]+)*$`)
)

// isID reports whether a text may be the id of a job.
func isID(text string) bool { return idForm.MatchString(text) }

// isName reports whether a result may have the name. None leads out of its folder.
func isName(text string) bool { return len(text) <= MaxName && resultForm.MatchString(text) }

// check says what is wrong with a job that was read, under the name of its folder.
func (j *Job) check(id string) error {
	if j.ID != id || j.Number < 1 || j.Starts < 0 {
		return errors.New("it is another job's, or its number is none")
	}
	switch j.State {
	case Waiting, Running, Done, Failed, Cancelled:
	default:
		return fmt.Errorf("there is no state %q", j.State)
	}
	for _, r := range j.Results {
		if !isName(r.Name) || r.Bytes < 0 {
			return fmt.Errorf("there is no result %q of %d bytes", r.Name, r.Bytes)
		}
	}
	return nil
}
