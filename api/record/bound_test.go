package record_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
)

// bytesIn counts the files under a folder and their bytes.
func bytesIn(t *testing.T, dir string) (files int, size int64) {
	t.Helper()
	require.NoError(t, filepath.WalkDir(dir, func(_ string, d os.DirEntry, err error) error {
		require.NoError(t, err)
		if info, err := d.Info(); err == nil && info.Mode().IsRegular() {
			files++
			size += info.Size()
		}
		return nil
	}))
	return files, size
}

func TestRotation(t *testing.T) {
	dir := t.TempDir()
	const most = 5000
	s := open(t, dir, record.Options{MaxSegment: most})
	var ids []string
	for i := range 40 {
		ids = append(ids, keep(t, s, sample(i)))
	}
	listing, err := os.ReadDir(filepath.Join(dir, "segments"))
	require.NoError(t, err)
	assert.Equal(t, s.Stats().Segments, len(listing))
	assert.Greater(t, len(listing), 5)
	var whole []byte
	for _, item := range listing {
		text, err := os.ReadFile(filepath.Join(dir, "segments", item.Name()))
		require.NoError(t, err)
		assert.LessOrEqual(t, len(text), most)
		assert.Contains(t, string(text[:bytes.IndexByte(text, '\n')]), fmt.Sprintf(`"n":%s,`, strings.TrimLeft(item.Name()[:12], "0")))
		whole = append(whole, text...)
	}
	records, damage, _, _, err := record.Scan(whole, 0)
	require.NoError(t, err)
	assert.Empty(t, damage)
	assert.Len(t, records, 40)
	for i, id := range ids {
		rec, err := s.Get(id)
		require.NoError(t, err)
		equal(t, sample(i), rec)
	}
}

func TestRecordLargerThanASegment(t *testing.T) {
	s := open(t, t.TempDir(), record.Options{MaxSegment: 10})
	for i := range 3 {
		id := keep(t, s, sample(i))
		rec, err := s.Get(id)
		require.NoError(t, err)
		equal(t, sample(i), rec)
	}
	assert.Equal(t, 3, s.Stats().Segments)
}

func TestOldestAreDropped(t *testing.T) {
	dir := t.TempDir()
	const most = 30_000
	opts := record.Options{MaxSegment: 5000, MaxTotal: most}
	s, _, err := record.Open(dir, opts)
	require.NoError(t, err)
	common := record.NewData("settings.json", []byte(strings.Repeat("settings", 100)))
	fleet := func(i int) record.Data { return record.NewData("fleet.json", fmt.Appendf(nil, "%0500d", i/10)) }
	var ids []string
	for i := range 120 {
		ids = append(ids, keep(t, s, sample(i, common, fleet(i))))
		if i%17 == 0 { // a fact of an answer that will be dropped before it, or with it
			require.NoError(t, s.Fact(t.Context(), ids[i], "load", evening))
		}
	}
	require.NoError(t, s.Close()) // the bound is held before this returns
	stats := s.Stats()
	require.NoError(t, stats.Trouble)
	assert.Greater(t, stats.Dropped, 3)
	_, segmentBytes := bytesIn(t, filepath.Join(dir, "segments"))
	blobs, blobBytes := bytesIn(t, filepath.Join(dir, "blobs"))
	assert.Equal(t, stats.Bytes, segmentBytes+blobBytes)
	assert.LessOrEqual(t, segmentBytes+blobBytes, int64(most))
	assert.Greater(t, segmentBytes+blobBytes, int64(most/2), "no more is dropped than must be")

	// a prefix is gone, everything after it is there, with its data
	_, err = s.Get(ids[0])
	require.ErrorIs(t, err, record.ErrNotFound)
	require.ErrorContains(t, err, "may have been dropped")
	require.ErrorIs(t, s.Fact(t.Context(), ids[0], "load", evening), record.ErrNotFound)
	named := map[record.Hash]bool{}
	gone := true
	for i, id := range ids {
		rec, err := s.Get(id)
		if gone && err != nil {
			continue
		}
		gone = false
		require.NoError(t, err)
		equal(t, sample(i, common, fleet(i)), rec)
		for _, d := range rec.Data {
			named[d.Hash] = true
			_, err := s.Blob(d.Hash)
			require.NoError(t, err)
		}
	}
	assert.Equal(t, len(named), blobs, "what no record names is gone")
	_, err = s.Blob(fleet(0).Hash)
	require.ErrorIs(t, err, record.ErrNotFound)

	s, report, err := record.Open(dir, opts)
	require.NoError(t, err)
	assert.Empty(t, report.Sentences())
	assert.Equal(t, stats.Bytes, report.Bytes)
	assert.Greater(t, keep(t, s, sample(500, fleet(0))), ids[119])
	_, err = s.Blob(fleet(0).Hash)
	require.NoError(t, err, "data that was dropped is kept again when it is used again")
	require.NoError(t, s.Close())
}

