package position

import (
	"fmt"
	"strings"
	"unicode"
)

// Error says why a text or a point was refused. It quotes no more of the text than
// a short piece, and never a control character, so it can go into a log line or
// onto a page as it is.
type Error struct {
	Reason string // what is wrong: "minutes 75 are not below 60"
	Hint   string // how to write it: "carry whole degrees over"
}

// Error returns the reason and the hint in one sentence.
func (e *Error) Error() string {
	if e.Hint == "" {
		return e.Reason
	}
	return e.Reason + "; " + e.Hint
}

// refuse makes an Error; the reason is a format for args, whose strings are cut
// short by excerpt.
func refuse(hint, reason string, args ...any) *Error {
	for i, arg := range args {
		if s, ok := arg.(string); ok {
			args[i] = excerpt(s)
		}
	}
	return &Error{Reason: fmt.Sprintf(reason, args...), Hint: hint}
}

// excerpt keeps the first 20 runes, with anything unprintable made a question mark.
func excerpt(s string) string {
	const limit = 20
	var b strings.Builder
	for i, r := range []rune(s) {
		if i == limit {
			b.WriteString("...")
			break
		}
		if !unicode.IsPrint(r) {
			r = '?'
		}
		b.WriteRune(r)
	}
	return b.String()
}
