package storetest

import (
	"sync"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"surgeonward/facilities/store"
)

// clock is one that a test sets; a whole number of microseconds, which every
// database can keep.
type clock struct {
	mu  sync.Mutex
	off time.Duration
}

var evening = time.Date(2031, 3, 14, 21, 40, 0, 123_456_000, time.UTC)

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return evening.Add(c.off)
}

func (c *clock) step(by time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.off += by
}

// cmpEntry returns how entries differ. A list that is empty and one that is not
// there are the same.
func cmpEntry(want, got store.Entry) string {
	emptyLists := cmp.FilterPath(func(p cmp.Path) bool {
		switch p.Last().Type().String() {
		case "[]store.Change", "[]store.File":
			return true
		}
		return false
	}, cmpopts.EquateEmpty())
	return cmp.Diff(want, got, emptyLists)
}
