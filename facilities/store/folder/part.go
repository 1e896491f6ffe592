package folder

import (
	"bytes"
	"encoding/json"
	"fmt"

	"surgeonward/facilities/store"
)

// A part is what makes a content from another: a line of JSON, and the bytes
// that take the place of some. An edit of one element is short, however long its file.
type part struct {
	Of  store.Hash `json:"of"`
	At  int        `json:"at"`  // bytes that are the same before
	Cut int        `json:"cut"` // bytes of the other that are left out there
}

// split writes a content as a part of another.
func split(of store.Hash, other, content []byte) []byte {
	most := min(len(other), len(content))
	head := 0
	for head < most && other[head] == content[head] {
		head++
	}
	tail := 0
	for tail < most-head && other[len(other)-1-tail] == content[len(content)-1-tail] {
		tail++
	}
	line, err := json.Marshal(part{of, head, len(other) - head - tail})
	if err != nil {
		return content // never: there is nothing in it that cannot be written
	}
	return append(append(line, '\n'), content[head:len(content)-tail]...)
}

// join makes a content of a part.
func (c *contents) join(text []byte, deep int) ([]byte, error) {
	line, put, found := bytes.Cut(text, []byte("\n"))
	var p part
	if err := json.Unmarshal(line, &p); err != nil || !found {
		return nil, fmt.Errorf("%w: its part is damaged", errDecayed)
	}
	if deep == 0 {
		return nil, fmt.Errorf("%w: it is made from more than %d others", errDecayed, deepest)
	}
	other, err := c.getFrom(p.Of, deep-1)
	if err != nil {
		return nil, err
	}
	if p.At < 0 || p.Cut < 0 || p.At > len(other) || p.Cut > len(other)-p.At || len(put) > store.MaxFile {
		return nil, fmt.Errorf("%w: its part is damaged", errDecayed)
	}
	out := make([]byte, 0, len(other)-p.Cut+len(put))
	out = append(append(out, other[:p.At]...), put...)
	return append(out, other[p.At+p.Cut:]...), nil
}
