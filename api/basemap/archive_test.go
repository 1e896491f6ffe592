package basemap_test

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/basemap"
)

// archive is a PMTiles file of one tile. Source of the places of its members: the
// PMTiles specification, version 3, from memory, and its published reader for browsers.
func archive(t testing.TB, metadata []byte, change ...func([]byte)) string {
	t.Helper()
	const header = 127
	directory := []byte{1, 0, 1, 4, 1} // one entry: tile 0, once, 4 bytes, at 0
	tile := []byte("tile")
	h := make([]byte, header)
	copy(h, "PMTiles\x03")
	at := uint64(header)
	for i, part := range [][]byte{directory, metadata, nil, tile} {
		binary.LittleEndian.PutUint64(h[8+16*i:], at)
		binary.LittleEndian.PutUint64(h[16+16*i:], uint64(len(part)))
		at += uint64(len(part))
	}
	h[97], h[98], h[99], h[100], h[101] = 1, 1, 2, 0, 3 // not compressed; PNG; zooms 0 to 3
	body := bytes.Join([][]byte{h, directory, metadata, tile}, nil)
	for _, c := range change {
		c(body)
	}
	path := filepath.Join(t.TempDir(), "map.pmtiles")
	require.NoError(t, os.WriteFile(path, body, 0o600))
	return path
}

func zipped(t testing.TB, text string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, err := w.Write([]byte(text))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return b.Bytes()
}

func TestOpen(t *testing.T) {
	a, err := basemap.Open(archive(t, []byte(`{"attribution": "<a href=\"https://a.example\">&copy; A &amp; B</a> "}`)))
	require.NoError(t, err)
	assert.Equal(t, "© A & B", a.Attribution())
	least, deepest := a.Zooms()
	assert.Equal(t, []int{0, 3}, []int{least, deepest})
	got := make([]byte, 4)
	_, err = a.ReadAt(got, a.Size()-4)
	require.NoError(t, err)
	assert.Equal(t, "tile", string(got))
	require.NoError(t, a.Close())

	a, err = basemap.Open(archive(t, zipped(t, `{"attribution":"whose"}`), func(b []byte) { b[97] = 2 }))
	require.NoError(t, err)
	assert.Equal(t, "whose", a.Attribution())
	require.NoError(t, a.Close())

	a, err = basemap.Open(archive(t, []byte("{")))
	require.NoError(t, err, "metadata that cannot be read say nothing")
	assert.Empty(t, a.Attribution())
	require.NoError(t, a.Close())
}

func TestOpenRefuses(t *testing.T) {
	// source: definition
	for _, tt := range []struct {
		name, says string
		change     func([]byte)
	}{
		{"another file", "is no PMTiles file", func(b []byte) { b[0] = 'p' }},
		{"an older version", "version 2", func(b []byte) { b[7] = 2 }},
		{"vector tiles", "has vector tiles", func(b []byte) { b[99] = 1 }},
		{"unknown tiles", "unknown type 9", func(b []byte) { b[99] = 9 }},
		{"another compression", "compression 3", func(b []byte) { b[97] = 3 }},
		{"zooms the wrong way around", "zooms 5 to 3", func(b []byte) { b[100] = 5 }},
		{"cut short", "its tiles should be", func(b []byte) { binary.LittleEndian.PutUint64(b[64:], 5) }},
		{"a length that overflows", "its root directory should be", func(b []byte) { binary.LittleEndian.PutUint64(b[8:], math.MaxUint64) }},
		{"metadata beyond the end", "its metadata should be", func(b []byte) { binary.LittleEndian.PutUint64(b[32:], math.MaxInt64) }},
	} {
		_, err := basemap.Open(archive(t, []byte("{}"), tt.change))
		assert.ErrorContains(t, err, tt.says, tt.name)
	}
	short := filepath.Join(t.TempDir(), "short.pmtiles")
	require.NoError(t, os.WriteFile(short, []byte("PMTiles\x03"), 0o600))
	_, err := basemap.Open(short)
	require.ErrorContains(t, err, "is no PMTiles file")
	_, err = basemap.Open(t.TempDir())
	require.ErrorContains(t, err, "is no plain file")
	_, err = basemap.Open(filepath.Join(t.TempDir(), "none"))
	require.ErrorIs(t, err, os.ErrNotExist)
}
