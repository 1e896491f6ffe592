package disk_test

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/disk/disktest"
)

// both are the machine's file system and the one for tests, with a folder in
// each: they must do the same.
func both(t *testing.T, run func(t *testing.T, files disk.FileSystem, dir string)) {
	t.Run("machine", func(t *testing.T) { run(t, disk.Machine{}, t.TempDir()) })
	t.Run("memory", func(t *testing.T) {
		m := disktest.NewMemory(1)
		require.NoError(t, m.MkdirAll("/srv", 0o755))
		run(t, m, "/srv")
	})
}

func TestReplace(t *testing.T) {
	both(t, func(t *testing.T, files disk.FileSystem, dir string) {
		name := filepath.Join(dir, "name")
		_, err := disk.Read(files, name, 10)
		require.ErrorIs(t, err, fs.ErrNotExist)
		for _, text := range []string{"long text", "short", ""} {
			require.NoError(t, disk.Replace(files, name, filepath.Join(dir, "temp"), []byte(text), 0o640))
			got, err := disk.Read(files, name, 9)
			require.NoError(t, err)
			assert.Equal(t, text, string(got))
		}
		entries, err := files.ReadDir(dir)
		require.NoError(t, err)
		assert.Len(t, entries, 1)
		require.Error(t, disk.Replace(files, filepath.Join(dir, "none", "name"), filepath.Join(dir, "none", "temp"), nil, 0o640))
	})
}

func TestReadOfOtherThanAShortFile(t *testing.T) {
	both(t, func(t *testing.T, files disk.FileSystem, dir string) {
		name := filepath.Join(dir, "name")
		require.NoError(t, disk.Replace(files, name, filepath.Join(dir, "temp"), []byte("0123456789"), 0o640))
		_, err := disk.Read(files, name, 9)
		require.EqualError(t, err, "it is longer than 9 bytes")
		_, err = disk.Read(files, dir, 9)
		require.EqualError(t, err, "it is not a regular file")
	})
}

func TestPermissionsAreThoseAskedFor(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "name")
	for _, perm := range []fs.FileMode{0o600, 0o664, 0o666} {
		require.NoError(t, disk.Replace(disk.Machine{}, name, filepath.Join(dir, "temp"), nil, perm))
		info, err := os.Stat(name)
		require.NoError(t, err)
		assert.Equal(t, perm, info.Mode().Perm(), "whatever the mask")
	}
}

func TestSameFile(t *testing.T) {
	both(t, func(t *testing.T, files disk.FileSystem, dir string) {
		name := filepath.Join(dir, "name")
		put := func() disk.File {
			require.NoError(t, disk.Replace(files, name, filepath.Join(dir, "temp"), []byte("x"), 0o640))
			f, err := files.OpenFile(name, os.O_RDWR|os.O_APPEND, 0)
			require.NoError(t, err)
			return f
		}
		same := func(f disk.File) bool {
			open, err := f.Stat()
			require.NoError(t, err)
			there, err := files.Stat(name)
			require.NoError(t, err)
			return files.Same(open, there)
		}
		f := put()
		assert.True(t, same(f))
		_, err := f.Write([]byte("y"))
		require.NoError(t, err)
		assert.True(t, same(f), "it may be written to")
		g := put()
		assert.False(t, same(f), "another has its name")
		require.NoError(t, f.Close())
		require.NoError(t, g.Close())
	})
}

func TestLock(t *testing.T) {
	both(t, func(t *testing.T, files disk.FileSystem, dir string) {
		name := filepath.Join(dir, "lock")
		l, err := files.Lock(name)
		require.NoError(t, err)
		_, err = files.Lock(name)
		require.ErrorIs(t, err, disk.ErrInUse)
		if _, isMachine := files.(disk.Machine); isMachine {
			require.ErrorContains(t, err, fmt.Sprintf("(process %d)", os.Getpid()))
		}
		require.NoError(t, l.Close())
		l, err = files.Lock(name)
		require.NoError(t, err)
		require.NoError(t, l.Close())
	})
}

// TestPowerTakesWhatWasNotSynced: else tests with it would prove nothing.
func TestPowerTakesWhatWasNotSynced(t *testing.T) {
	lost, kept := 0, 0
	for seed := range uint64(50) {
		m := disktest.NewMemory(seed)
		require.NoError(t, m.MkdirAll("/srv", 0o755))
		require.NoError(t, m.SyncDir("/"))
		require.NoError(t, disk.Replace(m, "/srv/safe", "/srv/temp", []byte("safe"), 0o640))
		require.NoError(t, disk.Swap(m, "/srv/safe", "/srv/temp", []byte("swap"), 0o640))
		f, err := m.OpenFile("/srv/open", os.O_RDWR|os.O_CREATE, 0o640)
		require.NoError(t, err)
		_, err = f.Write([]byte("written"))
		require.NoError(t, err)
		after := m.AfterPower()
		text, there := after.Get("/srv/safe")
		require.True(t, there)
		require.Contains(t, []string{"safe", "swap"}, text, "one or the other, whole")
		if text, _ := after.Get("/srv/open"); text == "written" {
			kept++
		} else {
			lost++
		}
	}
	assert.Greater(t, lost, 25)
	assert.Positive(t, kept)
}
