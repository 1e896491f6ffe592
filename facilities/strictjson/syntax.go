package strictjson

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
)

// syntax records the fault for an error of the tokenizer and returns false.
func (r *reader) syntax(err error) bool {
	offset := r.dec.InputOffset()
	var se *jsontext.SyntacticError
	if errors.As(err, &se) {
		offset = se.ByteOffset
	}
	offset = min(max(offset, 0), int64(len(r.data)))
	place := r.place(offset)
	rest := r.data[offset:]
	switch {
	case len(bytes.TrimLeft(r.data, " \t\r\n")) == 0:
		r.faultAt("", "the document is empty")
	case hasMark(r.data):
		r.faultAt("", "the document starts with a byte order mark: save it as plain UTF-8 without one")
	case errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF):
		r.fault("the document ends in the middle of a value: it may have been cut short (%s)", place)
	case len(rest) > 0 && !utf8.FullRune(rest) || badRune(rest):
		r.fault("the text is not valid UTF-8: save it as UTF-8 (%s)", place)
	default:
		r.fault("not valid JSON: %s (%s)", r.explain(offset), place)
	}
	return false
}

func hasMark(data []byte) bool {
	for _, mark := range []string{"\xef\xbb\xbf", "\xff\xfe", "\xfe\xff"} {
		if bytes.HasPrefix(data, []byte(mark)) {
			return true
		}
	}
	return false
}

func badRune(b []byte) bool {
	c, size := utf8.DecodeRune(b)
	return c == utf8.RuneError && size == 1
}

// explain says what stands at the offset in the words of someone who edits the file.
func (r *reader) explain(offset int64) string {
	rest := r.data[offset:]
	c, size := utf8.DecodeRune(rest)
	next, _ := utf8.DecodeRune(bytes.TrimLeft(rest[size:], " \t\r\n"))
	switch {
	case len(rest) == 0:
		return "the end comes too early"
	case bytes.HasPrefix(rest, []byte("//")) || bytes.HasPrefix(rest, []byte("/*")):
		return "comments are not allowed"
	case c == '\'':
		return "use double quotes, not single ones"
	case c == ',' && (next == '}' || next == ']'):
		return "remove the comma before " + Quote(string(next))
	case startsWithFold(rest, "nan") || startsWithFold(rest, "inf") || startsWithFold(rest, "-inf"):
		return "NaN and Infinity are not JSON numbers: give a number or leave the field out"
	case c < ' ':
		return "a control character must be written as an escape, such as \\n"
	case c == '\\':
		return "unknown escape in a string"
	case c == '"':
		return "a comma or colon is missing before the quotation mark"
	}
	return "unexpected " + Quote(string(c))
}

func startsWithFold(b []byte, word string) bool {
	return len(b) >= len(word) && strings.EqualFold(string(b[:len(word)]), word)
}

// cursor is a place in the text that only moves forward as long as it can, so that
// naming the place of many faults reads the text once.
type cursor struct {
	offset       int64
	line, column int
}

// place says where an offset is: lines and columns count from 1, columns in characters.
func (r *reader) place(offset int64) string {
	offset = min(max(offset, 0), int64(len(r.data)))
	if offset < r.cursor.offset || r.cursor.line == 0 {
		r.cursor = cursor{line: 1, column: 1}
	}
	for _, b := range r.data[r.cursor.offset:offset] {
		switch {
		case b == '\n':
			r.cursor.line++
			r.cursor.column = 1
		case utf8.RuneStart(b):
			r.cursor.column++
		}
	}
	r.cursor.offset = offset
	return fmt.Sprintf("line %d, column %d", r.cursor.line, r.cursor.column)
}
