package table

import "fmt"

// Fault is one thing wrong in a table.
type Fault struct {
	Line   int    `json:"line,omitempty"`   // of the file, from 1, which is the header's; 0: the table as a whole
	Column string `json:"column,omitempty"` // by name; "": the row as a whole
	ID     string `json:"id,omitempty"`     // of the element, where it is known
	Detail string `json:"detail"`           // one sentence: what is wrong, and the fix
}

// String returns the fault on one line.
func (f Fault) String() string {
	where := "table"
	if f.Line > 0 {
		where = fmt.Sprintf("line %d", f.Line)
	}
	if f.Column != "" {
		where += ", column " + f.Column
	}
	if f.ID != "" {
		where += " (" + f.ID + ")"
	}
	return where + ": " + f.Detail
}

// maxFaults is how many faults are reported; more help nobody.
const maxFaults = 200

// faults keeps the first faults and counts the rest.
type faults struct {
	kept    []Fault
	dropped int
}

func (l *faults) add(line int, column, id, format string, args ...any) {
	if len(l.kept) >= maxFaults {
		l.dropped++
		return
	}
	l.kept = append(l.kept, Fault{Line: line, Column: column, ID: plain(id), Detail: fmt.Sprintf(format, args...)})
}

func (l *faults) any() bool { return len(l.kept) > 0 }

func (l *faults) report() []Fault {
	if l.dropped > 0 {
		return append(l.kept, Fault{Detail: fmt.Sprintf("%d more are not shown: correct these first", l.dropped)})
	}
	return l.kept
}
