package region

import (
	"cmp"
	"context"
	"errors"
	"fmt"

	"surgeonward/facilities/store"
)

// retries is how often an edit is made anew because another process was first.
const retries = 200

// ErrBusy says that others were first every time, or until the time was over.
var ErrBusy = errors.New("others changed the region each time the edit was tried")

// Draft is what an edit does to the files of a version.
type Draft struct {
	Files map[string][]byte // new content by name; nil removes the file
	What  []store.Change
	Why   string // where the edit's own reason is empty
}

// Edit changes the region: change is given the newest version and says what to
// make of it. It is called again whenever somebody else was first, so that edits
// of different elements both hold, and an edit that must not undo another says
// so itself. The whole region is checked; a *store.InvalidError has its faults.
//
// It returns the version that the edit made. Where the files had that content
// already it returns the newest version and an error that wraps
// store.ErrUnchanged.
func (l *Live) Edit(ctx context.Context, who, why string, change func(v *store.Version) (Draft, error)) (*store.Version, error) {
	select {
	case l.editing <- struct{}{}:
		defer func() { <-l.editing }()
	case <-ctx.Done():
		return nil, fmt.Errorf("%w: %w", ErrBusy, ctx.Err())
	}
	for range retries {
		v, err := l.edit(ctx, who, why, change)
		if !errors.As(err, new(*store.ConflictError)) {
			return v, err
		}
		if err = ctx.Err(); err != nil {
			return nil, err
		}
	}
	return nil, ErrBusy
}

func (l *Live) edit(ctx context.Context, who, why string, change func(v *store.Version) (Draft, error)) (*store.Version, error) {
	base, err := l.store.Current(ctx)
	if err != nil {
		return nil, err
	}
	draft, err := change(base)
	if err != nil {
		return nil, err
	}
	e := store.Edit{Base: base.Number, Files: draft.Files, Entry: store.Entry{Who: who, Why: cmp.Or(why, draft.Why)}}
	e.What, e.More = store.Limit(draft.What)
	after, changed := e.Apply(base.Content)
	if !changed {
		return base, store.ErrUnchanged
	}
	if faults := l.loader.Check(after); len(faults) > 0 {
		return nil, &store.InvalidError{Faults: faults}
	}
	v, err := l.store.Commit(ctx, e)
	if errors.Is(err, store.ErrUnchanged) {
		return base, err
	}
	if err != nil {
		return nil, err
	}
	l.take(v)
	return v, nil
}

// Load makes the region of a version, or says what keeps it from being one.
func (l *Live) Load(v *store.Version) (*Region, []store.Fault) {
	r, report := l.loader.Load(v.Content)
	return r, report.StoreFaults()
}

// Check says what would keep a version from being used if it had these files
// instead of its own.
func (l *Live) Check(v *store.Version, files map[string][]byte) []store.Fault {
	e := store.Edit{Files: files}
	after, _ := e.Apply(v.Content)
	return l.loader.Check(after)
}

// Try says what an edit would do, without doing it: the faults that the region
// would have, and what the edit says that it changes.
func (l *Live) Try(ctx context.Context, change func(v *store.Version) (Draft, error)) ([]store.Fault, Draft, error) {
	base, err := l.store.Current(ctx)
	if err != nil {
		return nil, Draft{}, err
	}
	draft, err := change(base)
	if err != nil {
		return nil, Draft{}, err
	}
	return l.Check(base, draft.Files), draft, nil
}