// The newest segment stays even where its data alone pass the bound.
func TestNewestIsNeverDropped(t *testing.T) {
	s := open(t, t.TempDir(), record.Options{MaxSegment: 5000, MaxTotal: 10_000})
	old := keep(t, s, sample(1))
	for i := range 4 {
		keep(t, s, sample(2+i))
	}
	large := record.NewData("roads.geojson", make([]byte, 50_000))
	id := keep(t, s, sample(9, large))
	require.NoError(t, s.Close())
	_, err := s.Get(id)
	require.NoError(t, err)
	_, err = s.Blob(large.Hash)
	require.NoError(t, err)
	_, err = s.Get(old)
	require.ErrorIs(t, err, record.ErrNotFound)
	require.NoError(t, s.Stats().Trouble)
	assert.Equal(t, 1, s.Stats().Segments)
}

func TestOpenClearsUp(t *testing.T) {
	dir := t.TempDir()
	s, _, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	fleet := record.NewData("fleet.json", []byte("{}"))
	keep(t, s, sample(1, fleet))
	require.NoError(t, s.Close())

	unnamed := record.Sum([]byte("nobody's")).String()
	put := func(path, text string) string {
		path = filepath.Join(dir, path)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	blob := put("blobs/"+unnamed[:2]+"/"+unnamed[2:], "nobody's")
	unfinished := put("blobs/"+unnamed[:2]+"/"+unnamed[2:]+".tmp", "nob")
	strange := []string{
		put("blobs/README", "hands off"), put("blobs/"+unnamed[:2]+"/notes.txt", "mine"), put("segments/copy.jsonl", "mine"),
		put("segments/0000000000zz.jsonl", "mine"),
	}
	s = open(t, dir, record.Options{})
	assert.NoFileExists(t, blob)
	assert.NoFileExists(t, unfinished)
	for _, path := range strange {
		assert.FileExists(t, path, "what is not the record's is left alone")
	}
	_, err = s.Blob(fleet.Hash)
	require.NoError(t, err)
}

// A damaged line may be the one that names a blob.
func TestDamageKeepsData(t *testing.T) {
	dir := t.TempDir()
	s, _, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	fleet := record.NewData("fleet.json", []byte("{}"))
	keep(t, s, sample(1, fleet))
	keep(t, s, sample(2))
	require.NoError(t, s.Close())
	text, err := os.ReadFile(firstSegment(dir))
	require.NoError(t, err)
	text[100] ^= 1
	require.NoError(t, os.WriteFile(firstSegment(dir), text, 0o600))
	s, report, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	assert.Len(t, report.Damaged, 1)
	_, err = s.Blob(fleet.Hash)
	require.NoError(t, err)
	require.NoError(t, s.Close())
}

func TestDamagedAndMissingData(t *testing.T) {
	dir := t.TempDir()
	s, _, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	fleet, roads := record.NewData("fleet.json", []byte("{}")), record.NewData("roads.geojson", []byte("[]"))
	keep(t, s, sample(1, fleet, roads))
	require.NoError(t, s.Close())
	path := func(d record.Data) string {
		return filepath.Join(dir, "blobs", d.Hash.String()[:2], d.Hash.String()[2:])
	}
	require.NoError(t, os.WriteFile(path(fleet), []byte("[]"), 0o600))
	require.NoError(t, os.Remove(path(roads)))

	s, report, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	assert.Equal(t, []record.Hash{roads.Hash}, report.Missing)
	assert.Equal(t, []string{"data missing: blob " + roads.Hash.String() + " is named by a record and is not there"}, report.Sentences())
	_, err = s.Blob(fleet.Hash)
	require.ErrorContains(t, err, "data damaged")
	_, err = s.Blob(roads.Hash)
	require.ErrorIs(t, err, record.ErrNotFound)
	// the next answer that uses them brings them back
	keep(t, s, sample(2, fleet, roads))
	for _, d := range []record.Data{fleet, roads} {
		content, err := s.Blob(d.Hash)
		require.NoError(t, err)
		assert.Equal(t, d.Bytes, content)
	}
	require.NoError(t, s.Close())
}
