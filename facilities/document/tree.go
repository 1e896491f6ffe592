package document

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/go-json-experiment/json/jsontext"
)

// ErrSyntax says that a text is no single JSON value, by RFC 8259 and with no
// member twice in an object.
var ErrSyntax = errors.New("not a JSON text")

// valid holds a text to ErrSyntax. Everything below relies on it.
func valid(text []byte) error {
	dec := jsontext.NewDecoder(bytes.NewBuffer(text))
	err := dec.SkipValue()
	if err == nil {
		if _, err = dec.ReadToken(); errors.Is(err, io.EOF) {
			return nil
		}
		if err == nil {
			err = fmt.Errorf("it goes on after its end, at byte %d", dec.InputOffset())
		}
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		err = errors.New("it ends too early")
	}
	return fmt.Errorf("%w: %w", ErrSyntax, err)
}

// tree says where the values of a valid JSON text are. The value of a node is
// followed by its children, each with all of its own.
type tree struct {
	text  []byte
	nodes []node
}

type node struct {
	kind       byte // first byte of the value, '0' for every number
	start, end int  // of the value
	from       int  // of the member's name, or start
	next       int  // the node after all below this one
	name       string
	hash       uint64 // the same for values that are equal
}

// grow reads the value that begins at or after a byte.
func grow(text []byte, at int) *tree {
	t := &tree{text: text}
	t.value(space(text, at), "")
	return t
}

func (t *tree) value(at int, name string) (end int) {
	i := len(t.nodes)
	n := node{kind: kindOf(t.text[at]), start: at, from: at, name: name}
	t.nodes = append(t.nodes, n)
	switch n.kind {
	case '{', '[':
		end = t.children(i, at+1)
	default:
		end = skipScalar(t.text, at)
	}
	t.nodes[i].end, t.nodes[i].next = end, len(t.nodes)
	t.nodes[i].hash = t.digest(i)
	return end
}

func (t *tree) children(parent, at int) (end int) {
	for {
		at = space(t.text, at)
		switch t.text[at] {
		case '}', ']':
			return at + 1
		case ',':
			at = space(t.text, at+1)
		}
		child, from, name := len(t.nodes), at, ""
		if t.nodes[parent].kind == '{' {
			at = skipScalar(t.text, from)
			name = unquote(t.text[from:at])
			at = space(t.text, at) + 1 // the colon
			at = space(t.text, at)
		}
		at = t.value(at, name)
		t.nodes[child].from = from
	}
}

// below lists the children of a node.
func (t *tree) below(i int) []int {
	var out []int
	for c := i + 1; c < t.nodes[i].next; c = t.nodes[c].next {
		out = append(out, c)
	}
	return out
}

// named returns the children of an object by their names.
func (t *tree) named(i int) map[string]int {
	out := map[string]int{}
	if t.nodes[i].kind == '{' {
		for _, c := range t.below(i) {
			out[t.nodes[c].name] = c
		}
	}
	return out
}

func (t *tree) raw(i int) []byte { return t.text[t.nodes[i].start:t.nodes[i].end] }

// rawName is the text of a member's name.
func (t *tree) rawName(i int) []byte {
	from := t.nodes[i].from
	return t.text[from:skipScalar(t.text, from)]
}

func kindOf(c byte) byte {
	if c == '-' || c >= '0' && c <= '9' {
		return '0'
	}
	return c
}

// space returns the first byte at or after one that is no white space.
func space(text []byte, at int) int {
	for at < len(text) && (text[at] == ' ' || text[at] == '\n' || text[at] == '\r' || text[at] == '\t') {
		at++
	}
	return at
}

// skipScalar returns the end of a string, number or word.
func skipScalar(text []byte, at int) int {
	if text[at] == '"' {
		for at++; text[at] != '"'; at++ {
			if text[at] == '\\' {
				at++
			}
		}
		return at + 1
	}
	for at < len(text) && bytes.IndexByte([]byte(" \n\r\t,:]}"), text[at]) < 0 {
		at++
	}
	return at
}

// skip returns the end of any value.
func skip(text []byte, at int) int {
	if text[at] != '{' && text[at] != '[' {
		return skipScalar(text, at)
	}
	for depth := 0; ; {
		switch text[at] {
		case '"':
			at = skipScalar(text, at)
			continue
		case '{', '[':
			depth++
		case '}', ']':
			depth--
		}
		at++
		if depth == 0 {
			return at
		}
	}
}

func unquote(quoted []byte) string {
	if bytes.IndexByte(quoted, '\\') < 0 {
		return string(quoted[1 : len(quoted)-1])
	}
	text, _ := jsontext.AppendUnquote(nil, quoted) // the text was found valid
	return string(text)
}
