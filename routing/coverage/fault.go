package coverage

import (
	"fmt"
	"strings"
)

// Fault is one thing wrong with a file.
type Fault struct {
	At     string // "line 7, people", or a JSON Pointer
	Detail string // what is wrong and the fix
}

// Faults is everything that is wrong with a file.
type Faults []Fault

func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, fault := range f {
		lines[i] = fault.At + ": " + fault.Detail
	}
	return strings.Join(lines, "\n")
}

// maxFaults is how many faults are listed: a file of another kind has no end of
// them.
const maxFaults = 50

func (f *Faults) add(at, format string, args ...any) {
	switch len(*f) {
	case maxFaults:
		*f = append(*f, Fault{"and more", fmt.Sprintf("only the first %d faults are listed", maxFaults)})
	default:
		if len(*f) < maxFaults {
			*f = append(*f, Fault{at, fmt.Sprintf(format, args...)})
		}
	}
}
