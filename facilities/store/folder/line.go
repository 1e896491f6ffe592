package folder

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"time"

	"surgeonward/facilities/store"
)

const (
	lineStart = `{"format":1,"crc32c":"`
	sumDigits = 8
	sumEnd    = `",`
	bodyStart = `"version":`
	bodyFrom  = len(lineStart) + sumDigits + len(sumEnd)

	// maxLine bounds a line: elements quoted in base64, and room for the rest with
	// every character escaped as six.
	maxLine = 2*store.MaxFile/3*4 + 4<<20
)

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

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
	out := append(make([]byte, 0, bodyFrom+len(bodyStart)+len(body)+2), lineStart+"00000000"+sumEnd+bodyStart...)
	out = append(append(out, body...), '}')
	copy(out[len(lineStart):], checksum(out[bodyFrom:]))
	return append(out, '\n'), nil
}

func checksum(body []byte) string { return fmt.Sprintf("%08x", crc32.Checksum(body, castagnoli)) }

// decodeLine reads a line without its end.
func decodeLine(text []byte) (*store.Entry, error) {
	switch {
	case len(text) < bodyFrom || !bytes.HasPrefix(text, []byte(lineStart)):
		if bytes.HasPrefix(text, []byte(`{"format":`)) && len(text) >= bodyFrom {
			return nil, errors.New("it is of another format than 1: written by a later version, or damaged")
		}
		return nil, errors.New("it does not begin as a version does")
	case string(text[len(lineStart):bodyFrom]) != checksum(text[bodyFrom:])+sumEnd:
		return nil, errors.New("it does not match its checksum")
	case !bytes.HasPrefix(text[bodyFrom:], []byte(bodyStart)) || text[len(text)-1] != '}':
		return nil, errors.New("it holds no version")
	}
	var l line
	if err := json.Unmarshal(text[bodyFrom+len(bodyStart):len(text)-1], &l); err != nil {
		return nil, fmt.Errorf("it cannot be read: %w", err)
	}
	if l.Number < 1 {
		return nil, fmt.Errorf("it has the number %d", l.Number)
	}
	e := store.Entry(l)
	e.At = e.At.UTC()
	return &e, nil
}
