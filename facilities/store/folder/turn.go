package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/store"
)

const (
	// An edit by hand is judged once it has stayed the same for so long: editors
	// write a file in pieces, and some take it away before they put the new one there.
	calm     = 100 * time.Millisecond
	calmGone = 400 * time.Millisecond

	soon = 50 * time.Millisecond
)

// turn looks at the folder and does what is to be done. It returns when to look
// again, where that is before the next look in any case. atOnce judges edits by hand
// without waiting for calm. The caller has work.
func (s *Store) turn(atOnce bool) (again time.Duration) {
	if !s.historyInPlace() {
		s.report()
		return 0
	}
	if s.lock == nil && s.history.journal != nil {
		s.followHistory()
		s.report()
		return 0
	}
	moving := false
	for _, name := range s.opts.Names {
		f := look(s.files, s.dir, name, s.on[name], s.current)
		s.on[name] = f
		moving = moving || f.moving
	}
	if moving && !atOnce {
		return soon
	}
	again = s.judge(atOnce)
	s.forward()
	s.report()
	if s.inOrder() && time.Since(s.lastCommit) > time.Second {
		s.writeApplied()
	}
	return again
}

// byHand lists the files that somebody has edited.
func (s *Store) byHand() []string {
	var out []string
	for _, name := range s.opts.Names {
		f := s.on[name]
		if f.fault != nil || f.state != stateIn(s.current, name) && f.state != s.left[name] {
			out = append(out, name)
		}
	}
	return out
}

// inOrder reports whether all files are as the newest version has them.
func (s *Store) inOrder() bool {
	for _, name := range s.opts.Names {
		if f := s.on[name]; f == nil || f.fault != nil || f.state != stateIn(s.current, name) {
			return false
		}
	}
	return true
}

// judge makes a version of an edit by hand, or keeps what is wrong with it.
func (s *Store) judge(atOnce bool) (again time.Duration) {
	edited := s.byHand()
	if len(edited) == 0 && s.current != nil {
		s.faults, s.judged, s.pending = nil, "", ""
		return 0
	}
	key, wait := s.fingerprint(), calm
	for _, name := range edited {
		if f := s.on[name]; f.fault == nil && !f.there {
			wait = calmGone
			if time.Since(s.backAt) < 10*time.Second { // it may be being copied
				wait = settling
			}
		}
	}
	if key == s.judged {
		return 0
	}
	if !atOnce {
		if key != s.pending {
			s.pending, s.pendingAt = key, time.Now()
			return wait
		}
		if rest := wait - time.Since(s.pendingAt); rest > 0 {
			return rest
		}
	}
	s.judged = key
	content := map[string][]byte{}
	s.faults = nil
	for _, name := range s.opts.Names {
		f := s.on[name]
		switch {
		case f.fault != nil:
			s.faults = append(s.faults, fault(name, "the file cannot be read: %s", f.fault))
		case !slices.Contains(edited, name):
			if stateIn(s.current, name).there {
				content[name] = s.current.Content[name]
			}
		case f.there:
			content[name] = f.content
		}
	}
	if len(s.faults) == 0 {
		s.faults = s.opts.Check(content)
	}
	if len(s.faults) > 0 {
		return 0
	}
	if s.current == nil && len(content) == 0 {
		s.faults = []store.Fault{{Detail: "the folder has none of the region's files: put them there"}}
		return 0
	}
	if err := s.take(content); err != nil {
		s.judged = "" // try again
		s.faults = nil
		for _, name := range edited {
			s.faults = append(s.faults, fault(name, "the file was changed by hand, but the change cannot be kept: %s; it is tried again", bare(err)))
		}
	}
	return 0
}

// fingerprint says what the files were edited to, and on what.
func (s *Store) fingerprint() string {
	var b strings.Builder
	fmt.Fprint(&b, s.newest)
	for _, name := range s.opts.Names {
		f := s.on[name]
		fmt.Fprintf(&b, "|%t %s %v", f.there, f.hash, f.fault)
	}
	return b.String()
}

// take makes a version of what the files have become.
func (s *Store) take(content map[string][]byte) error {
	var before map[string][]byte
	if s.current != nil {
		before = s.current.Content
	}
	e := store.Entry{Who: "file"}
	what, more := s.opts.Explain(before, content)
	e.What, e.More = store.Limit(what)
	e.More += more
	if err := s.add(e, content); err != nil {
		return err
	}
	for _, name := range s.opts.Names {
		s.left[name] = s.on[name].state
	}
	return nil
}

// add puts a version into the history and tells of it.
func (s *Store) add(e store.Entry, content map[string][]byte) error {
	e.Number, e.At, e.Files = s.newest+1, s.opts.clock(), store.Describe(content)
	if err := s.history.append(&e, content, s.current); err != nil {
		return err
	}
	s.lastCommit = time.Now()
	s.tell(&store.Version{Entry: e, Content: content}, e.Number)
	return nil
}

func (s *Store) tell(v *store.Version, newest int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.current, s.newest = v, newest
	close(s.changed)
	s.changed = make(chan struct{})
}

// forward brings files to what the newest version has, where they are not, and
// nobody has edited them.
func (s *Store) forward() {
	clear(s.trouble)
	if s.lock == nil || s.current == nil {
		return
	}
	for _, name := range s.opts.Names {
		if f := s.on[name]; f.fault == nil && f.state != stateIn(s.current, name) && f.state == s.left[name] {
			if err := s.put(name); err != nil {
				s.trouble[name] = err
			}
		}
	}
}

// put writes one file as the newest version has it. One that has been edited
// since it was last looked at is left alone: the next turn judges it.
func (s *Store) put(name string) error {
	f := look(s.files, s.dir, name, nil, s.current)
	s.on[name] = f
	want := stateIn(s.current, name)
	if !f.whole() || f.state != s.left[name] || f.state == want {
		return nil
	}
	path := filepath.Join(s.dir, name)
	if want.there {
		perm := fs.FileMode(0o644)
		if f.info != nil {
			perm = f.info.Mode().Perm()
		}
		// the folder is synced before the mark says that this is done
		if err := disk.Swap(s.files, path, s.hidden("unfinished"), s.current.Content[name], perm); err != nil {
			return err
		}
	} else if err := s.files.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	s.left[name] = want
	s.on[name] = look(s.files, s.dir, name, nil, s.current)
	return nil
}

// report publishes what is wrong.
func (s *Store) report() {
	out := slices.Clone(s.faults)
	for _, name := range s.opts.Names {
		if err := s.trouble[name]; err != nil {
			out = append(out, fault(name, "the file is behind what is used, and cannot be written: %s; it is tried again", bare(err)))
		}
	}
	if s.lost != "" {
		out = []store.Fault{{Detail: s.lost}}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.rejected = out
	if len(out) == 0 {
		s.rejected = nil
	}
}
