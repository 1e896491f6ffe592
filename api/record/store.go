package record

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"sync"
	"time"
	"unicode/utf8"

	"surgeonward/facilities/disk"
)

// ErrInUse says that another process writes the record.
var ErrInUse = disk.ErrInUse

// ErrClosed says that the record was closed.
var ErrClosed = errors.New("the record is closed")

// Options are how a record is kept. Zero members take the defaults.
type Options struct {
	MaxSegment int64            // bytes after which a new segment is begun; DefaultSegment
	MaxTotal   int64            // bytes of segments and blobs after which the oldest go; DefaultTotal; at least twice MaxSegment
	Now        func() time.Time // the clock; time.Now
}

// The defaults of Options, in bytes. Opening reads every
// segment, about a gigabyte a second where answers are long.
const (
	DefaultSegment = 16 << 20
	DefaultTotal   = 1 << 30
)

func (o Options) orDefault() (Options, error) {
	if o.MaxSegment == 0 {
		o.MaxSegment = DefaultSegment
	}
	if o.MaxTotal == 0 {
		o.MaxTotal = max(DefaultTotal, 2*o.MaxSegment)
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.MaxSegment < 0 || o.MaxSegment > 1<<40 {
		return o, fmt.Errorf("a segment of %d bytes is not 1 to %d", o.MaxSegment, int64(1)<<40)
	}
	if o.MaxTotal/2 < o.MaxSegment {
		return o, fmt.Errorf("a total of %d bytes does not hold two segments of %d: raise it or make segments smaller",
			o.MaxTotal, o.MaxSegment)
	}
	return o, nil
}

// Store is a record that is being written. It is safe for concurrent use.
type Store struct {
	*Reader
	opts Options
	lock io.Closer

	// guarded by Reader.mu
	next    int64      // number of the next record
	pending *batch     // waits for the sync that is running
	running bool       // a flush is running
	idle    *sync.Cond // running became false
	closed  bool
	pins    map[Hash]int // data of records on their way
	blobs   map[Hash]*blobState
	dropped int   // segments dropped since Open
	trouble error // what kept the bound from being held

	blobMu sync.Mutex // held while a blob is written or deleted; taken before Reader.mu

	current disk.File // the newest segment; nil: begin one. Only of the flush.
}

// Stats is what a record has come to.
type Stats struct {
	Segments int
	Records  int
	Bytes    int64 // of segments and blobs
	Dropped  int   // segments dropped since Open to hold the bound
	Trouble  error // why the bound could not be held; nil: it is
}

// Stats counts what is kept.
func (s *Store) Stats() Stats {
	s.mu.Lock()
	defer s.mu.Unlock()
	out := Stats{Segments: len(s.segments), Bytes: s.total(), Dropped: s.dropped, Trouble: s.trouble}
	for _, seg := range s.segments {
		out.Records += len(seg.entries)
	}
	return out
}

// Answer keeps an answer with its question and data and returns its id, once
// all of it is on the disk. A *FreeTextError says that the question holds what must
// not be kept. When ctx ends first, the answer may still be kept, under an id that
// nobody learns.
func (s *Store) Answer(ctx context.Context, a AnswerRecord) (id string, err error) {
	if err := a.check(); err != nil {
		return "", err
	}
	large, err := newBulk(a.Request, a.Answer)
	if err != nil {
		return "", err
	}
	hash := Sum(a.Answer)
	h := head{
		Kind: KindAnswer, Asked: a.Asked, At: a.At.UTC(), MadeAt: s.orNow(a.MadeAt), AnswerHash: &hash, Versions: maps.Clone(a.Versions),
	}
	for _, d := range a.Data {
		h.Data = append(h.Data, Named{d.Name, d.Hash})
	}
	if err := ctx.Err(); err != nil {
		return "", err
	}
	s.pin(h.Data)
	for _, d := range a.Data {
		if err := s.keep(d); err != nil {
			s.unpin(h.Data)
			return "", fmt.Errorf("keep %s: %w", d.Name, err)
		}
	}
	if err := s.append(ctx, &h, large); err != nil {
		return "", err
	}
	return h.ID, nil
}

// Choose notes which option of an answer was taken; the last choice noted
// counts. An option that the answer did not offer may be named: "other", say.
func (s *Store) Choose(ctx context.Context, id, option string, at time.Time) error {
	return s.note(ctx, head{ID: id, Kind: KindChoice, At: at.UTC(), Option: option}, "option id", option)
}

// Fact notes when an activity of the chosen option has ended: "mobilise" at
// lift-off, "with_surgeon" on arrival. The last one noted counts.
func (s *Store) Fact(ctx context.Context, id, what string, at time.Time) error {
	return s.note(ctx, head{ID: id, Kind: KindFact, At: at.UTC(), What: what}, "activity id", what)
}

func (s *Store) note(ctx context.Context, h head, name, value string) error {
	if err := errors.Join(checkToken(name, value), checkTime("at", h.At)); err != nil {
		return err
	}
	number, err := ParseID(h.ID)
	if err != nil {
		return err
	}
	if _, _, err := s.find(number); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	h.ID, h.MadeAt = FormatID(number), s.orNow(time.Time{})
	return s.append(ctx, &h, bulk{})
}

func (s *Store) orNow(t time.Time) time.Time {
	if t.IsZero() {
		t = s.opts.Now()
	}
	return t.UTC().Round(0)
}

// Close waits for what is being written and lets another process write.
func (s *Store) Close() error {
	s.mu.Lock()
	if s.closed {
		s.mu.Unlock()
		return nil
	}
	s.closed = true
	for s.running {
		s.idle.Wait()
	}
	current := s.current
	s.current = nil
	s.mu.Unlock()
	var err error
	if current != nil {
		err = current.Close()
	}
	return errors.Join(err, s.lock.Close())
}

const (
	maxVersions = 50
	maxData     = 100
)

// check reports everything that is wrong with an answer.
func (a *AnswerRecord) check() error {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if err := Check(a.Request); err != nil {
		faults = append(faults, err)
	}
	if n := len(a.Answer); n == 0 || n > MaxAnswer {
		fault("the answer has %d bytes, not 1 to %d", n, MaxAnswer)
	} else if !json.Valid(a.Answer) || !utf8.Valid(a.Answer) {
		fault("the answer is no JSON text: record the JSON form of it")
	}
	faults = append(faults, checkToken("asked", a.Asked), checkTime("at", a.At))
	if !a.MadeAt.IsZero() {
		faults = append(faults, checkTime("made_at", a.MadeAt))
	}
	if len(a.Versions) > maxVersions || len(a.Data) > maxData {
		fault("%d versions and %d data are more than %d and %d", len(a.Versions), len(a.Data), maxVersions, maxData)
		return errors.Join(faults...)
	}
	for _, name := range slices.Sorted(maps.Keys(a.Versions)) {
		faults = append(faults, checkToken("version name", name), checkToken("version "+name, a.Versions[name]))
	}
	for _, d := range a.Data {
		faults = append(faults, checkToken("data name", d.Name))
	}
	return errors.Join(faults...)
}

// checkToken holds names to printing ASCII without spaces, so that none can be
// a sentence.
func checkToken(name, value string) error {
	const longest = 300
	if len(value) == 0 || len(value) > longest {
		return fmt.Errorf("%s has %d characters, not 1 to %d", name, len(value), longest)
	}
	for i := range len(value) {
		if c := value[i]; c <= ' ' || c > '~' {
			return fmt.Errorf("%s %.60q has a space or a character that is not plain ASCII", name, value)
		}
	}
	return nil
}

func checkTime(name string, t time.Time) error {
	if y := t.UTC().Year(); y < 1970 || y > 2200 {
		return fmt.Errorf("%s is in the year %d, not 1970 to 2200", name, y)
	}
	return nil
}
