package strictjson

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"

	"github.com/go-json-experiment/json/jsontext"
)

// reader builds the value of a document and stops at the first thing after which
// the rest has no meaning.
type reader struct {
	data    []byte
	dec     *jsontext.Decoder
	lim     Limits
	values  int
	pointer []byte
	cursor  cursor

	stream string // pointer of the array whose items go to item instead of the value
	item   func(i int, value any) error
	faults []Fault
}

// parse returns the value, the faults, and whether the whole text could be read.
func parse(data []byte, lim Limits) (value any, faults []Fault, whole bool) {
	r := &reader{data: data, lim: lim.orDefault()}
	value, whole = r.document()
	return value, r.faults, whole
}

func (r *reader) document() (value any, whole bool) {
	if len(r.data) > r.lim.Bytes {
		r.fault("the document has %s bytes; at most %s are read: split it or take out what is not needed",
			group(len(r.data)), group(r.lim.Bytes))
		return nil, false
	}
	// duplicates are found here, so that one does not hide the next
	r.dec = jsontext.NewDecoder(bytes.NewBuffer(r.data), jsontext.AllowDuplicateNames(true))
	value, whole = r.value(1)
	return value, whole && r.end()
}

func (r *reader) value(depth int) (any, bool) {
	r.values++
	if r.values > r.lim.Values {
		r.faultAt("", "the document holds more than %s values: split it or take out what is not needed", group(r.lim.Values))
		return nil, false
	}
	tok, err := r.dec.ReadToken()
	if err != nil {
		return nil, r.syntax(err)
	}
	switch tok.Kind() {
	case '{', '[':
		if depth > r.lim.Depth {
			r.fault("arrays and objects are nested more than %d deep: flatten the document (%s)", r.lim.Depth, r.place(r.dec.InputOffset()))
			return nil, false
		}
		if tok.Kind() == '{' {
			return r.object(depth)
		}
		return r.array(depth)
	case '"':
		return tok.String(), true
	case '0':
		return r.number(tok.String()), true
	case 't', 'f':
		return tok.Bool(), true
	default:
		return nil, true
	}
}

func (r *reader) object(depth int) (any, bool) {
	object := map[string]any{}
	for r.dec.PeekKind() != '}' {
		at := r.skip(r.dec.InputOffset(), " \t\r\n,")
		tok, err := r.dec.ReadToken()
		if err != nil {
			return nil, r.syntax(err)
		}
		name := tok.String()
		if !r.nameFits(name, at) {
			return nil, false
		}
		outer := len(r.pointer)
		r.pointer = append(append(r.pointer, '/'), pointerEscapes.Replace(name)...)
		if _, twice := object[name]; twice {
			r.fault("field %s is given twice (again at %s): keep one", Quote(name), r.place(at))
		}
		v, ok := r.value(depth + 1)
		if !ok {
			return nil, false
		}
		object[name] = v
		r.pointer = r.pointer[:outer]
	}
	_, err := r.dec.ReadToken()
	return object, err == nil || r.syntax(err)
}

func (r *reader) array(depth int) (any, bool) {
	array := []any{}
	streamed := r.item != nil && string(r.pointer) == r.stream
	// an error that PeekKind meets is returned by the next read
	for i := 0; r.dec.PeekKind() != ']'; i++ {
		outer := len(r.pointer)
		r.pointer = strconv.AppendInt(append(r.pointer, '/'), int64(i), 10)
		v, ok := r.value(depth + 1)
		if !ok {
			return nil, false
		}
		r.pointer = r.pointer[:outer]
		if !streamed {
			array = append(array, v)
		} else if err := r.item(i, v); err != nil {
			r.fault("%v", err)
			return nil, false
		}
	}
	_, err := r.dec.ReadToken()
	return array, err == nil || r.syntax(err)
}

// number returns 0 with a fault for a number that float64 cannot hold.
func (r *reader) number(text string) float64 {
	f, err := strconv.ParseFloat(text, 64)
	if err != nil {
		r.fault("number %s is outside the range of numbers (about ±1.8e308): correct it (%s)", Quote(text), r.place(r.dec.InputOffset()-int64(len(text))))
		return 0
	}
	return f
}

func (r *reader) nameFits(name string, at int64) bool {
	switch {
	case len(name) > maxName:
		r.fault("a field name has %s bytes, at most %d are read: shorten it (%s)", group(len(name)), maxName, r.place(at))
		return false
	case strings.ContainsFunc(name, func(c rune) bool { return !unicode.IsPrint(c) }):
		r.fault("field name %s holds a character that does not print: remove it (%s)", Quote(name), r.place(at))
		return false
	}
	return true
}

// end checks that nothing follows the value.
func (r *reader) end() bool {
	offset := r.dec.InputOffset()
	if _, err := r.dec.ReadToken(); errors.Is(err, io.EOF) {
		return true
	}
	r.faultAt("", "the document goes on after its end: remove what follows (%s)", r.place(r.skip(offset, " \t\r\n")))
	return false
}

// skip returns the first offset from the given one at which none of the bytes stands.
func (r *reader) skip(offset int64, set string) int64 {
	for offset < int64(len(r.data)) && strings.IndexByte(set, r.data[offset]) >= 0 {
		offset++
	}
	return offset
}

func (r *reader) fault(format string, args ...any) { r.faultAt(string(r.pointer), format, args...) }

func (r *reader) faultAt(pointer, format string, args ...any) {
	r.faults = append(r.faults, Fault{Pointer: pointer, Detail: fmt.Sprintf(format, args...)})
}

// group writes a count with thousands separated.
func group(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
