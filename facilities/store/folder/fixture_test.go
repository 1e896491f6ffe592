package folder_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
	"surgeonward/facilities/store/storetest"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(writerFolder); dir != "" {
		os.Exit(writeUntilKilled(dir))
	}
	goleak.VerifyTestMain(m)
}

func TestStore(t *testing.T) {
	storetest.Run(t, func(t *testing.T, g storetest.Given) func() store.Store {
		dir := quick(t)
		write(t, dir, g.Files)
		opts := folder.Options{Names: g.Names, Check: g.Check, Now: g.Now}
		return func() store.Store {
			s, err := folder.Open(dir, opts)
			if errors.Is(err, disk.ErrInUse) {
				readOnly := opts
				readOnly.ReadOnly = true
				s, err = folder.Open(dir, readOnly)
			}
			require.NoError(t, err)
			return s
		}
	})
}

const (
	fleet    = "fleet.json"
	roads    = "roads.geojson"
	settings = "settings.json"
	bad      = "UNUSABLE"
)

var names = []string{"facilities.geojson", fleet, roads, settings}

func files() map[string][]byte {
	return map[string][]byte{"facilities.geojson": []byte("[]"), fleet: []byte("fleet 0"), settings: []byte("{}")}
}

func options() folder.Options { return folder.Options{Names: names, Check: storetest.Check} }

func write(t testing.TB, dir string, files map[string][]byte) {
	t.Helper()
	for name, content := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), content, 0o644))
	}
}

// quick is a folder in memory where the system has that, for tests that write a
// thousand times and do not depend on the disk.
func quick(t testing.TB) string {
	dir, err := os.MkdirTemp("/dev/shm", "region-")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { require.NoError(t, os.RemoveAll(dir)) })
	return dir
}

func region(t testing.TB) string {
	dir := quick(t)
	write(t, dir, files())
	return dir
}

func open(t testing.TB, dir string, opts folder.Options) *folder.Store {
	t.Helper()
	s, err := folder.Open(dir, opts)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s
}

func current(t testing.TB, s store.Store) *store.Version {
	t.Helper()
	v, err := s.Current(t.Context())
	require.NoError(t, err)
	return v
}

func edit(base int64, name, content string) store.Edit {
	return store.Edit{Base: base, Files: map[string][]byte{name: []byte(content)}, Entry: store.Entry{Who: "desk-1"}}
}

func commit(t testing.TB, s store.Store, name, content string) *store.Version {
	t.Helper()
	v, err := s.Commit(t.Context(), edit(current(t, s).Number, name, content))
	require.NoError(t, err)
	return v
}

func onDisk(t testing.TB, dir, name string) string {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(dir, name))
	require.NoError(t, err)
	return string(content)
}

// eventually waits for what must come within a second; the machine may be busy.
func eventually(t testing.TB, what string, is func() bool) {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); !is(); {
		require.True(t, time.Now().Before(end), what)
		time.Sleep(5 * time.Millisecond)
	}
}

func becomes(t testing.TB, s store.Store, number int64) *store.Version {
	t.Helper()
	eventually(t, "the version does not come", func() bool { return current(t, s).Number >= number })
	v := current(t, s)
	require.Equal(t, number, v.Number)
	return v
}

func rejects(t testing.TB, s store.Store, count int) []store.Fault {
	t.Helper()
	eventually(t, "the faults do not change", func() bool { return len(s.Rejected()) == count })
	return s.Rejected()
}
