package folder_test

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/disk/disktest"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
)

type machine = disk.Machine

func TestOneWriter(t *testing.T) {
	dir := region(t)
	s := open(t, dir, options())
	_, err := folder.Open(dir, options())
	require.ErrorIs(t, err, disk.ErrInUse)
	require.ErrorContains(t, err, "stop it first, or open the folder to read only")

	readOnly := options()
	readOnly.ReadOnly = true
	r := open(t, dir, readOnly)
	_, err = r.Commit(t.Context(), edit(1, fleet, "fleet 1"))
	require.ErrorIs(t, err, store.ErrReadOnly)
	commit(t, s, fleet, "fleet 1")
	assert.Equal(t, "fleet 1", string(becomes(t, r, 2).Content[fleet]))
	write(t, dir, map[string][]byte{fleet: []byte("fleet by hand")})
	assert.Equal(t, "fleet by hand", string(becomes(t, r, 3).Content[fleet]))
}

// TestReadOnlyWithoutHistory keeps what people do in memory, and writes nothing.
func TestReadOnlyWithoutHistory(t *testing.T) {
	dir := region(t)
	opts := options()
	opts.ReadOnly = true
	s := open(t, dir, opts)
	write(t, dir, map[string][]byte{fleet: []byte("fleet by hand")})
	assert.Equal(t, "fleet by hand", string(becomes(t, s, 2).Content[fleet]))
	v, err := s.At(t.Context(), 1)
	require.NoError(t, err)
	assert.Equal(t, "fleet 0", string(v.Content[fleet]))
	got, err := s.Using(t.Context(), store.Sum([]byte("{}")))
	require.NoError(t, err)
	assert.Equal(t, []int64{1, 2}, got)
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 3)
}

// TestReadOnlyFolder opens a folder on a disk that cannot be written.
func TestReadOnlyFolder(t *testing.T) {
	dir := region(t)
	for name, fault := range map[string]error{"disk": syscall.EROFS, "permission": fs.ErrPermission} {
		t.Run(name, func(t *testing.T) {
			_, err := folder.OpenOn(readOnly{machine{}, fault}, dir, options())
			require.ErrorIs(t, err, store.ErrReadOnly)
			require.ErrorIs(t, err, fault)
			require.ErrorContains(t, err, "open it to read only")
			opts := options()
			opts.ReadOnly = true
			s, err := folder.OpenOn(readOnly{machine{}, fault}, dir, opts)
			require.NoError(t, err)
			assert.Equal(t, "fleet 0", string(current(t, s).Content[fleet]))
			require.NoError(t, s.Close())
		})
	}
	t.Run("no permission, for real", func(t *testing.T) {
		if os.Getuid() == 0 {
			t.Skip("root may write anywhere; the cases above stand in")
		}
		require.NoError(t, os.Chmod(dir, 0o500))
		defer func() { require.NoError(t, os.Chmod(dir, 0o700)) }()
		_, err := folder.Open(dir, options())
		require.ErrorIs(t, err, store.ErrReadOnly)
	})
}

// readOnly refuses every change.
type readOnly struct {
	disk.FileSystem
	fault error
}

func (r readOnly) MkdirAll(name string, _ fs.FileMode) error {
	return &fs.PathError{Op: "mkdir", Path: name, Err: r.fault}
}

func (r readOnly) OpenFile(name string, flag int, perm fs.FileMode) (disk.File, error) {
	if flag != os.O_RDONLY {
		return nil, &fs.PathError{Op: "open", Path: name, Err: r.fault}
	}
	return r.FileSystem.OpenFile(name, flag, perm)
}

func (r readOnly) Lock(name string) (io.Closer, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: r.fault}
}

// TestFolderRemovedAndRestored keeps the last good version, and goes on when the
// folder is back, by a move or as a copy.
func TestFolderRemovedAndRestored(t *testing.T) {
	for _, tt := range []struct {
		name    string
		restore func(t *testing.T, from, to string)
	}{
		{"moved", func(t *testing.T, from, to string) { require.NoError(t, os.Rename(from, to)) }},
		{"copied", func(t *testing.T, from, to string) { require.NoError(t, os.CopyFS(to, os.DirFS(from))) }},
		{"mounted", func(t *testing.T, from, to string) { // the empty mount point is there before
			require.NoError(t, os.Mkdir(to, 0o755))
			require.NoError(t, os.CopyFS(to, os.DirFS(from)))
		}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := filepath.Join(quick(t), "region")
			require.NoError(t, os.Mkdir(dir, 0o755))
			write(t, dir, files())
			s := open(t, dir, options())
			commit(t, s, fleet, "fleet 1")
			require.NoError(t, os.Rename(dir, dir+"-away"))
			assert.Contains(t, rejects(t, s, 1)[0].Detail, "is not there")
			assert.Equal(t, "fleet 1", string(current(t, s).Content[fleet]))
			_, err := s.Commit(t.Context(), edit(2, fleet, "fleet 2"))
			require.ErrorIs(t, err, store.ErrUnavailable)
			h, err := s.History(t.Context(), 0, 10)
			require.NoError(t, err)
			assert.Len(t, h, 2)

			tt.restore(t, dir+"-away", dir)
			rejects(t, s, 0)
			assert.Equal(t, int64(2), current(t, s).Number, "nothing has changed")
			commit(t, s, fleet, "fleet 2")
			assert.Equal(t, "fleet 2", onDisk(t, dir, fleet))
			write(t, dir, map[string][]byte{fleet: []byte("fleet by hand")})
			becomes(t, s, 4)
		})
	}
}

// TestOlderFolderRestored: a copy without the newest versions is not taken up as
// if it had them.
func TestOlderFolderRestored(t *testing.T) {
	dir := filepath.Join(quick(t), "region")
	require.NoError(t, os.Mkdir(dir, 0o755))
	write(t, dir, files())
	s := open(t, dir, options())
	require.NoError(t, os.CopyFS(dir+"-copy", os.DirFS(dir)))
	commit(t, s, fleet, "fleet 1")
	require.NoError(t, os.RemoveAll(dir))
	require.NoError(t, os.Rename(dir+"-copy", dir))
	eventually(t, "it is not noticed", func() bool { return len(s.Rejected()) == 1 })
	_, err := s.Commit(t.Context(), edit(2, fleet, "fleet 2"))
	require.ErrorIs(t, err, store.ErrUnavailable)
	assert.ErrorContains(t, err, "another history")
	assert.Equal(t, "fleet 1", string(current(t, s).Content[fleet]))
	assert.Equal(t, "fleet 0", onDisk(t, dir, fleet))
}

// TestFullRealDisk fills a file system of half a megabyte.
func TestFullRealDisk(t *testing.T) {
	dir := disktest.Small(t)
	write(t, dir, files())
	s, err := folder.Open(dir, options())
	require.NoError(t, err)
	var fault error
	for i := 0; fault == nil; i++ {
		require.Less(t, i, 10_000, "the disk is never full")
		_, fault = s.Commit(t.Context(), edit(current(t, s).Number, fleet, string(counted(int64(i)))))
	}
	require.ErrorIs(t, fault, syscall.ENOSPC)
	require.ErrorIs(t, fault, store.ErrUnavailable)
	kept := current(t, s)
	require.NoError(t, s.Close())

	s, err = folder.Open(dir, options())
	require.NoError(t, err, "opening needs no room")
	assert.Equal(t, kept.Number, current(t, s).Number)
	assert.Equal(t, string(kept.Content[fleet]), string(current(t, s).Content[fleet]))
	require.NoError(t, os.Remove(filepath.Join(dir, settings)))
	require.NoError(t, s.Close())
}
