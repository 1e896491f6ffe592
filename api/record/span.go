package record

import (
	"iter"
	"time"
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
		inside := map[string]bool{}
		want := func(h *head) bool {
			if h.Kind == KindAnswer && !h.MadeAt.Before(from) && (to.IsZero() || h.MadeAt.Before(to)) {
				inside[h.ID] = true
			}
			return inside[h.ID]
		}
		for _, s := range r.snapshots() {
			if !r.walk(s, want, yield) {
				return
			}
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
func (r *Reader) walk(s *segment, want func(*head) bool, yield func(Record, error) bool) bool {
	if len(s.entries)+len(s.damage) == 0 {
		return true
	}
	f, err := r.open(s)
	if err != nil {
		return yield(Record{}, err)
	}
	defer f.Close() // nothing was written
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
	for _, e := range s.entries {
		if !report(e.offset) {
			return false
		}
		h, line, err := readEntry(f, s, e)
		if err == nil && !want(&h) {
			continue
		}
		var rec Record
		if err == nil {
			rec, err = readRecord(s, e, &h, line)
		}
		if !yield(rec, err) {
			return false
		}
	}
	const end = 1 << 62
	return report(end)
}
