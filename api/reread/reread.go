// Package reread holds what was read from files and reads it again once they
// have changed. What cannot be read does not take the place of what could: the
// last good value stays, and the fault is told.
package reread

import (
	"os"
	"sync"
	"sync/atomic"
	"time"
)

const (
	// every is how often the files are looked at, at most: a change holds within
	// that time and the time of reading.
	every = 250 * time.Millisecond
	// young is the age under which a file's time is not trusted to tell two
	// changes apart: file systems keep times as coarse as two seconds.
	young = 2 * time.Second
)

// Value is what was last read in full. Use Open; it is safe for concurrent use
// and runs nothing in the background: Get looks at the files itself.
type Value[T any] struct {
	paths  []string
	read   func() (T, error)
	failed func(error)

	held    atomic.Pointer[T]
	mu      sync.Mutex // guards what follows
	looked  time.Time
	seen    []stamp // of the last reading
	told    []stamp // of the last fault that was told
	healthy bool    // the last reading went well
}

// stamp is what tells one state of a file from another.
type stamp struct {
	info  os.FileInfo // nil: not there
	young bool        // it may change again without showing it
}

// Open reads the files for the first time, with read, which is called again
// when one of paths has changed. Failed is told of each change that cannot be
// read, once, and may be nil.
func Open[T any](read func() (T, error), failed func(error), paths ...string) (*Value[T], error) {
	v := &Value[T]{paths: paths, read: read, failed: failed, looked: time.Now(), healthy: true}
	v.seen = v.stamps()
	first, err := read()
	if err != nil {
		return nil, err
	}
	v.held.Store(&first)
	return v, nil
}

// Get returns the last good value. One caller at a time looks at the files;
// the others take what there is.
func (v *Value[T]) Get() T {
	if v.mu.TryLock() {
		if time.Since(v.looked) >= every {
			v.look()
			v.looked = time.Now()
		}
		v.mu.Unlock()
	}
	return *v.held.Load()
}

// Healthy reports whether the last reading went well.
func (v *Value[T]) Healthy() bool {
	v.Get()
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.healthy
}

// look reads again if there may be something new. A fault is tried again each
// time: its cause may lie outside the files.
func (v *Value[T]) look() {
	now := v.stamps()
	if v.healthy && same(v.seen, now) && !anyYoung(v.seen) {
		return
	}
	next, err := v.read()
	v.seen, v.healthy = now, err == nil
	if err == nil {
		v.held.Store(&next)
		v.told = nil
		return
	}
	if v.failed != nil && (v.told == nil || !same(v.told, now)) {
		v.failed(err)
	}
	v.told = now
}

func (v *Value[T]) stamps() []stamp {
	out := make([]stamp, len(v.paths))
	for i, path := range v.paths {
		info, err := os.Stat(path)
		if err == nil {
			out[i] = stamp{info, time.Since(info.ModTime()).Abs() < young}
		}
	}
	return out
}

func same(a, b []stamp) bool {
	for i := range a {
		x, y := a[i].info, b[i].info
		if (x == nil) != (y == nil) {
			return false
		}
		if x != nil && !(os.SameFile(x, y) && x.ModTime().Equal(y.ModTime()) && x.Size() == y.Size()) {
			return false
		}
	}
	return true
}

func anyYoung(stamps []stamp) bool {
	for _, s := range stamps {
		if s.young {
			return true
		}
	}
	return false
}
