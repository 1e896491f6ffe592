package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// event is one line of `go test -json`; see `go doc test2json` and, for the
// build events, `go help buildjson`.
type event struct {
	Action     string
	Package    string
	ImportPath string
	Test       string
	Elapsed    float64
	Output     string
}

// report collects the output of tests until it is known how they ended.
type report struct {
	out                     io.Writer
	passed, failed, skipped int
	pending                 map[string]*strings.Builder // by package, or package and test
	skips                   []string                    // in the order in which they ended
}

func newReport(out io.Writer) *report {
	return &report{out: out, pending: map[string]*strings.Builder{}}
}

// read takes in events until the end of in. Lines that are no events, such as
// a message of the go command itself, are passed on as they are.
func (r *report) read(in io.Reader) error {
	lines := bufio.NewReader(in)
	for {
		line, err := lines.ReadString('\n')
		if line != "" {
			var e event
			if json.Unmarshal([]byte(line), &e) == nil && e.Action != "" {
				r.take(e)
			} else {
				fmt.Fprintln(r.out, strings.TrimSuffix(line, "\n"))
			}
		}
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// take takes in one event.
func (r *report) take(e event) {
	key := e.Package + " " + e.Test
	switch e.Action {
	case "build-output":
		fmt.Fprint(r.out, e.Output)
	case "output":
		if r.pending[key] == nil {
			r.pending[key] = &strings.Builder{}
		}
		r.pending[key].WriteString(e.Output)
	case "pass", "fail", "skip":
		r.end(e, key)
	}
}

// end closes a test or, where the event names none, a package.
func (r *report) end(e event, key string) {
	output := ""
	if b := r.pending[key]; b != nil {
		output = b.String()
		delete(r.pending, key)
	}
	if e.Test == "" {
		r.endPackage(e, output)
		return
	}
	switch e.Action {
	case "pass":
		r.passed++
	case "fail":
		r.failed++
		fmt.Fprint(r.out, output)
	case "skip":
		r.skipped++
		r.skips = append(r.skips, fmt.Sprintf("%s %s: %s", e.Package, e.Test, reason(output)))
	}
}

// endPackage prints a package's line; for one that failed, all it printed
// outside its tests too: the shuffle seed, a panic, a leak.
func (r *report) endPackage(e event, output string) {
	if e.Action != "fail" {
		for line := range strings.Lines(output) {
			if strings.HasPrefix(line, "ok ") || strings.HasPrefix(line, "? ") || strings.HasPrefix(line, "\t") {
				fmt.Fprint(r.out, line)
			}
		}
		return
	}
	// A test that never ended, after a panic say, still holds its output.
	for key, b := range r.pending {
		if strings.HasPrefix(key, e.Package+" ") {
			fmt.Fprint(r.out, b.String())
			delete(r.pending, key)
		}
	}
	fmt.Fprint(r.out, output)
	if r.failed == 0 {
		r.failed++ // it did not build, or ended outside any test
	}
}

// reason is what a skipped test said, on one line.
func reason(output string) string {
	var said []string
	for line := range strings.Lines(output) {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "=== ") || strings.HasPrefix(line, "--- ") {
			continue
		}
		// "file_test.go:12: text" -> "text"
		if place, text, ok := strings.Cut(line, ": "); ok && strings.Contains(place, "_test.go:") {
			line = text
		}
		said = append(said, line)
	}
	if len(said) == 0 {
		return "no reason given"
	}
	return strings.Join(said, " ")
}

// close prints the skipped tests and the counts.
func (r *report) close() {
	for _, s := range r.skips {
		fmt.Fprintln(r.out, "skipped:", s)
	}
	fmt.Fprintf(r.out, "%d passed, %d failed, %d skipped\n", r.passed, r.failed, r.skipped)
}
