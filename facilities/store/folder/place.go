package folder

import (
	"bytes"
	"fmt"
	"time"
)

const (
	gone = "the region's folder, or its history in .history, is not there: the last data that were good stay in use; " +
		"put the folder back"
	another = "the region's folder has another history than when it was opened, or not yet all of it: the last data that were " +
		"good stay in use; put the rest back, or start the service again to use the other"
)

// historyInPlace reports whether the history can be used, and takes it up again
// where the folder was away and has come back.
func (s *Store) historyInPlace() bool {
	if s.history.journal == nil {
		if _, err := s.files.ReadDir(s.dir); err != nil {
			s.lost = gone
			return false
		}
		s.lost = ""
		return true
	}
	if s.history.inPlace() {
		s.lost = ""
		return true
	}
	s.lost = gone
	if !newHistory(s.files, s.hidden("")).exists() {
		return false // begin no second history where a disk is not mounted
	}
	if s.lost = s.attachAgain(); s.lost != "" {
		return false
	}
	clear(s.on)
	s.backAt = time.Now()
	return true
}

// attachAgain opens a folder that was put in the place of the one that was
// open, and returns why it cannot be used.
func (s *Store) attachAgain() string {
	// nothing is mended before it is sure: it may be being copied now
	probe := newHistory(s.files, s.hidden(""))
	if err := probe.open(false); err != nil {
		return unusable(err)
	}
	same := continues(s.history, probe)
	if err := probe.close(); err != nil {
		return unusable(err)
	}
	if !same {
		return another
	}
	h, lock, err := s.attach()
	if err != nil {
		return unusable(err)
	}
	old, oldLock := s.history, s.lock
	s.lock = lock
	s.mu.Lock()
	s.history = h
	s.mu.Unlock()
	_ = old.close() // the file is not in the folder any more
	if oldLock != nil && oldLock != lock {
		_ = oldLock.Close() // nobody can ask for it any more
	}
	if n := h.newest(); n > s.newest { // somebody else has written meanwhile
		if v := newestReadable(h); v != nil {
			s.tell(v, n)
		}
	}
	return ""
}

func unusable(err error) string {
	return fmt.Sprintf("the region's folder has come back, but cannot be used: %s", bare(err))
}

// continues reports whether a history has the newest version of another.
func continues(old, other *history) bool {
	n := old.newest()
	if n == 0 {
		return true
	}
	if other.newest() < n {
		return false
	}
	old.mu.RLock()
	was := old.lines[n-1]
	old.mu.RUnlock()
	other.mu.RLock()
	is := other.lines[n-1]
	other.mu.RUnlock()
	if was != is || was.length == 0 {
		return was == is
	}
	a, err := old.lineOf(n)
	if err != nil {
		return true // the old file can be read no more; place and length agree
	}
	b, err := other.lineOf(n)
	return err == nil && bytes.Equal(a, b)
}

// followHistory takes up what the process that writes has added.
func (s *Store) followHistory() {
	s.faults = nil
	if _, err := s.history.readMore(); err != nil {
		s.faults = append(s.faults, fault("", "the history cannot be read: %s", bare(err)))
		return
	}
	n := s.history.newest()
	if n == s.newest && s.current != nil && s.current.Number == n {
		return
	}
	v, err := s.history.version(n, s.current)
	if err != nil {
		if n > 0 {
			s.faults = append(s.faults, fault("", "version %d cannot be read: %s", n, bare(err)))
		}
		v = s.current
	}
	if n > s.newest || v != s.current {
		s.tell(v, n)
	}
}
