package facilities

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"surgeonward/facilities/strictjson"
)

// Fault is one thing wrong (an error) or odd (a warning) in a facility file.
type Fault struct {
	Feature string // id of the feature, "" where it has none that can be read or none is concerned
	Pointer string // JSON Pointer (RFC 6901) into the file
	Detail  string // one sentence: what, what is wrong with it, and the fix
}

// String returns the fault on one line.
func (f Fault) String() string {
	where := cmp.Or(f.Pointer, "(file)")
	if f.Feature != "" {
		where = f.Feature + " " + where
	}
	return where + ": " + f.Detail
}

// maxReported is how many faults are reported; more help nobody.
const maxReported = 200

// faultList keeps the first faults found and counts the rest, so that a hostile file
// cannot make it grow without bound. It keeps more than are reported: features are read
// in order, so that what is reported is the first in the file, save in a file so bad
// that the list fills up before the file as a whole is looked at.
type faultList struct {
	kept    []Fault
	dropped int
}

func (l *faultList) add(f Fault) {
	if len(l.kept) >= 5*maxReported {
		l.dropped++
		return
	}
	l.kept = append(l.kept, f)
}

// except returns the list without the faults at the given pointers.
func (l *faultList) except(pointers map[string]bool) *faultList {
	kept := slices.DeleteFunc(slices.Clone(l.kept), func(f Fault) bool { return pointers[f.Pointer] })
	return &faultList{kept: kept, dropped: l.dropped}
}

// report returns the faults by pointer, with the number of those left out at the end.
func (l *faultList) report() []Fault {
	faults := slices.Clone(l.kept)
	slices.SortFunc(faults, func(a, b Fault) int {
		return cmp.Or(strictjson.ComparePointers(a.Pointer, b.Pointer), strings.Compare(a.Detail, b.Detail))
	})
	faults = slices.Compact(faults)
	shown := min(len(faults), maxReported)
	if more := len(faults) - shown + l.dropped; more > 0 {
		faults = append(faults[:shown], Fault{Detail: fmt.Sprintf("%d more are not shown: correct these first", more)})
	}
	return faults
}
