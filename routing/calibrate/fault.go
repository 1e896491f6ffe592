package calibrate

import (
	"fmt"
	"strconv"
	"unicode/utf8"
)

// Fault is one thing wrong with a file of journeys.
type Fault struct {
	Row    int    // as a text editor counts lines, the header being row 1; 0: the whole file
	Column string // as the header names it; empty: the whole row
	Detail string // what is wrong, and the fix
}

// String reads "row 7, column duration_s: ...".
func (f Fault) String() string {
	switch {
	case f.Row == 0:
		return f.Detail
	case f.Column == "":
		return fmt.Sprintf("row %d: %s", f.Row, f.Detail)
	}
	return fmt.Sprintf("row %d, column %s: %s", f.Row, f.Column, f.Detail)
}

// maxFaults is how many faults are listed: a file with more has one cause that
// the first of them show, and a hostile one must not fill the memory.
const maxFaults = 1000

// faults collects what is wrong with a file.
type faults struct {
	list []Fault
	more int // beyond maxFaults
}

func (f *faults) add(row int, column, format string, args ...any) {
	if len(f.list) >= maxFaults {
		f.more++
		return
	}
	f.list = append(f.list, Fault{row, column, fmt.Sprintf(format, args...)})
}

func (f *faults) count() int { return len(f.list) + f.more }

// all ends the list with how many are not in it.
func (f *faults) all() []Fault {
	if f.more == 0 {
		return f.list
	}
	return append(f.list, Fault{Detail: fmt.Sprintf("%d more faults: mend these first", f.more)})
}

// maxShown is how much of a value a fault repeats, in characters.
const maxShown = 40

// quote repeats a value from the file, cut short and safe to print.
func quote(s string) string {
	if utf8.RuneCountInString(s) > maxShown {
		s = string([]rune(s[:min(len(s), maxShown*utf8.UTFMax)])[:maxShown]) + "..."
	}
	return strconv.QuoteToASCII(s)
}
