package region

import (
	"context"
	"iter"
	"strconv"

	"surgeonward/facilities/store"
)

// Entries are those of a store's history whose numbers are below before, the
// newest first; before 0 begins with the newest.
func Entries(ctx context.Context, from store.Store, before int64) iter.Seq2[*store.Entry, error] {
	const page = 200
	return func(yield func(*store.Entry, error) bool) {
		for {
			entries, err := from.History(ctx, before, page)
			if err != nil {
				yield(nil, err)
				return
			}
			for i := range entries {
				if !yield(&entries[i], nil) {
					return
				}
			}
			if len(entries) < page {
				return
			}
			before = entries[len(entries)-1].Number
		}
	}
}

// EntriesOf are those with the numbers, which ascend, in the same order.
func EntriesOf(ctx context.Context, from store.Store, numbers []int64, before int64) iter.Seq2[*store.Entry, error] {
	return func(yield func(*store.Entry, error) bool) {
		for i := len(numbers) - 1; i >= 0; i-- {
			if before > 0 && numbers[i] >= before {
				continue
			}
			entries, err := from.History(ctx, numbers[i]+1, 1)
			if err != nil {
				yield(nil, err)
				return
			}
			for k := range entries {
				if !yield(&entries[k], nil) {
					return
				}
			}
		}
	}
}

// PastFilter says which entries of a history are wanted; empty: any.
type PastFilter struct{ File, Element, Who string }

func (f PastFilter) keeps(e *store.Entry) bool {
	if f.Who != "" && e.Who != f.Who {
		return false
	}
	if f.File == "" && f.Element == "" {
		return true
	}
	for i := range e.What {
		c := &e.What[i]
		if (f.File == "" || c.File == f.File) && (f.Element == "" || c.Element == f.Element) {
			return true
		}
	}
	return false
}

// Page is up to most entries that the filter keeps, after a look at up to look
// of them (0: all), and the number that the next page begins before; 0: there is none.
func (f PastFilter) Page(entries iter.Seq2[*store.Entry, error], most, look int) (page []store.Entry, next int64, err error) {
	seen := 0
	for e, err := range entries {
		if err != nil {
			return nil, 0, err
		}
		if len(page) == most || look > 0 && seen == look {
			return page, next, nil
		}
		seen++
		next = e.Number
		if f.keeps(e) {
			page = append(page, *e)
		}
	}
	return page, 0, nil
}

// Restore makes the region what it was in a version, as a new one. May is asked
// before, with the newest version, each time the edit is tried; nil: it may. What
// it returns and its errors are as of Edit.
func (l *Live) Restore(ctx context.Context, who, why string, number int64, may func(newest *store.Version) error) (*store.Version, error) {
	old, err := l.store.At(ctx, number)
	if err != nil {
		return nil, err
	}
	return l.Edit(ctx, who, why, func(newest *store.Version) (Draft, error) {
		if may != nil {
			if err := may(newest); err != nil {
				return Draft{}, err
			}
		}
		changes := Diff(newest.Content, old.Content)
		for i := range changes {
			changes[i].Action = "restore"
		}
		return Draft{Files: replacing(newest.Content, old.Content), What: changes, Why: "as in version " + strconv.FormatInt(number, 10)}, nil
	})
}

// replacing are the files of an edit that makes others of some.
func replacing(before, after map[string][]byte) map[string][]byte {
	files := map[string][]byte{}
	for name := range before {
		files[name] = nil
	}
	for name, content := range after {
		files[name] = content
	}
	return files
}
