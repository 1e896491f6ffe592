package record

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"surgeonward/facilities/disk"
)

// ErrNotFound says that there is no such answer or blob, or not any more.
var ErrNotFound = errors.New("not in the record")

// Reader reads a record. It is safe for concurrent use and holds no file open
// between calls.
type Reader struct {
	files disk.FileSystem
	dir   string

	mu       sync.Mutex
	segments []*segment
}

// OpenReadOnly opens a record to read what was in it at this moment, also
// while another process writes it. It takes no lock and changes nothing.
func OpenReadOnly(dir string) (*Reader, Report, error) { return openReader(disk.Machine{}, dir) }

func openReader(files disk.FileSystem, dir string) (*Reader, Report, error) {
	r := &Reader{files: files, dir: dir}
	err := r.load()
	if errors.Is(err, fs.ErrNotExist) {
		return nil, Report{}, fmt.Errorf("no record is kept in %s: %w", dir, err)
	}
	if err != nil {
		return nil, Report{}, err
	}
	// blobs after segments: what a record names was there before it
	kept, err := listBlobs(files, dir)
	if err != nil {
		return nil, Report{}, err
	}
	return r, r.report(kept.sizes), nil
}

func (r *Reader) segmentPath(name string) string { return filepath.Join(r.dir, "segments", name) }

// load reads every segment.
func (r *Reader) load() error {
	listing, err := r.files.ReadDir(filepath.Join(r.dir, "segments"))
	if err != nil {
		return err
	}
	var last int64
	for _, item := range listing { // sorted by name, which is by number
		first := parseSegmentName(item.Name())
		if first == 0 {
			continue
		}
		s, err := r.scan(item.Name(), first, last)
		if errors.Is(err, fs.ErrNotExist) {
			continue // a writer has dropped it since
		}
		if err != nil {
			return fmt.Errorf("segments/%s: %w", item.Name(), err)
		}
		r.segments = append(r.segments, s)
		if n := len(s.entries); n > 0 {
			last = s.entries[n-1].number
		}
	}
	for _, item := range listing {
		of, isTorn := tornOf(item.Name())
		if !isTorn {
			continue
		}
		if info, err := item.Info(); err == nil {
			if i := slices.IndexFunc(r.segments, func(s *segment) bool { return s.name == of }); i >= 0 {
				r.segments[i].aside += info.Size()
			}
		}
	}
	return nil
}

func (r *Reader) scan(name string, first, last int64) (*segment, error) {
	f, err := r.files.OpenFile(r.segmentPath(name), os.O_RDONLY, 0)
	if err != nil {
		return nil, err
	}
	defer f.Close() // nothing was written
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	return scan(io.NewSectionReader(f, 0, info.Size()), name, first, last)
}

func (r *Reader) report(blobs map[Hash]int64) Report {
	out := Report{Segments: len(r.segments)}
	missing := map[Hash]bool{}
	for _, s := range r.segments {
		out.Records += len(s.entries)
		out.Bytes += s.size + s.aside
		out.Damaged = append(out.Damaged, s.damage...)
		if s.torn > 0 {
			out.Torn = append(out.Torn, Torn{Segment: s.name, Offset: s.size, Length: s.torn})
		}
		for h := range s.blobs {
			if _, ok := blobs[h]; !ok && !missing[h] {
				missing[h] = true
				out.Missing = append(out.Missing, h)
			}
		}
	}
	for _, size := range blobs {
		out.Bytes += size
	}
	slices.SortFunc(out.Missing, func(a, b Hash) int { return slices.Compare(a[:], b[:]) })
	return out
}

// Get returns the answer of an id as a person writes it. An error wraps ErrID
// where the id is misread, ErrNotFound where there is no such answer, or is a *Damage.
func (r *Reader) Get(id string) (Record, error) {
	number, err := ParseID(id)
	if err != nil {
		return Record{}, err
	}
	s, e, err := r.find(number)
	if err != nil {
		return Record{}, err
	}
	f, err := r.open(s)
	if err != nil {
		return Record{}, err
	}
	defer f.Close() // nothing was written
	h, line, err := readEntry(f, s, e)
	if err != nil {
		return Record{}, err
	}
	return readRecord(s, e, &h, line)
}

// find returns where an answer is, with a segment that no longer changes.
func (r *Reader) find(number int64) (*segment, entry, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	i, found := slices.BinarySearchFunc(r.segments, number, func(s *segment, n int64) int { return cmp.Compare(s.first, n) })
	if !found {
		i--
	}
	if i < 0 {
		return nil, entry{}, fmt.Errorf("%w: answer %s; the oldest may have been dropped", ErrNotFound, FormatID(number))
	}
	s := r.segments[i]
	j, found := slices.BinarySearchFunc(s.entries, number, func(e entry, n int64) int { return cmp.Compare(e.number, n) })
	if found && s.entries[j].isAnswer() {
		return s.snapshot(), s.entries[j], nil
	}
	if !found {
		for k := range s.damage {
			if s.damage[k].covers(number) {
				d := s.damage[k]
				return nil, entry{}, &d
			}
		}
	}
	return nil, entry{}, fmt.Errorf("%w: answer %s", ErrNotFound, FormatID(number))
}

// snapshot is what stays true of a segment while records are added to it.
func (s *segment) snapshot() *segment {
	return &segment{name: s.name, first: s.first, entries: s.entries, damage: s.damage}
}

func (r *Reader) open(s *segment) (disk.File, error) {
	f, err := r.files.OpenFile(r.segmentPath(s.name), os.O_RDONLY, 0)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%w: segments/%s, dropped with the oldest or deleted", ErrNotFound, s.name)
	}
	return f, err
}

// readEntry reads a line and its head. What was whole when it was written may
// have decayed since.
func readEntry(f disk.File, s *segment, e entry) (head, []byte, error) {
	line := make([]byte, e.length)
	if _, err := f.ReadAt(line, e.offset); err != nil && !errors.Is(err, io.EOF) {
		return head{}, nil, fmt.Errorf("segments/%s: %w", s.name, err)
	}
	h, err := decodeHead(line)
	if err == nil && h.Number != e.number {
		err = fmt.Errorf("has the number %d in place of %d", h.Number, e.number)
	}
	if err != nil {
		return head{}, nil, s.damaged(e, err)
	}
	return h, line, nil
}

func readRecord(s *segment, e entry, h *head, line []byte) (Record, error) {
	rec, err := decodeLine(h, line)
	if err != nil {
		return Record{}, s.damaged(e, err)
	}
	return rec, nil
}

// damaged reports a record whose place in the order is known.
func (s *segment) damaged(e entry, err error) *Damage {
	line := 1 + len(s.damage)
	for _, d := range s.damage {
		if d.Offset > e.offset {
			line--
		}
	}
	i, _ := slices.BinarySearchFunc(s.entries, e.number, func(e entry, n int64) int { return cmp.Compare(e.number, n) })
	return &Damage{
		Segment: s.name, Line: line + i, Offset: e.offset, Length: int64(e.length) + 1,
		After: e.number - 1, Before: e.number + 1, Reason: err.Error(),
	}
}
