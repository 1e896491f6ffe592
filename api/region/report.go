package region

import (
	"cmp"
	"fmt"
)

// Fault is one thing wrong (a fault) or odd (a warning) in a region's folder.
type Fault struct {
	File    string // its name in the folder
	Feature string // id of the feature, where one is concerned
	Pointer string // JSON Pointer into the file; empty: the file as a whole
	Detail  string // one sentence: what is wrong, and the fix
}

// String returns the fault on one line.
func (f Fault) String() string {
	where := cmp.Or(f.Pointer, "(file)")
	if f.Feature != "" {
		where = f.Feature + " " + where
	}
	return f.File + " " + where + ": " + f.Detail
}

// Report is what Load found, file by file, and within a file in its order.
type Report struct{ Faults, Warnings []Fault }

func (report *Report) fault(file, format string, args ...any) {
	report.Faults = append(report.Faults, Fault{File: file, Detail: fmt.Sprintf(format, args...)})
}
