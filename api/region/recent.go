package region

import (
	"context"
	"maps"
	"slices"
	"sync"

	"surgeonward/facilities/store"
)

// MaxSince is how many versions Entries returns.
const MaxSince = 256

// ring keeps the latest entries, without what the elements looked like, so that
// many listeners do not all ask the store.
type ring struct {
	mu      sync.Mutex
	entries map[int64]store.Entry
	newest  int64
}

func (r *ring) keep(entries ...*store.Entry) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.add(entries...)
}

func (r *ring) add(entries ...*store.Entry) {
	if r.entries == nil {
		r.entries = map[int64]store.Entry{}
	}
	for _, e := range entries {
		short := *e
		short.What = slices.Clone(e.What)
		for i := range short.What {
			short.What[i].Before, short.What[i].After = nil, nil
		}
		r.entries[e.Number] = short
		r.newest = max(r.newest, e.Number)
	}
	if len(r.entries) > 2*MaxSince {
		maps.DeleteFunc(r.entries, func(n int64, _ store.Entry) bool { return n < r.newest-MaxSince })
	}
}

// between returns the entries from..to, or nil where one is not kept.
func (r *ring) between(from, to int64) []store.Entry {
	out := make([]store.Entry, 0, to-from+1)
	for n := from; n <= to; n++ {
		e, ok := r.entries[n]
		if !ok {
			return nil
		}
		out = append(out, e)
	}
	return out
}

// Entries returns what the versions after a number changed, up to the one that is
// served, the oldest first and without the elements' texts. Of more than
// MaxSince versions it returns none, and false.
func (l *Live) Entries(ctx context.Context, after int64) ([]store.Entry, bool, error) {
	to := l.held.Load().Version.Number
	if after >= to {
		return nil, true, nil
	}
	if after < 0 || to-after > MaxSince {
		return nil, false, nil
	}
	l.ring.mu.Lock()
	defer l.ring.mu.Unlock()
	if kept := l.ring.between(after+1, to); kept != nil {
		return kept, true, nil
	}
	ctx, cancel := context.WithTimeout(ctx, patience) // others wait behind this
	defer cancel()
	entries, err := l.store.History(ctx, to+1, int(to-after))
	if err != nil {
		return nil, false, err
	}
	for i := range entries {
		l.ring.add(&entries[i])
	}
	kept := l.ring.between(after+1, to)
	return kept, kept != nil, nil
}
