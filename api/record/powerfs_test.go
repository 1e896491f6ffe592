package record_test

import (
	"errors"
	"io"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"surgeonward/api/record"
)

var (
	errPower = errors.New("the power is cut")
	errFull  = errors.New("no space left on the disk")
	errSync  = errors.New("the sync failed")
)

// content is what a file holds, and what of it is on the disk for good.
type content struct{ now, safe []byte }

// memory is a file system that forgets on a cut of power whatever was not
// synced: bytes of a file, and entries of a folder. What has been written and not
// synced may be there afterwards in part, as on a real disk.
type memory struct {
	mu      sync.Mutex
	entries map[string]*content // nil: a folder
	safe    map[string]*content // entries as they are on the disk
	locked  bool
	steps   int // changes until the power is cut; negative: never
	dead    bool
	room    int  // bytes that can still be written; negative: no end
	noSync  bool // every sync of a file fails
	random  *rand.Rand
}

func newMemory(seed uint64) *memory {
	return &memory{
		entries: map[string]*content{}, safe: map[string]*content{},
		steps: -1, room: -1, random: rand.New(rand.NewPCG(seed, 1)),
	}
}

// step counts a change and cuts the power before it.
func (m *memory) step() error {
	if m.steps == 0 {
		m.dead = true
	}
	if m.dead {
		return errPower
	}
	m.steps--
	return nil
}

// afterPower is the file system as it comes up again.
func (m *memory) afterPower() *memory {
	m.mu.Lock()
	defer m.mu.Unlock()
	out := newMemory(m.random.Uint64())
	for _, name := range slices.Sorted(maps.Keys(m.safe)) {
		c := m.safe[name]
		if _, there := out.entries[filepath.Dir(name)]; !there && filepath.Dir(name) != "/" {
			continue // its folder is gone
		}
		if c == nil {
			out.entries[name], out.safe[name] = nil, nil
			continue
		}
		// of what was not synced some may have reached the disk
		text := slices.Clone(c.safe)
		if rest := len(c.now) - len(c.safe); rest > 0 && strings.HasPrefix(string(c.now), string(c.safe)) {
			text = append(text, c.now[len(c.safe):len(c.safe)+m.random.IntN(rest+1)]...)
			if m.random.IntN(4) == 0 {
				clear(text[len(c.safe):]) // a length without its bytes
			}
		}
		kept := &content{text, slices.Clone(text)}
		out.entries[name], out.safe[name] = kept, kept
	}
	return out
}

// afterKill is the file system after its process was killed: the power stayed
// on.
func (m *memory) afterKill() *memory {
	m.dead, m.locked, m.steps = false, false, -1
	return m
}

func notThere(op, name string) error { return &fs.PathError{Op: op, Path: name, Err: fs.ErrNotExist} }

func (m *memory) OpenFile(name string, flag int, _ fs.FileMode) (record.File, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	c, there := m.entries[name]
	if there && flag&os.O_EXCL != 0 {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrExist}
	}
	if !there || flag&os.O_TRUNC != 0 {
		if flag&os.O_CREATE == 0 {
			return nil, notThere("open", name)
		}
		if err := m.step(); err != nil {
			return nil, err
		}
		if !there {
			c = &content{}
			m.entries[name] = c
		}
		c.now = nil
	}
	return &memoryFile{m: m, c: c}, nil
}

func (m *memory) MkdirAll(name string, perm fs.FileMode) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for ; len(name) > 1; name = filepath.Dir(name) {
		if _, there := m.entries[name]; !there {
			if err := m.step(); err != nil {
				return err
			}
			m.entries[name] = nil
		}
	}
	return nil
}

func (m *memory) ReadDir(name string) ([]fs.DirEntry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, there := m.entries[name]; !there {
		return nil, notThere("readdir", name)
	}
	var out []fs.DirEntry
	for _, path := range slices.Sorted(maps.Keys(m.entries)) {
		if filepath.Dir(path) == name {
			c := m.entries[path]
			e := memoryEntry{name: filepath.Base(path), dir: c == nil}
			if c != nil {
				e.size = int64(len(c.now))
			}
			out = append(out, e)
		}
	}
	return out, nil
}

func (m *memory) Rename(from, to string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.step(); err != nil {
		return err
	}
	m.entries[to] = m.entries[from]
	delete(m.entries, from)
	return nil
}

func (m *memory) Remove(name string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.step(); err != nil {
		return err
	}
	if _, there := m.entries[name]; !there {
		return notThere("remove", name)
	}
	delete(m.entries, name)
	return nil
}

// SyncDir makes the entries of one folder safe.
func (m *memory) SyncDir(name string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.step(); err != nil {
		return err
	}
	maps.DeleteFunc(m.safe, func(path string, _ *content) bool { return filepath.Dir(path) == name })
	for path, c := range m.entries {
		if filepath.Dir(path) == name {
			m.safe[path] = c
		}
	}
	return nil
}

type unlock struct{ m *memory }

func (u unlock) Close() error { u.m.locked = false; return nil }

func (m *memory) Lock(name string) (io.Closer, error) {
	if m.locked {
		return nil, record.ErrInUse
	}
	m.locked = true
	return unlock{m}, nil
}

type memoryFile struct {
	m *memory
	c *content
}

func (f *memoryFile) ReadAt(p []byte, off int64) (int, error) {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	if off >= int64(len(f.c.now)) {
		return 0, io.EOF
	}
	n := copy(p, f.c.now[off:])
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

func (f *memoryFile) Write(p []byte) (int, error) {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	if err := f.m.step(); err != nil {
		f.c.now = append(f.c.now, p[:f.m.random.IntN(len(p)+1)]...) // half of it may be under way
		return 0, err
	}
	if f.m.room >= 0 && len(p) > f.m.room {
		n := f.m.room
		f.c.now = append(f.c.now, p[:n]...)
		f.m.room = 0
		return n, errFull
	}
	if f.m.room >= 0 {
		f.m.room -= len(p)
	}
	f.c.now = append(f.c.now, p...)
	return len(p), nil
}

func (f *memoryFile) Sync() error {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	if err := f.m.step(); err != nil {
		return err
	}
	if f.m.noSync {
		return errSync
	}
	f.c.safe = slices.Clone(f.c.now)
	return nil
}

func (f *memoryFile) Truncate(size int64) error {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	if err := f.m.step(); err != nil {
		return err
	}
	if f.m.room >= 0 {
		f.m.room += len(f.c.now) - int(size)
	}
	f.c.now = f.c.now[:size:size]
	return nil
}

func (f *memoryFile) Size() (int64, error) {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	return int64(len(f.c.now)), nil
}

func (f *memoryFile) Close() error { return nil }

type memoryEntry struct {
	name string
	size int64
	dir  bool
}

func (e memoryEntry) Name() string               { return e.name }
func (e memoryEntry) IsDir() bool                { return e.dir }
func (e memoryEntry) Type() fs.FileMode          { return e.Mode().Type() }
func (e memoryEntry) Info() (fs.FileInfo, error) { return e, nil }
func (e memoryEntry) Size() int64                { return e.size }
func (e memoryEntry) ModTime() time.Time         { return time.Time{} }
func (e memoryEntry) Sys() any                   { return nil }
func (e memoryEntry) Mode() fs.FileMode {
	if e.dir {
		return fs.ModeDir
	}
	return 0
}
