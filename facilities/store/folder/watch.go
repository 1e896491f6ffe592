package folder

import (
	"io/fs"
	"path/filepath"
	"slices"
	"time"

	"github.com/fsnotify/fsnotify"

	"surgeonward/facilities/disk"
)

// watch begins to look at the folder whenever the system tells of a change in
// it, and every Options.Every in any case: some file systems tell of nothing.
func (s *Store) watch() {
	n := &notifier{s: s}
	if _, isMachine := s.files.(disk.Machine); isMachine {
		n.watcher, _ = fsnotify.NewWatcher() // without it, looking now and then is enough
	}
	n.renew()
	s.watcher.Go(func() {
		defer n.close()
		ticker := time.NewTicker(s.opts.Every)
		defer ticker.Stop()
		timer := time.NewTimer(time.Hour)
		defer timer.Stop()
		due := time.Time{} // zero: the timer waits for nothing
		wait := func(d time.Duration) {
			if at := time.Now().Add(d); due.IsZero() || at.Before(due) {
				due = at
				timer.Reset(d)
			}
		}
		for {
			select {
			case <-s.done:
				return
			case name := <-n.changes():
				if n.concerns(name.Name) {
					wait(soon)
				}
				continue
			case err := <-n.errors():
				if err != nil {
					wait(soon) // some changes may not have been told of
				}
				continue
			case <-ticker.C:
			case <-timer.C:
				due = time.Time{}
			}
			select {
			case <-s.done:
				return
			case s.work <- struct{}{}:
			}
			again := s.turn(false)
			<-s.work
			n.renew()
			if again > 0 {
				wait(again)
			}
		}
	})
}

// notifier is what the system tells of changes.
type notifier struct {
	s       *Store
	watcher *fsnotify.Watcher // nil: nothing
	folder  fs.FileInfo       // that is watched
}

// dir is where what is followed changes.
func (n *notifier) dir() string {
	if h, _, _ := n.s.now(); n.s.opts.ReadOnly && h.journal != nil {
		return n.s.hidden("")
	}
	return n.s.dir
}

// renew watches the folder where it is another than the one that is watched.
func (n *notifier) renew() {
	if n.watcher == nil {
		return
	}
	info, err := n.s.files.Stat(n.dir())
	if err != nil {
		n.folder = nil
		return
	}
	if n.folder != nil && n.s.files.Same(n.folder, info) {
		return
	}
	_ = n.watcher.Remove(n.dir()) // it may not be watched any more
	n.folder = nil
	if n.watcher.Add(n.dir()) == nil {
		n.folder = info
	}
}

func (n *notifier) changes() chan fsnotify.Event {
	if n.watcher == nil {
		return nil
	}
	return n.watcher.Events
}

func (n *notifier) errors() chan error {
	if n.watcher == nil {
		return nil
	}
	return n.watcher.Errors
}

func (n *notifier) concerns(path string) bool {
	name := filepath.Base(path)
	return name == "journal.jsonl" || slices.Contains(n.s.opts.Names, name)
}

func (n *notifier) close() {
	if n.watcher != nil {
		_ = n.watcher.Close() // nothing is lost with it
	}
}
