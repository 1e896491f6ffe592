package record

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// segment is what is known of one file of records.
type segment struct {
	name    string  // in the folder of segments
	first   int64   // no number in it is less
	size    int64   // whole lines, in bytes
	aside   int64   // bytes kept beside it in .torn files
	lines   int     // in size
	entries []entry // sorted by number; only ever added to
	damage  []Damage
	blobs   map[Hash]bool // named by its records
	torn    int64         // bytes of half a line after size
}

// entry says where a record is, and what decides whether it is wanted.
type entry struct {
	number int64
	of     int64 // number of the answer it belongs to; its own: it is the answer
	madeAt time.Time
	offset int64
	length int // without the line's end
}

func (e *entry) isAnswer() bool { return e.of == e.number }

// Damage is a line that cannot be read, and where.
type Damage struct {
	Segment string // file in the folder segments
	Line    int    // from 1
	Offset  int64  // of the line's first byte
	Length  int64  // in bytes, with the line's end
	After   int64  // the record's number is above this
	Before  int64  // and below this; 0: no limit is known
	Reason  string // what the line does
}

func (d *Damage) Error() string {
	return fmt.Sprintf("record damaged: segments/%s line %d (%d bytes from byte %d, %s) %s",
		d.Segment, d.Line, d.Length, d.Offset, d.between(), d.Reason)
}

// between says which numbers the record may have had.
func (d *Damage) between() string {
	if d.Before > 0 {
		return fmt.Sprintf("number above %d, below %d", d.After, d.Before)
	}
	return fmt.Sprintf("number above %d", d.After)
}

// covers reports whether the damaged line can have been the record of a number.
func (d *Damage) covers(number int64) bool {
	return number > d.After && (d.Before == 0 || number < d.Before)
}

var segmentName = regexp.MustCompile(`^(\d{12})\.jsonl$`)

func nameSegment(first int64) string { return fmt.Sprintf("%012d.jsonl", first) }

// parseSegmentName returns 0 for a file that is no segment.
func parseSegmentName(name string) int64 {
	m := segmentName.FindStringSubmatch(name)
	if m == nil {
		return 0
	}
	first, err := strconv.ParseInt(m[1], 10, 64)
	if err != nil || first > MaxNumber {
		return 0
	}
	return first
}

// nameTorn names the file that keeps half a line of a segment.
func nameTorn(segment string, offset int64) string {
	return fmt.Sprintf("%s.at-%d.torn", segment, offset)
}

// tornOf returns the segment that a file keeps half a line of.
func tornOf(name string) (segment string, ok bool) {
	segment, rest, found := strings.Cut(name, ".at-")
	return segment, found && strings.HasSuffix(rest, ".torn")
}

// scan reads a segment from its beginning. Numbers must be above last, the
// highest of the segments before. The error is only that of the reader.
func scan(r io.Reader, name string, first, last int64) (*segment, error) {
	s := &segment{name: name, first: first, blobs: map[Hash]bool{}}
	lines := lineReader{r: bufio.NewReaderSize(r, 64<<10)}
	last = max(last, first-1)
	open := 0 // damage after which no record has been seen
	for {
		line, length, whole, err := lines.next()
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, err
		}
		if length > 0 && !whole {
			s.torn = length
		}
		if !whole {
			return s, nil
		}
		s.lines++
		h, reason := readHead(line, length, last)
		if reason != "" {
			s.damage = append(s.damage, Damage{
				Segment: name, Line: s.lines, Offset: s.size, Length: length, After: last, Reason: reason,
			})
		} else {
			s.add(&h, s.size, len(line))
			for ; open < len(s.damage); open++ {
				s.damage[open].Before = h.Number
			}
			last = h.Number
		}
		s.size += length
	}
}

func readHead(line []byte, length, last int64) (h head, reason string) {
	if length > maxLine {
		return h, fmt.Sprintf("is longer than %d bytes", maxLine)
	}
	h, err := decodeHead(line)
	if err != nil {
		return h, err.Error()
	}
	if h.Number <= last {
		return h, fmt.Sprintf("has the number %d, which is not above %d", h.Number, last)
	}
	return h, ""
}

// add notes a record; its bytes are counted by the caller.
func (s *segment) add(h *head, offset int64, length int) {
	of, _ := ParseID(h.ID) // every head has been checked, or was made here
	s.entries = append(s.entries, entry{h.Number, of, h.MadeAt, offset, length})
	for _, d := range h.Data {
		s.blobs[d.Hash] = true
	}
}

// lineReader splits a text into lines without ever holding more than a record
// may have.
type lineReader struct {
	r   *bufio.Reader
	buf []byte
}

// next returns a line without its end, valid until the next call, and its length
// with it. Whole is false for what follows the last line's end. A line longer than a
// record can be comes back cut short.
func (l *lineReader) next() (line []byte, length int64, whole bool, err error) {
	l.buf = l.buf[:0]
	for {
		part, err := l.r.ReadSlice('\n')
		length += int64(len(part))
		if len(l.buf)+len(part) <= maxLine {
			l.buf = append(l.buf, part...)
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		return bytes.TrimSuffix(l.buf, []byte("\n")), length, err == nil, err
	}
}
