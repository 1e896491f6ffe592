package api

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"surgeonward/facilities/strictjson"
)

// firstDifference says where two JSON texts first differ, and how; empty: only
// in values below the member of the outermost object that is passed over, or in white
// space and in how a text or a number is written.
func firstDifference(recorded, now []byte, passOver string) string {
	a, b := jsontext.NewDecoder(bytes.NewReader(recorded)), jsontext.NewDecoder(bytes.NewReader(now))
	for {
		x, errX := a.ReadToken()
		y, errY := b.ReadToken()
		if errX != nil || errY != nil {
			return "" // both at once: an end before the other's is a difference in an earlier token
		}
		if x.Kind() == y.Kind() && x.String() == y.String() {
			continue
		}
		if inside(a, passOver) && inside(b, passOver) && !ends(x) && !ends(y) {
			continue
		}
		before, after := place(string(a.StackPointer()), recorded), place(string(b.StackPointer()), now)
		switch {
		case ends(x):
			return after + ": not in the recorded one"
		case ends(y):
			return before + ": only in the recorded one"
		case before != after:
			return fmt.Sprintf("recorded %s, now %s in its place", before, after)
		}
		return fmt.Sprintf("%s: recorded %s, now %s", before, brief(x), brief(y))
	}
}

// inside reports whether the last token read is the value of a member, or below
// it.
func inside(d *jsontext.Decoder, member string) bool {
	at := string(d.StackPointer())
	return at == "/"+member || strings.HasPrefix(at, "/"+member+"/")
}

// ends reports whether the token ends an array or an object.
func ends(t jsontext.Token) bool { return t.Kind() == ']' || t.Kind() == '}' }

// brief is a token as far as a line has room for it.
func brief(t jsontext.Token) string {
	const room = 120
	switch t.Kind() {
	case '{':
		return "an object"
	case '[':
		return "a list"
	case '"':
		text := []rune(t.String())
		if len(text) > room {
			text = append(text[:room], '…')
		}
		return strconv.Quote(string(text))
	}
	return t.String()
}

// place is a JSON Pointer, with the id of the innermost thing on the way that
// has one: an index alone says little.
func place(pointer string, text []byte) string {
	value, _ := strictjson.Parse(text, strictjson.Limits{Bytes: len(text), Values: len(text)})
	id := ""
	for token := range strings.SplitSeq(strings.TrimPrefix(pointer, "/"), "/") {
		token = strings.NewReplacer("~1", "/", "~0", "~").Replace(token)
		switch v := value.(type) {
		case map[string]any:
			value = v[token]
		case []any:
			i, err := strconv.Atoi(token)
			if err != nil || i < 0 || i >= len(v) {
				value = nil
				break
			}
			value = v[i]
		default:
			value = nil
		}
		if object, ok := value.(map[string]any); ok {
			if named, ok := object["id"].(string); ok {
				id = named
			}
		}
	}
	if id == "" {
		return pointer
	}
	return pointer + " (of " + id + ")"
}
