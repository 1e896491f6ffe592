package record_test

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
	"surgeonward/facilities/disk/disktest"
)

// TestFullDisk fills a disk after every possible number of bytes in turn. What
// was acknowledged stays, what was not is refused, and when there is room again
// recording goes on in the same store.
func TestFullDisk(t *testing.T) {
	for room := 0; room < 6000; room += 97 {
		m := disktest.NewMemory(uint64(room))
		s, _, err := record.OpenOn(m, folder, record.Options{Now: clock, MaxSegment: 2500})
		require.NoError(t, err)
		m.Room(room)
		kept := map[string]int{}
		refused := 0
		for i := range 6 {
			id, err := s.Answer(t.Context(), sample(i, regionPart(i)))
			if err != nil {
				require.ErrorIs(t, err, disktest.ErrFull)
				refused++
				continue
			}
			kept[id] = i
		}
		require.NotZero(t, refused)
		m.Room(-1)
		kept[keep(t, s, sample(50, regionPart(50)))] = 50
		check := func(r *record.Reader) {
			for id, i := range kept {
				rec, err := r.Get(id)
				require.NoError(t, err)
				equal(t, sample(i, regionPart(i)), rec)
				_, err = r.Blob(rec.Data[0].Hash)
				require.NoError(t, err)
			}
			records, faults := all(r)
			require.Empty(t, faults)
			require.Len(t, records, len(kept))
		}
		check(s.Reader)
		require.NoError(t, s.Close())
		r, report, err := record.OpenReadOnlyOn(m.AfterPower(), folder)
		require.NoError(t, err)
		require.Empty(t, report.Sentences())
		check(r)
	}
}

// After a failed sync nobody knows what a file holds: it is not written again.
func TestFailedSync(t *testing.T) {
	m := disktest.NewMemory(3)
	s, _, err := record.OpenOn(m, folder, record.Options{Now: clock})
	require.NoError(t, err)
	first := keep(t, s, sample(1))
	m.FailSync(true)
	_, err = s.Answer(t.Context(), sample(2))
	require.ErrorIs(t, err, disktest.ErrSync)
	_, err = s.Answer(t.Context(), sample(3, regionPart(1)))
	require.ErrorIs(t, err, disktest.ErrSync)
	m.FailSync(false)
	second := keep(t, s, sample(4, regionPart(1)))
	require.NoError(t, s.Close())
	assert.Equal(t, 2, s.Stats().Segments)

	r, report, err := record.OpenReadOnlyOn(m.AfterPower(), folder)
	require.NoError(t, err)
	require.Empty(t, report.Sentences())
	for id, i := range map[string]int{first: 1, second: 4} {
		rec, err := r.Get(id)
		require.NoError(t, err)
		require.Equal(t, string(answer(i)), string(rec.Answer))
	}
}

// TestFullRealDisk does the same on a file system of the machine of half a
// megabyte.
func TestFullRealDisk(t *testing.T) {
	dir := disktest.Small(t)
	opts := record.Options{MaxSegment: 50_000}
	s, _, err := record.Open(filepath.Join(dir, "record"), opts)
	require.NoError(t, err)
	kept := map[string]int{}
	var fault error
	for i := 0; fault == nil; i++ {
		require.Less(t, i, 10_000, "the disk is never full")
		var id string
		if id, fault = s.Answer(t.Context(), sample(i)); fault == nil {
			kept[id] = i
		}
	}
	require.ErrorIs(t, fault, syscall.ENOSPC)
	_, err = s.Answer(t.Context(), sample(0, record.NewData("roads.geojson", make([]byte, 100_000))))
	require.ErrorIs(t, err, syscall.ENOSPC, "nor is there room for data")
	require.NoError(t, s.Close())
	require.Greater(t, len(kept), 100)

	s, report, err := record.Open(filepath.Join(dir, "record"), record.Options{MaxSegment: 50_000, MaxTotal: 200_000})
	require.NoError(t, err, "opening needs no room")
	require.Empty(t, report.Sentences())
	for id, i := range kept {
		if rec, err := s.Get(id); err == nil { // the smaller bound has dropped the oldest
			equal(t, sample(i), rec)
		}
	}
	assert.Less(t, s.Stats().Bytes, int64(200_001))
	keep(t, s, sample(1))
	require.NoError(t, s.Close())
}

// TestReadOnlyFolder opens a record on a disk that cannot be written.
func TestReadOnlyFolder(t *testing.T) {
	dir, ids, _ := segmentText(t, 2)
	for name, fault := range map[string]error{"disk": syscall.EROFS, "permission": fs.ErrPermission} {
		t.Run(name, func(t *testing.T) {
			files := readOnly{record.Disk, fault}
			_, _, err := record.OpenOn(files, dir, record.Options{})
			require.ErrorIs(t, err, fault)
			require.ErrorContains(t, err, "cannot be written")
			r, report, err := record.OpenReadOnlyOn(files, dir)
			require.NoError(t, err)
			assert.Empty(t, report.Sentences())
			rec, err := r.Get(ids[1])
			require.NoError(t, err)
			equal(t, sample(1), rec)
		})
	}
	t.Run("a file", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "file")
		require.NoError(t, os.WriteFile(path, nil, 0o600))
		_, _, err := record.Open(path, record.Options{})
		require.ErrorContains(t, err, "cannot be written")
	})
	t.Run("no permission, for real", func(t *testing.T) {
		if os.Getuid() == 0 {
			t.Skip("root may write anywhere; the cases above stand in")
		}
		require.NoError(t, os.Chmod(dir, 0o500))
		defer func() { require.NoError(t, os.Chmod(dir, 0o700)) }()
		require.NoError(t, os.Remove(filepath.Join(dir, "lock")))
		_, _, err := record.Open(dir, record.Options{})
		require.ErrorIs(t, err, fs.ErrPermission)
	})
}

// readOnly refuses every change.
type readOnly struct {
	record.FileSystem
	fault error
}

func (r readOnly) OpenFile(name string, flag int, perm fs.FileMode) (record.File, error) {
	if flag != os.O_RDONLY {
		return nil, &fs.PathError{Op: "open", Path: name, Err: r.fault}
	}
	return r.FileSystem.OpenFile(name, flag, perm)
}

func (r readOnly) Lock(name string) (io.Closer, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: r.fault}
}
