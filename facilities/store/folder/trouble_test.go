package folder_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"sync/atomic"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
)

// troubled is the machine's file system with some of its calls failing, which
// counts the files that are open.
type troubled struct {
	disk.Machine
	noSyncOf string       // folder that cannot be synced
	stuck    *atomic.Bool // files can be neither synced nor cut
	open     *atomic.Int32
}

func (d troubled) OpenFile(name string, flag int, perm fs.FileMode) (disk.File, error) {
	f, err := d.Machine.OpenFile(name, flag, perm)
	if err != nil {
		return nil, err
	}
	d.open.Add(1)
	return troubledFile{f, d}, nil
}

func (d troubled) SyncDir(name string) error {
	if name == d.noSyncOf {
		return &fs.PathError{Op: "sync", Path: name, Err: syscall.EIO}
	}
	return d.Machine.SyncDir(name)
}

type troubledFile struct {
	disk.File
	of troubled
}

func (f troubledFile) Close() error {
	f.of.open.Add(-1)
	return f.File.Close()
}

func (f troubledFile) Sync() error {
	if f.of.stuck.Load() {
		return syscall.EIO
	}
	return f.File.Sync()
}

func (f troubledFile) Truncate(size int64) error {
	if f.of.stuck.Load() {
		return syscall.EIO
	}
	return f.File.Truncate(size)
}

// A folder that cannot be opened is tried again and again, and holds no file
// open for each time.
func TestNoFileStaysOpen(t *testing.T) {
	dir := region(t)
	d := troubled{noSyncOf: dir, stuck: new(atomic.Bool), open: new(atomic.Int32)}
	for range 3 {
		_, err := folder.OpenOn(d, dir, options())
		require.ErrorIs(t, err, syscall.EIO)
	}
	assert.Zero(t, d.open.Load())
	d.noSyncOf = ""
	s, err := folder.OpenOn(d, dir, options())
	require.NoError(t, err, "nor its lock")
	require.NoError(t, s.Close())
	assert.Zero(t, d.open.Load())
}

// A line that can be neither synced nor cut off again may be there when the
// folder is opened next: nobody is told that the edit is not kept.
func TestUnsureWhetherKept(t *testing.T) {
	dir := region(t)
	d := troubled{stuck: new(atomic.Bool), open: new(atomic.Int32)}
	s, err := folder.OpenOn(d, dir, options())
	require.NoError(t, err)
	commit(t, s, fleet, "kept") // and the content is on the disk, so that only the line is in question
	commit(t, s, fleet, "fleet 0")
	d.stuck.Store(true)
	_, err = s.Commit(t.Context(), edit(3, fleet, "kept"))
	require.ErrorIs(t, err, store.ErrUnavailable)
	require.ErrorIs(t, err, store.ErrUnsure)
	assert.NotContains(t, err.Error(), "not kept:")
	d.stuck.Store(false)
	v := commit(t, s, fleet, "goes on")
	assert.Equal(t, int64(4), v.Number, "what was in question has been cut off")
	require.NoError(t, s.Close())
	again := open(t, dir, options())
	assert.Equal(t, "goes on", string(current(t, again).Content[fleet]))
}

// The journal alone is put in the place of another that is the same, as tools
// that restore files do: it is taken up again under the lock that is held.
func TestJournalPutBack(t *testing.T) {
	dir := region(t)
	s := open(t, dir, options())
	commit(t, s, fleet, "fleet 1")
	journal := filepath.Join(dir, ".history", "journal.jsonl")
	content, err := os.ReadFile(journal)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(journal+".new", content, 0o640))
	require.NoError(t, os.Rename(journal+".new", journal))
	s.Turn()
	assert.Empty(t, s.Rejected())
	commit(t, s, fleet, "fleet 2")
	_, err = folder.Open(dir, options())
	require.ErrorIs(t, err, disk.ErrInUse, "the lock is still held")
}
