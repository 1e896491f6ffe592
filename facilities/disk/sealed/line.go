// Package sealed has lines of JSON that carry a checksum of themselves, for
// journals that are only added to: whoever reads one back knows whether a crash
// or a failing disk has touched it. A line is
//
//	{"format":1,"crc32c":"e3069283","NAME":...}
//
// where the sum is over all that follows the comma after it.
package sealed

import (
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
)

const (
	start     = `{"format":1,"crc32c":"`
	sumDigits = 8
	sumEnd    = `",`

	// BodyFrom is where the part of a line begins that the sum is over.
	BodyFrom = len(start) + sumDigits + len(sumEnd)
)

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// Sum is the CRC-32C of a line's body in 8 hexadecimal digits. It finds what
// happens by accident and nothing that is done on purpose.
func Sum(body []byte) string { return fmt.Sprintf("%08x", crc32.Checksum(body, castagnoli)) }

// Form is a kind of line, by the name of the member that has its content.
type Form string

func (f Form) bodyStart() string { return `"` + string(f) + `":` }

// Begin is the beginning of a line up to its content, for which there is room
// for so many bytes. The caller appends one JSON value, and further members if it
// likes, and calls End.
func (f Form) Begin(room int) []byte {
	line := make([]byte, 0, BodyFrom+len(f.bodyStart())+room+2)
	return append(line, start+"00000000"+sumEnd+f.bodyStart()...)
}

// End completes a line that Begin began, its line break included.
func (f Form) End(line []byte) []byte {
	line = append(line, '}')
	copy(line[len(start):], Sum(line[BodyFrom:]))
	return append(line, '\n')
}

// Open returns what Begin's caller appended to a line, which is without its line
// break. The error says what is wrong with it, to be read after "it".
func (f Form) Open(line []byte) ([]byte, error) {
	switch {
	case len(line) < BodyFrom || !bytes.HasPrefix(line, []byte(start)):
		if bytes.HasPrefix(line, []byte(`{"format":`)) && len(line) >= BodyFrom {
			return nil, errors.New("is of another format than 1: written by a later version, or damaged")
		}
		return nil, fmt.Errorf("does not begin as a %s does", f)
	case string(line[len(start):BodyFrom]) != Sum(line[BodyFrom:])+sumEnd:
		return nil, errors.New("does not match its checksum")
	case !bytes.HasPrefix(line[BodyFrom:], []byte(f.bodyStart())) || line[len(line)-1] != '}':
		return nil, fmt.Errorf("holds no %s", f)
	}
	return line[BodyFrom+len(f.bodyStart()) : len(line)-1], nil
}
