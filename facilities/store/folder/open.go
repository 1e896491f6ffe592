package folder

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"time"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/store"
)

// Store is a region in a folder. It is safe for concurrent use.
type Store struct {
	dir   string
	opts  Options
	files disk.FileSystem

	work chan struct{} // held by who changes anything

	// only of who has work
	on         map[string]*seen
	left       map[string]state // what this package put into the files, or found in order
	trouble    map[string]error // why a file could not be brought forward
	backAt     time.Time        // when the folder was last put back
	lost       string           // why the history cannot be written; empty: it can
	lock       *held            // nil: read only
	applied    int64            // in the file applied
	lastCommit time.Time
	pending    string // what the files were edited to by hand, before it is judged
	pendingAt  time.Time
	judged     string // what was judged last
	faults     []store.Fault

	mu       sync.RWMutex // guards what follows
	history  *history
	current  *store.Version // nil: there is none yet
	newest   int64          // number, also where that version is damaged
	rejected []store.Fault
	changed  chan struct{} // closed when newest grows, and made anew

	done    chan struct{}
	closing sync.Once
	watcher sync.WaitGroup
}

// Open opens a region's folder, reads its history, brings forward what a crash left
// behind, and begins to watch it. A folder without a history gets one, with the files as the
// first version; where they cannot be used there is no version yet, and Rejected says
// why. An error wraps disk.ErrInUse where another process writes, store.ErrReadOnly
// where the folder cannot be written.
//
// With Options.ReadOnly it follows the history that another process writes. Where there
// is none it keeps one in memory, in which edits by hand are versions until it is closed.
func Open(dir string, opts Options) (*Store, error) { return openOn(disk.Machine{}, dir, opts) }

func openOn(files disk.FileSystem, dir string, opts Options) (*Store, error) {
	opts, err := opts.orDefault()
	if err != nil {
		return nil, err
	}
	s := &Store{
		dir: filepath.Clean(dir), opts: opts, files: files, work: make(chan struct{}, 1),
		on: map[string]*seen{}, left: map[string]state{}, trouble: map[string]error{},
		changed: make(chan struct{}), done: make(chan struct{}),
	}
	info, err := files.Stat(s.dir)
	if err != nil {
		return nil, fmt.Errorf("the region's folder cannot be opened: %w", err)
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("the region's folder cannot be opened: %s is not a folder", s.dir)
	}
	if err := s.begin(); err != nil {
		return nil, fmt.Errorf("the region's folder %s cannot be opened: %w", s.dir, err)
	}
	s.watch()
	return s, nil
}

// String says where edits are kept; not where on the machine, as clients are told.
func (s *Store) String() string {
	if s.opts.ReadOnly {
		return "nowhere: the region's folder cannot be written"
	}
	return "in the region's folder"
}

func (s *Store) hidden(name string) string { return filepath.Join(s.dir, ".history", name) }

func (s *Store) begin() error {
	h, lock, err := s.attach()
	if err != nil {
		return err
	}
	s.history, s.lock = h, lock
	s.newest = h.newest()
	s.current = newestReadable(h)
	s.readApplied()
	for _, name := range s.opts.Names {
		f := look(s.files, s.dir, name, nil, s.current)
		s.on[name], s.left[name] = f, stateIn(s.current, name)
		if f.fault == nil && s.isBehind(name, f.state) {
			s.left[name] = f.state
		}
	}
	s.turn(true)
	return nil
}

// attach takes the lock and opens the history.
func (s *Store) attach() (*history, *held, error) {
	h := newHistory(s.files, s.hidden(""))
	if s.opts.ReadOnly {
		if !h.exists() {
			return unkept(), nil, nil
		}
		return h, nil, h.open(false)
	}
	if err := s.files.MkdirAll(h.contents.dir, folderPerm); err != nil {
		return nil, nil, cannotWrite(err)
	}
	lock, err := s.takeLock()
	if err != nil {
		return nil, nil, err
	}
	isNew := !h.exists()
	err = h.open(true)
	if err == nil && isNew { // whoever keeps the files under version control does not want it there
		err = disk.Replace(s.files, s.hidden(".gitignore"), s.hidden("unfinished"), []byte("*\n"), filePerm)
	}
	if err == nil {
		err = errors.Join(s.files.SyncDir(s.hidden("")), s.files.SyncDir(s.dir))
	}
	if err != nil {
		if lock != s.lock {
			err = errors.Join(err, lock.Close())
		}
		return nil, nil, cannotWrite(errors.Join(err, h.close()))
	}
	return h, lock, nil
}

