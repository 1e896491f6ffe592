package store

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"sync"
	"time"
)

// InMemory is a store whose versions are lost when the program ends: for the
// embedded demonstration region, and for tests.
type InMemory struct {
	*memory
	done  chan struct{} // closed with this handle
	close sync.Once
}

// memory is what the handles share.
type memory struct {
	names []string
	check Checker
	now   func() time.Time

	mu       sync.Mutex
	versions []*Version
	using    map[Hash][]int64
	changed  chan struct{} // closed when there is a new version, and made anew
}

// Memory makes a store whose first version has the files. Only they can be
// edited; one whose content is nil is not there yet, but may be made. A nil
// checker finds no fault; a nil clock is time.Now. An *InvalidError says that the
// files cannot be used.
func Memory(files map[string][]byte, check Checker, now func() time.Time) (*InMemory, error) {
	if check == nil {
		check = func(map[string][]byte) []Fault { return nil }
	}
	if now == nil {
		now = time.Now
	}
	m := &memory{
		names: slices.Sorted(maps.Keys(files)), check: check, now: now,
		using: map[Hash][]int64{}, changed: make(chan struct{}),
	}
	first := Edit{Files: files, Entry: Entry{Who: "file"}}
	if err := first.Check(m.names); err != nil {
		return nil, err
	}
	content, _ := first.Apply(nil)
	if faults := check(content); len(faults) > 0 {
		return nil, &InvalidError{faults}
	}
	m.add(first.Entry, content)
	return &InMemory{memory: m, done: make(chan struct{})}, nil
}

// Open returns another handle on the same versions, to be closed by itself.
func (s *InMemory) Open() *InMemory { return &InMemory{memory: s.memory, done: make(chan struct{})} }

// String says where edits are kept.
func (s *InMemory) String() string { return "in memory: edits are lost when the program ends" }

func (m *memory) add(e Entry, content map[string][]byte) *Version {
	e = e.Clone()
	e.Number, e.At, e.Files = int64(len(m.versions))+1, m.now().UTC().Round(0), Describe(content)
	v := &Version{e, content}
	m.versions = append(m.versions, v)
	seen := map[Hash]bool{}
	for _, f := range e.Files {
		if !seen[f.Hash] {
			seen[f.Hash] = true
			m.using[f.Hash] = append(m.using[f.Hash], e.Number)
		}
	}
	close(m.changed)
	m.changed = make(chan struct{})
	return v
}

// usable says why nothing can be done now.
func (s *InMemory) usable(ctx context.Context) error { return Usable(ctx, s.done) }

// Current returns the newest version.
func (s *InMemory) Current(ctx context.Context) (*Version, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.versions[len(s.versions)-1], nil
}

// At returns a version by its number.
func (s *InMemory) At(ctx context.Context, number int64) (*Version, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if number < 1 || number > int64(len(s.versions)) {
		return nil, fmt.Errorf("%w: %d; there are 1 to %d", ErrNotFound, number, len(s.versions))
	}
	return s.versions[number-1], nil
}

// Commit makes a version.
func (s *InMemory) Commit(ctx context.Context, e Edit) (*Version, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	if err := e.Check(s.names); err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	newest := s.versions[len(s.versions)-1]
	if e.Base != newest.Number {
		return nil, &ConflictError{e.Base, newest.Number}
	}
	content, changed := e.Apply(newest.Content)
	if !changed {
		return nil, fmt.Errorf("%w: version %d", ErrUnchanged, newest.Number)
	}
	if faults := s.check(content); len(faults) > 0 {
		return nil, &InvalidError{faults}
	}
	return s.add(e.Entry, content), nil
}

// History returns entries, the newest first.
func (s *InMemory) History(ctx context.Context, before int64, most int) ([]Entry, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	last := int64(len(s.versions))
	if before > 0 {
		last = min(last, before-1)
	}
	out := []Entry{}
	for n := last; n > 0 && len(out) < most; n-- {
		out = append(out, s.versions[n-1].Entry)
	}
	return out, nil
}

// Using returns the versions that have a content.
func (s *InMemory) Using(ctx context.Context, content Hash) ([]int64, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.using[content]), nil
}

// Follow calls seen with each version after since.
func (s *InMemory) Follow(ctx context.Context, since int64, seen func(number int64) error) error {
	return FollowNewest(ctx, s.done, since, func() (int64, <-chan struct{}) {
		s.mu.Lock()
		defer s.mu.Unlock()
		return int64(len(s.versions)), s.changed
	}, seen)
}

// Rejected returns nil: nobody changes a store in memory by hand.
func (s *InMemory) Rejected() []Fault { return nil }

// Close ends the use of this handle.
func (s *InMemory) Close() error {
	s.close.Do(func() { close(s.done) })
	return nil
}
