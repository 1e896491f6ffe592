// Package disktest has a file system whose power can be cut and whose disk can
// be full.
package disktest

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

	"surgeonward/facilities/disk"
)

// What a call fails with.
var (
	ErrPower = errors.New("the power is cut")
	ErrFull  = errors.New("no space left on the disk")
	ErrSync  = errors.New("the sync failed")
)

// content is what a file holds, and what of it is on the disk for good.
type content struct {
	now, safe []byte
	changes   int64
}

// Memory is a file system that forgets on a cut of power whatever was not
// synced: bytes of a file, and entries of a folder. What has been written and not
// synced may be there afterwards in part, as on a real disk.
type Memory struct {
	mu      sync.Mutex
	entries map[string]*content // nil: a folder
	safe    map[string]*content // entries as they are on the disk
	locked  map[string]bool
	steps   int // changes until the power is cut; negative: never
	dead    bool
	room    int  // bytes that can still be written; negative: no end
	noSync  bool // every sync of a file fails
	changes int64
	random  *rand.Rand
}

// NewMemory makes an empty file system; the seed says what becomes of what was
// not synced.
func NewMemory(seed uint64) *Memory {
	return &Memory{
		entries: map[string]*content{}, safe: map[string]*content{}, locked: map[string]bool{},
		steps: -1, room: -1, random: rand.New(rand.NewPCG(seed, 1)),
	}
}

// CutAfter cuts the power before the change after so many; negative: never.
func (m *Memory) CutAfter(steps int) { m.set(func() { m.steps = steps }) }

// Room sets how many bytes can still be written; negative: no end.
func (m *Memory) Room(n int) { m.set(func() { m.room = n }) }

// FailSync makes every sync of a file fail, or none.
func (m *Memory) FailSync(fail bool) { m.set(func() { m.noSync = fail }) }

// Dead reports whether the power is cut.
func (m *Memory) Dead() (dead bool) {
	m.set(func() { dead = m.dead })
	return dead
}

func (m *Memory) set(f func()) {
	m.mu.Lock()
	defer m.mu.Unlock()
	f()
}

// step counts a change and cuts the power before it.
func (m *Memory) step() error {
	if m.steps == 0 {
		m.dead = true
	}
	if m.dead {
		return ErrPower
	}
	m.steps--
	return nil
}

