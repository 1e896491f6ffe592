package store

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// More reasons a store refuses.
var (
	ErrEdit   = errors.New("the edit cannot be taken") // what is asked for is not within the limits; nothing was changed
	ErrClosed = errors.New("the store is closed")
)

// InvalidError says that the files as an edit would leave them cannot be used:
// nothing was changed.
type InvalidError struct{ Faults []Fault }

func (e *InvalidError) Error() string { return "the files cannot be used" + sentences(e.Faults) }

// sentences lists the first faults.
func sentences(faults []Fault) string {
	const most = 3
	var out strings.Builder
	for i, f := range faults {
		switch {
		case i == most:
			fmt.Fprintf(&out, "; and %d more", len(faults)-most)
			return out.String()
		case i == 0:
			out.WriteString(": " + f.String())
		default:
			out.WriteString("; " + f.String())
		}
	}
	return out.String()
}

// ByHandError says that an edit would write over files that somebody changed by
// hand and that cannot be used as they stand: nothing was changed.
type ByHandError struct{ Faults []Fault }

func (e *ByHandError) Error() string {
	return "a file was changed by hand and is not taken: mend it or put it back first" + sentences(e.Faults)
}

// String returns the fault on one line.
func (f Fault) String() string {
	where := f.File
	if f.Element != "" {
		where += " " + f.Element
	}
	if f.Pointer != "" {
		where += " " + f.Pointer
	}
	if where == "" {
		return f.Detail
	}
	return where + ": " + f.Detail
}

// maxElements bounds what an entry quotes of its elements, in bytes: one
// element as large as a file, before and after.
const maxElements = 2 * MaxFile

// Check says everything that is wrong with an edit of a region whose files have
// the given names; the error wraps ErrEdit. It does not look into the files.
func (e *Edit) Check(names []string) error {
	faults := []error{checkLine("who made it", e.Who, true), checkText("the reason", e.Why)}
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if e.Base < 0 {
		fault("its base is version %d: versions count from 1", e.Base)
	}
	if len(e.Files) == 0 {
		fault("it names no file")
	}
	for _, name := range slices.Sorted(maps.Keys(e.Files)) {
		if !slices.Contains(names, name) {
			fault("file %.60q is none of the region's: %s", name, strings.Join(names, ", "))
		}
		if n := len(e.Files[name]); n > MaxFile {
			fault("file %.60q has %d bytes, at most %d are kept", name, n, MaxFile)
		}
	}
	if n := len(e.What); n > MaxChanges {
		fault("it names %d elements, at most %d: count the others", n, MaxChanges)
	}
	if e.More < 0 {
		fault("it counts %d more elements", e.More)
	}
	quoted := 0
	for i := range e.What {
		c := &e.What[i]
		quoted += len(c.Before) + len(c.After)
		faults = append(faults, checkLine("an action", c.Action, true), checkLine("an element", c.Element, false))
		if !slices.Contains(names, c.File) {
			fault("element %.60q is in the file %.60q, which is none of the region's", c.Element, c.File)
		}
	}
	if quoted > maxElements {
		fault("it quotes %d bytes of elements, at most %d", quoted, maxElements)
	}
	if err := errors.Join(faults...); err != nil {
		return fmt.Errorf("%w: %w", ErrEdit, err)
	}
	return nil
}

// checkLine allows one line of text.
func checkLine(what, text string, needed bool) error {
	if needed && text == "" {
		return fmt.Errorf("%s is not said", what)
	}
	if i := strings.IndexFunc(text, unicode.IsControl); i >= 0 {
		return fmt.Errorf("%s holds a control character: remove it", what)
	}
	return checkText(what, text)
}

// checkText allows several lines of text.
func checkText(what, text string) error {
	switch n := utf8.RuneCountInString(text); {
	case n > MaxText:
		return fmt.Errorf("%s has %d characters, at most %d are kept", what, n, MaxText)
	case !utf8.ValidString(text):
		return fmt.Errorf("%s is not valid UTF-8", what)
	case strings.ContainsFunc(text, func(c rune) bool { return unicode.IsControl(c) && c != '\n' && c != '\t' }):
		return fmt.Errorf("%s holds a control character: remove it", what)
	}
	return nil
}

// Apply returns the files as an edit leaves them, with copies of what it
// brings, and whether that changes anything.
func (e *Edit) Apply(before map[string][]byte) (after map[string][]byte, changed bool) {
	after = make(map[string][]byte, len(before)+len(e.Files))
	maps.Copy(after, before)
	for name, content := range e.Files {
		old, there := before[name]
		switch {
		case content == nil:
			delete(after, name)
			changed = changed || there
		case !there || string(old) != string(content):
			after[name] = append([]byte{}, content...)
			changed = true
		}
	}
	return after, changed
}

// Clone returns a copy that shares nothing with the entry.
func (e *Entry) Clone() Entry {
	out := *e
	out.What = slices.Clone(e.What)
	for i := range out.What {
		c := &out.What[i]
		c.Before, c.After = slices.Clone(c.Before), slices.Clone(c.After)
	}
	out.Files = slices.Clone(e.Files)
	return out
}

// Describe lists files by their content, in the order of their names.
func Describe(files map[string][]byte) []File {
	out := make([]File, 0, len(files))
	for _, name := range slices.Sorted(maps.Keys(files)) {
		out = append(out, File{name, Sum(files[name]), int64(len(files[name]))})
	}
	return out
}

// Limit cuts a list of changes to those that an entry may name and counts the
// rest.
func Limit(changes []Change) (what []Change, more int) {
	quoted := 0
	for i := range changes {
		c := &changes[i]
		size := len(c.Before) + len(c.After)
		if len(what) == MaxChanges || quoted+size > maxElements ||
			checkLine("an action", c.Action, true) != nil || checkLine("an element", c.Element, false) != nil {
			more++
			continue
		}
		quoted += size
		what = append(what, *c)
	}
	return what, more
}
