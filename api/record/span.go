package record

import (
	"errors"
	"iter"
	"math"
	"slices"
	"time"

	"surgeonward/facilities/disk"
)

// Range returns, in the order they were recorded, the answers made from one
// instant to another (not included; a zero time is no limit) and every choice and
// fact that belongs to them, whenever it was noted. It sees what was recorded before
// it began.
//
// Where something cannot be read, it yields the error in place of a record and
// goes on: a *Damage, or ErrNotFound for a segment that was dropped meanwhile.
func (r *Reader) Range(from, to time.Time) iter.Seq2[Record, error] {
	return func(yield func(Record, error) bool) {
		segments := r.snapshots()
		inside, _ := within(segments, from, to, 0, math.MaxInt)
		r.read(segments, inside, yield)
	}
}

// Page is Range for the first so many answers whose numbers are above after,
// with what was recorded before the call. More reports that others follow.
func (r *Reader) Page(from, to time.Time, after int64, most int) (records iter.Seq2[Record, error], more bool) {
	segments := r.snapshots()
	inside, more := within(segments, from, to, after, most)
	return func(yield func(Record, error) bool) { r.read(segments, inside, yield) }, more
}

// Case returns an answer, then its choices and facts in the order they were
// noted. Errors are those of Get. Beside an answer the error joins those of choices and
// facts that cannot be read.
func (r *Reader) Case(id string) ([]Record, error) {
	number, err := ParseID(id)
	if err != nil {
		return nil, err
	}
	answer, err := r.Get(id)
	if err != nil {
		return nil, err
	}
	out := []Record{answer}
	var faults []error
	for _, s := range r.snapshots() {
		notes := func(e *entry) bool { return e.of == number && !e.isAnswer() }
		if s.damage = nil; !slices.ContainsFunc(s.entries, func(e entry) bool { return notes(&e) }) {
			continue
		}
		r.walk(s, notes, func(rec Record, err error) bool {
			if err != nil {
				faults = append(faults, err)
			} else {
				out = append(out, rec)
			}
			return true
		})
	}
	return out, errors.Join(faults...)
}

// within picks the numbers of answers by the index alone.
func within(segments []*segment, from, to time.Time, after int64, most int) (inside map[int64]bool, more bool) {
	inside = map[int64]bool{}
	for _, s := range segments {
		for i := range s.entries {
			e := &s.entries[i]
			if !e.isAnswer() || e.number <= after || e.madeAt.Before(from) || !to.IsZero() && !e.madeAt.Before(to) {
				continue
			}
			if len(inside) >= most {
				return inside, true
			}
			inside[e.number] = true
		}
	}
	return inside, false
}

// read yields the answers inside with what belongs to them.
func (r *Reader) read(segments []*segment, inside map[int64]bool, yield func(Record, error) bool) {
	for _, s := range segments {
		if !r.walk(s, func(e *entry) bool { return inside[e.of] }, yield) {
			return
		}
	}
}

func (r *Reader) snapshots() []*segment {
	r.mu.Lock()
	defer r.mu.Unlock()
	out := make([]*segment, len(r.segments))
	for i, s := range r.segments {
		out[i] = s.snapshot()
	}
	return out
}

// walk yields the wanted records of a segment and its damage, by place. It
// returns false when the caller has had enough.
func (r *Reader) walk(s *segment, want func(*entry) bool, yield func(Record, error) bool) bool {
	damage := s.damage
	report := func(before int64) bool {
		for len(damage) > 0 && damage[0].Offset < before {
			d := damage[0]
			damage = damage[1:]
			if !yield(Record{}, &d) {
				return false
			}
		}
		return true
	}
	var f disk.File // opened for the first wanted record
	for i := range s.entries {
		e := &s.entries[i]
		if !report(e.offset) {
			return false
		}
		if !want(e) {
			continue
		}
		if f == nil {
			var err error
			if f, err = r.open(s); err != nil {
				return yield(Record{}, err)
			}
			defer f.Close() // nothing was written
		}
		h, line, err := readEntry(f, s, *e)
		var rec Record
		if err == nil {
			rec, err = readRecord(s, *e, &h, line)
		}
		if !yield(rec, err) {
			return false
		}
	}
	const end = 1 << 62
	return report(end)
}
