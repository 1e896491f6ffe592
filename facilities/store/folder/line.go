package folder

import (
	"encoding/json"
	"fmt"
	"time"

	"surgeonward/facilities/disk/sealed"
	"surgeonward/facilities/store"
)

// form is that of the journal's lines.
const form sealed.Form = "version"

// maxLine bounds a line: elements quoted in base64, and room for the rest with
// every character escaped as six.
const maxLine = 2*store.MaxFile/3*4 + 4<<20

// line is a version as the journal has it.
type line struct {
	Number int64          `json:"n"`
	At     time.Time      `json:"at"`
	Who    string         `json:"who"`
	Why    string         `json:"why,omitempty"`
	What   []store.Change `json:"what,omitempty"`
	More   int            `json:"more,omitempty"`
	Files  []store.File   `json:"files"`
}

// encodeLine writes a line with its end.
func encodeLine(e *store.Entry) ([]byte, error) {
	body, err := json.Marshal(line(*e))
	if err != nil {
		return nil, err
	}
	return form.End(append(form.Begin(len(body)), body...)), nil
}

// decodeLine reads a line without its end.
func decodeLine(text []byte) (*store.Entry, error) {
	body, err := form.Open(text)
	if err != nil {
		return nil, fmt.Errorf("it %w", err)
	}
	var l line
	if err := json.Unmarshal(body, &l); err != nil {
		return nil, fmt.Errorf("it cannot be read: %w", err)
	}
	if l.Number < 1 {
		return nil, fmt.Errorf("it has the number %d", l.Number)
	}
	e := store.Entry(l)
	e.At = e.At.UTC()
	return &e, nil
}
