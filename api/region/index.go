package region

import (
	"context"
	"errors"
	"slices"
	"sync"

	"surgeonward/facilities/store"
)

// index knows the content hashes of versions, as answers have them: they do not
// depend on how a file is laid out, and so are not the store's own.
type index struct {
	mu       sync.Mutex
	versions map[int64]Hashes
	words    map[string]string // each hash once: most versions share most of theirs
}

func (x *index) note(number int64, h Hashes) {
	x.mu.Lock()
	defer x.mu.Unlock()
	if x.versions == nil {
		x.versions, x.words = map[int64]Hashes{}, map[string]string{}
	}
	for _, word := range []*string{&h.Parameters, &h.Facilities, &h.Fleet, &h.Roads} {
		if known, ok := x.words[*word]; ok {
			*word = known
		} else {
			x.words[*word] = *word
		}
	}
	x.versions[number] = h
}

func (x *index) of(number int64) (Hashes, bool) {
	x.mu.Lock()
	defer x.mu.Unlock()
	h, ok := x.versions[number]
	return h, ok
}

// Has reports whether the hash is one of the content hashes.
func (h Hashes) Has(hash string) bool {
	return hash != "" && (hash == h.Parameters || hash == h.Facilities || hash == h.Fleet || hash == h.Roads)
}

// Using returns the numbers of the versions, ascending, whose data has a hash:
// one that an answer names under its versions, or a file's SHA-256. Versions
// from before the program was started are read again the first time; where ctx
// ends before that is done, the next call goes on from there. A version that is
// damaged is passed over.
func (l *Live) Using(ctx context.Context, hash string) ([]int64, error) {
	var numbers []int64
	var raw store.Hash
	if err := raw.UnmarshalText([]byte(hash)); err == nil {
		if numbers, err = l.store.Using(ctx, raw); err != nil {
			return nil, err
		}
	}
	for last := l.held.Load().Version.Number; last > 0; last-- {
		h, err := l.hashesOf(ctx, last)
		if errors.Is(err, store.ErrNotFound) {
			break // a store may have let go of its oldest versions
		}
		if errors.Is(err, store.ErrDamaged) {
			continue // one that is lost must not hide those before it
		}
		if err != nil {
			return nil, err
		}
		if h.Has(hash) {
			numbers = append(numbers, last)
		}
	}
	slices.Sort(numbers)
	return slices.Compact(numbers), nil
}

// hashesOf returns a version's content hashes; none where it cannot be read by
// the rules of this program.
func (l *Live) hashesOf(ctx context.Context, number int64) (Hashes, error) {
	if h, ok := l.index.of(number); ok {
		return h, nil
	}
	v, err := l.store.At(ctx, number)
	if err != nil {
		return Hashes{}, err
	}
	var h Hashes
	// Not through the loader: it keeps what is served.
	if r, _ := fromFiles(v.Content, l.Region()); r != nil {
		h = r.Hashes
	}
	l.index.note(number, h)
	return h, nil
}

// HashesOf returns the content hashes of a version's data, as answers have them.
func (l *Live) HashesOf(ctx context.Context, number int64) (Hashes, error) {
	return l.hashesOf(ctx, number)
}