// takeLock takes the lock, or keeps it where it is that of the folder still: the
// journal alone may have been put in the place of another.
func (s *Store) takeLock() (*held, error) {
	name := s.hidden("lock")
	if s.lock != nil && s.lock.file != nil {
		if there, err := s.files.Stat(name); err == nil && s.files.Same(there, s.lock.file) {
			return s.lock, nil
		}
	}
	lock, err := s.files.Lock(name)
	if errors.Is(err, disk.ErrInUse) {
		return nil, fmt.Errorf("%w: stop it first, or open the folder to read only", err)
	}
	if err != nil {
		return nil, cannotWrite(err)
	}
	info, err := s.files.Stat(name)
	if err != nil {
		info = nil // it is not known again then
	}
	return &held{lock, info}, nil
}

// held is a lock with its file; nil where that is not known.
type held struct {
	io.Closer
	file fs.FileInfo
}

// cannotWrite marks the errors of a folder that cannot be written.
func cannotWrite(err error) error {
	if errors.Is(err, fs.ErrPermission) || isReadOnlyDisk(err) {
		return fmt.Errorf("%w: make it writable or open it to read only: %w", store.ErrReadOnly, err)
	}
	return err
}

// newestReadable returns the newest version of which all is there.
func newestReadable(h *history) *store.Version {
	for n := h.newest(); n > 0; n-- {
		if v, err := h.version(n, nil); err == nil {
			return v
		}
	}
	return nil
}

// isBehind reports whether a file has what it had in a version since the files
// were last seen in order. A crash leaves that, between a version and the files.
func (s *Store) isBehind(name string, st state) bool {
	if s.current == nil || s.lock == nil || st == stateIn(s.current, name) {
		return false
	}
	const most = 1000 // the mark is old only where nothing ever was in order since
	for n := s.newest - 1; n >= max(s.applied, 1) && n > s.newest-most; n-- {
		if e, err := s.history.entry(n); err == nil && stateIn(&store.Version{Entry: *e}, name) == st {
			return true
		}
	}
	return false
}

// readApplied reads the mark; one that is not there or half written is 0.
func (s *Store) readApplied() {
	if s.lock == nil {
		return
	}
	if text, err := disk.Read(s.files, s.hidden("applied"), 100); err == nil {
		if n, err := strconv.ParseInt(strings.TrimSpace(string(text)), 10, 64); err == nil {
			s.applied = n
		}
	}
}

// writeApplied writes the mark once all files are as the newest version has
// them. It is worth no error: without it, an edit by hand that puts a file back may be
// taken for one that a crash left behind.
func (s *Store) writeApplied() {
	if s.lock == nil || s.current == nil || s.applied == s.current.Number {
		return
	}
	text := strconv.FormatInt(s.current.Number, 10) + "\n"
	if s.files.SyncDir(s.dir) == nil && disk.Replace(s.files, s.hidden("applied"), s.hidden("unfinished"), []byte(text), filePerm) == nil {
		s.applied = s.current.Number
	}
}

// Close ends the watch and lets another process write.
func (s *Store) Close() error {
	var err error
	s.closing.Do(func() {
		close(s.done)
		s.watcher.Wait()
		s.work <- struct{}{} // never given back
		if s.lost == "" && s.inOrder() {
			s.writeApplied()
		}
		err = s.history.close()
		if s.lock != nil {
			err = errors.Join(err, s.lock.Close())
		}
	})
	return err
}
