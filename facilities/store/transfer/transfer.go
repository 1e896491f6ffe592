// Package transfer takes a region's whole history from one store to another,
// and keeps it in a file in between.
package transfer

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"maps"
	"slices"
	"time"

	"surgeonward/facilities/store"
)

// Clock is what a store that versions go into must date them by: it says when the
// version was made that is on its way. Its zero value is ready.
type Clock struct{ at time.Time }

// Now returns the time of the version that is on its way.
func (c *Clock) Now() time.Time { return c.at }

// Versions yields the store's versions from the first to the newest there was at
// the beginning. An error ends it.
func Versions(ctx context.Context, s store.Store) iter.Seq2[*store.Version, error] {
	return func(yield func(*store.Version, error) bool) {
		newest, err := s.Current(ctx)
		if err != nil {
			yield(nil, err)
			return
		}
		for n := int64(1); n <= newest.Number; n++ {
			v, err := s.At(ctx, n)
			if err != nil {
				yield(nil, fmt.Errorf("version %d: %w", n, err))
				return
			}
			if !yield(v, nil) {
				return
			}
		}
	}
}

// ErrNotEmpty says that a store has a region already.
var ErrNotEmpty = errors.New("there is a region already")

// Into puts versions into an empty store whose clock is the given one, and
// returns how many there were. Number, content, who, why, what and when of each
// version are held to what they were; the microseconds of the time may be cut.
// What was put in before an error stays.
func Into(ctx context.Context, s store.Store, clock *Clock, versions iter.Seq2[*store.Version, error]) (count int64, err error) {
	if _, err := s.Current(ctx); !errors.Is(err, store.ErrNotFound) {
		if err == nil {
			err = ErrNotEmpty
		}
		return 0, err
	}
	before := map[string][]byte{}
	for v, err := range versions {
		if err != nil {
			return count, err
		}
		if v.Number != count+1 {
			return count, fmt.Errorf("version %d follows on version %d: one is missing", v.Number, count)
		}
		clock.at = v.At
		got, err := s.Commit(ctx, edit(v, before))
		if err != nil {
			return count, fmt.Errorf("version %d: %w", v.Number, err)
		}
		count++
		if got.Number != v.Number || !slices.Equal(got.Files, v.Files) || got.At.Truncate(time.Microsecond) != v.At.Truncate(time.Microsecond) {
			return count, fmt.Errorf("version %d became another one", v.Number)
		}
		before = v.Content
	}
	return count, nil
}

// edit is what makes a version of the one before.
func edit(v *store.Version, before map[string][]byte) store.Edit {
	e := store.Edit{Base: v.Number - 1, Files: map[string][]byte{}, Entry: store.Entry{Who: v.Who, Why: v.Why, What: v.What, More: v.More}}
	for name := range before {
		if _, there := v.Content[name]; !there {
			e.Files[name] = nil
		}
	}
	for _, name := range slices.Sorted(maps.Keys(v.Content)) {
		content := v.Content[name]
		if old, there := before[name]; !there || string(old) != string(content) {
			e.Files[name] = content
		}
	}
	return e
}
