package folder

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"surgeonward/facilities/store"
)

func fault(file, format string, args ...any) store.Fault {
	return store.Fault{File: file, Detail: fmt.Sprintf(format, args...)}
}

// usable says why nothing can be done now.
func (s *Store) usable(ctx context.Context) error { return store.Usable(ctx, s.done) }

// Current returns the newest version. An error wraps store.ErrNotFound as long as
// the files have never been in order.
func (s *Store) Current(ctx context.Context) (*store.Version, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	s.mu.RLock()
	defer s.mu.RUnlock()
	if s.current == nil {
		return nil, fmt.Errorf("%w yet: the files of the folder cannot be used", store.ErrNotFound)
	}
	return s.current, nil
}

func (s *Store) now() (*history, *store.Version, int64) {
	s.mu.RLock()
	defer s.mu.RUnlock()
	return s.history, s.current, s.newest
}

// At returns a version by its number.
func (s *Store) At(ctx context.Context, number int64) (*store.Version, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	h, current, newest := s.now()
	if current != nil && number == current.Number {
		return current, nil
	}
	if number > newest {
		return nil, fmt.Errorf("%w: %d; there are 1 to %d", store.ErrNotFound, number, newest)
	}
	return h.version(number, current)
}

// Commit makes a version. Beside what store.Store says, a *store.ByHandError
// says that it would write over an edit by hand that cannot be used.
func (s *Store) Commit(ctx context.Context, e store.Edit) (*store.Version, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	if s.opts.ReadOnly {
		return nil, store.ErrReadOnly
	}
	if err := e.Check(s.opts.Names); err != nil {
		return nil, err
	}
	if err := s.getWork(ctx); err != nil {
		return nil, err
	}
	defer s.giveWork()
	return s.commit(e)
}

// getWork waits for work.
func (s *Store) getWork(ctx context.Context) error {
	select {
	case <-s.done:
		return store.ErrClosed
	case <-ctx.Done():
		return ctx.Err()
	case s.work <- struct{}{}:
	}
	if err := s.usable(ctx); err != nil { // both were so
		s.giveWork()
		return err
	}
	return nil
}

func (s *Store) giveWork() { <-s.work }

func (s *Store) commit(e store.Edit) (*store.Version, error) {
	if !s.historyInPlace() {
		s.report()
		return nil, fmt.Errorf("%w: %s", store.ErrUnavailable, s.lost)
	}
	if err := s.lookBefore(&e); err != nil {
		return nil, err
	}
	var before map[string][]byte
	base := int64(0)
	if s.current != nil {
		before, base = s.current.Content, s.current.Number
	}
	if e.Base != base {
		return nil, &store.ConflictError{Base: e.Base, Newest: base}
	}
	content, changed := e.Apply(before)
	if !changed {
		return nil, fmt.Errorf("%w: version %d", store.ErrUnchanged, base)
	}
	if faults := s.opts.Check(content); len(faults) > 0 {
		return nil, &store.InvalidError{Faults: faults}
	}
	entry := e.Clone()
	switch err := s.add(entry, content); {
	case errors.Is(err, store.ErrUnsure):
		return nil, fmt.Errorf("%w: %w", store.ErrUnavailable, err)
	case err != nil:
		return nil, fmt.Errorf("%w: the edit is not kept: %w", store.ErrUnavailable, err)
	}
	made := s.current
	s.forward() // where it fails, Rejected says so, and it is tried again
	s.report()
	return made, nil
}

// lookBefore judges edits by hand of the files that an edit would replace.
func (s *Store) lookBefore(e *store.Edit) error {
	for _, name := range s.opts.Names {
		if _, touched := e.Files[name]; touched || s.on[name] == nil {
			s.on[name] = look(s.files, s.dir, name, nil, s.current)
		}
	}
	touched := func(name string) bool { _, is := e.Files[name]; return is }
	if !slices.ContainsFunc(s.byHand(), touched) {
		return nil
	}
	for _, name := range s.byHand() {
		if f := s.on[name]; f.fault == nil && (!f.there || f.moving) {
			changing := fault(name, "the file is being changed by hand: try again in a second")
			return &store.ByHandError{Faults: append(slices.Clone(s.faults), changing)}
		}
	}
	s.judge(true)
	s.report()
	if slices.ContainsFunc(s.byHand(), touched) {
		return &store.ByHandError{Faults: slices.Clone(s.faults)}
	}
	return nil
}

// History returns entries, the newest first. One whose line is damaged has its
// number, and says so in place of a reason.
func (s *Store) History(ctx context.Context, before int64, most int) ([]store.Entry, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	h, _, last := s.now()
	if before > 0 {
		last = min(last, before-1)
	}
	out := []store.Entry{}
	for n := last; n > 0 && len(out) < most; n-- {
		e, err := h.entry(n)
		if errors.Is(err, errDamaged) {
			e, err = &store.Entry{Number: n, Who: "file", Why: errDamaged.Error()}, nil
		}
		if err != nil {
			return nil, err
		}
		out = append(out, *e)
	}
	return out, nil
}

// Using returns the versions that have a content.
func (s *Store) Using(ctx context.Context, content store.Hash) ([]int64, error) {
	if err := s.usable(ctx); err != nil {
		return nil, err
	}
	h, _, _ := s.now()
	return h.usedBy(content), nil
}

// Follow calls seen with each version after since.
func (s *Store) Follow(ctx context.Context, since int64, seen func(number int64) error) error {
	return store.FollowNewest(ctx, s.done, since, func() (int64, <-chan struct{}) {
		s.mu.RLock()
		defer s.mu.RUnlock()
		return s.newest, s.changed
	}, seen)
}

// Rejected says why edits by hand are not used, why a file could not be brought
// to what is used, or that the folder is not there.
func (s *Store) Rejected() []store.Fault {
	s.mu.RLock()
	defer s.mu.RUnlock()
	return slices.Clone(s.rejected)
}