// AfterPower is the file system as it comes up again after a cut of power.
func (m *Memory) AfterPower() *Memory {
	m.mu.Lock()
	defer m.mu.Unlock()
	out := NewMemory(m.random.Uint64())
	entries := maps.Clone(m.safe)
	if m.random.IntN(2) == 0 { // some entries that were not synced have reached the disk
		for _, name := range m.names() {
			if m.random.IntN(2) == 0 {
				entries[name] = m.entries[name]
			}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(entries)) {
		c := entries[name]
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
		kept := &content{now: text, safe: slices.Clone(text)}
		out.entries[name], out.safe[name] = kept, kept
	}
	return out
}

func (m *Memory) names() []string { return slices.Sorted(maps.Keys(m.entries)) }

// AfterKill is the file system after its process was killed: the power stayed
// on.
func (m *Memory) AfterKill() *Memory {
	m.mu.Lock()
	defer m.mu.Unlock()
	out := NewMemory(m.random.Uint64())
	out.entries, out.safe = m.entries, m.safe
	return out
}

// Put writes a file as another program does, in place and without a sync.
func (m *Memory) Put(name, text string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	c := m.entries[name]
	if c == nil {
		c = &content{}
		m.entries[name] = c
	}
	c.now = []byte(text)
	m.touch(c)
}

func (m *Memory) touch(c *content) {
	m.changes++
	c.changes = m.changes
}

func notThere(op, name string) error { return &fs.PathError{Op: op, Path: name, Err: fs.ErrNotExist} }

// OpenFile opens a file.
func (m *Memory) OpenFile(name string, flag int, _ fs.FileMode) (disk.File, error) {
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
		if parent, there := m.entries[filepath.Dir(name)]; !there || parent != nil {
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
		m.touch(c)
	}
	return &memoryFile{m: m, c: c, name: name}, nil
}

// MkdirAll makes a folder and those that it is in.
func (m *Memory) MkdirAll(name string, perm fs.FileMode) error {
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

// ReadDir lists a folder.
func (m *Memory) ReadDir(name string) ([]fs.DirEntry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, there := m.entries[name]; !there {
		return nil, notThere("readdir", name)
	}
	var out []fs.DirEntry
	for _, path := range slices.Sorted(maps.Keys(m.entries)) {
		if filepath.Dir(path) == name {
			out = append(out, describe(path, m.entries[path]))
		}
	}
	return out, nil
}

// Rename renames a file.
func (m *Memory) Rename(from, to string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.step(); err != nil {
		return err
	}
	m.entries[to] = m.entries[from]
	delete(m.entries, from)
	return nil
}

// Remove removes a file.
func (m *Memory) Remove(name string) error {
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
func (m *Memory) SyncDir(name string) error {
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

type unlock struct {
	m    *Memory
	name string
}

func (u unlock) Close() error {
	u.m.set(func() { delete(u.m.locked, u.name) })
	return nil
}

// Lock takes a lock, which no AfterPower or AfterKill takes over.
func (m *Memory) Lock(name string) (io.Closer, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.locked[name] {
		return nil, disk.ErrInUse
	}
	m.locked[name] = true
	return unlock{m, name}, nil
}

// Stat describes a file.
func (m *Memory) Stat(name string) (fs.FileInfo, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	c, there := m.entries[name]
	if !there {
		return nil, notThere("stat", name)
	}
	return describe(name, c), nil
}

// Same compares files.
func (m *Memory) Same(a, b fs.FileInfo) bool { return a.Sys() == b.Sys() }

func describe(name string, c *content) memoryEntry {
	e := memoryEntry{name: filepath.Base(name), dir: c == nil, c: c}
	if c != nil {
		e.size, e.time = int64(len(c.now)), time.Unix(0, c.changes)
	}
	return e
}

type memoryFile struct {
	m    *Memory
	c    *content
	name string
}

func (f *memoryFile) Stat() (fs.FileInfo, error) {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	return describe(f.name, f.c), nil
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
	f.m.touch(f.c)
	if err := f.m.step(); err != nil {
		f.c.now = append(f.c.now, p[:f.m.random.IntN(len(p)+1)]...) // half of it may be under way
		return 0, err
	}
	if f.m.room >= 0 && len(p) > f.m.room {
		n := f.m.room
		f.c.now = append(f.c.now, p[:n]...)
		f.m.room = 0
		return n, ErrFull
	}
	if f.m.room >= 0 {
		f.m.room -= len(p)
	}
	f.c.now = append(f.c.now, p...)
	return len(p), nil
}

func (f *memoryFile) Chmod(fs.FileMode) error { return nil }

func (f *memoryFile) Sync() error {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	if err := f.m.step(); err != nil {
		return err
	}
	if f.m.noSync {
		return ErrSync
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

func (f *memoryFile) Close() error { return nil }

type memoryEntry struct {
	name string
	size int64
	time time.Time
	dir  bool
	c    *content
}

func (e memoryEntry) Name() string               { return e.name }
func (e memoryEntry) IsDir() bool                { return e.dir }
func (e memoryEntry) Type() fs.FileMode          { return e.Mode().Type() }
func (e memoryEntry) Info() (fs.FileInfo, error) { return e, nil }
func (e memoryEntry) Size() int64                { return e.size }
func (e memoryEntry) ModTime() time.Time         { return e.time }
func (e memoryEntry) Sys() any                   { return e.c }
func (e memoryEntry) Mode() fs.FileMode {
	if e.dir {
		return fs.ModeDir | 0o755
	}
	return 0o644
}

// Get returns what a file holds now.
func (m *Memory) Get(name string) (text string, there bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	c := m.entries[name]
	if c == nil {
		return "", false
	}
	return string(c.now), true
}

// SyncAll puts everything on the disk.
func (m *Memory) SyncAll() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.safe = maps.Clone(m.entries)
	for _, c := range m.entries {
		if c != nil {
			c.safe = slices.Clone(c.now)
		}
	}
}
