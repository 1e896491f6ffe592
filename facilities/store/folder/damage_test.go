package folder_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
)

// written is a folder with four versions that nobody has open.
func written(t *testing.T) (dir, journal string) {
	dir = region(t)
	s, err := folder.Open(dir, options())
	require.NoError(t, err)
	for n := int64(2); n <= 4; n++ {
		commit(t, s, fleet, text(n))
	}
	require.NoError(t, s.Close())
	return dir, filepath.Join(dir, ".history", "journal.jsonl")
}

// change rewrites the journal by lines.
func change(t *testing.T, journal string, how func(lines [][]byte) [][]byte) {
	t.Helper()
	content, err := os.ReadFile(journal)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(journal, bytes.Join(how(bytes.SplitAfter(content, []byte("\n"))), nil), 0o640))
}

// TestDecay: a version that cannot be read is missed by its own number, and by no
// other.
func TestDecay(t *testing.T) {
	for _, tt := range []struct {
		name    string
		how     func(lines [][]byte) [][]byte
		damaged []int64 // versions
		newest  int64
	}{
		{"a digit", func(l [][]byte) [][]byte { l[1] = bytes.Replace(l[1], []byte(`"n":2`), []byte(`"n":7`), 1); return l }, []int64{2}, 4},
		{"a line's end", func(l [][]byte) [][]byte { l[1][len(l[1])-1] = ' '; return l }, []int64{2, 3}, 4},
		{"a line of its own", func(l [][]byte) [][]byte { l[1] = append([]byte("\n"), l[1]...); return l }, nil, 4},
		{"the same line twice", func(l [][]byte) [][]byte { l[2] = append(bytes.Clone(l[1]), l[2]...); return l }, nil, 4},
		{"the last line", func(l [][]byte) [][]byte { l[3][30] ^= 1; return l }, []int64{4}, 5},
		{"another format", func(l [][]byte) [][]byte { l[1] = bytes.Replace(l[1], []byte(`:1,`), []byte(`:2,`), 1); return l }, []int64{2}, 4},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir, journal := written(t)
			change(t, journal, tt.how)
			s := open(t, dir, options())
			v := current(t, s)
			assert.Equal(t, tt.newest, v.Number)
			assert.Equal(t, text(4), string(v.Content[fleet]), "the files have what the newest version had")
			lost := map[int64]bool{}
			for _, n := range tt.damaged {
				lost[n] = true
			}
			for n := int64(2); n <= 4; n++ {
				v, err := s.At(t.Context(), n)
				if lost[n] {
					require.ErrorContains(t, err, "is damaged")
					require.ErrorIs(t, err, store.ErrDamaged)
					require.NotErrorIs(t, err, store.ErrNotFound)
					continue
				}
				require.NoError(t, err)
				assert.Equal(t, text(n), string(v.Content[fleet]))
			}
			h, err := s.History(t.Context(), 0, 100)
			require.NoError(t, err)
			require.Len(t, h, int(tt.newest))
			for i, e := range h {
				assert.Equal(t, tt.newest-int64(i), e.Number)
				assert.Equal(t, lost[e.Number], e.Why == "its line in the history is damaged")
			}
			commit(t, s, fleet, "goes on")
		})
	}
}

func TestHalfALineIsKeptAside(t *testing.T) {
	dir, journal := written(t)
	before, err := os.ReadFile(journal)
	require.NoError(t, err)
	change(t, journal, func(l [][]byte) [][]byte { return append(l, []byte(`{"format":1,"crc`)) })
	s := open(t, dir, options())
	assert.Equal(t, int64(4), current(t, s).Number)
	after, err := os.ReadFile(journal)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))
	aside, err := filepath.Glob(journal + ".at-*.torn")
	require.NoError(t, err)
	require.Len(t, aside, 1)
	half, err := os.ReadFile(aside[0])
	require.NoError(t, err)
	assert.Equal(t, `{"format":1,"crc`, string(half))
}

// TestDecayedContent: a content that has changed is not given out. Where a file
// still has it, it is the newest version again by that.
func TestDecayedContent(t *testing.T) {
	dir, _ := written(t)
	for _, n := range []int64{3, 4} {
		h := store.Sum([]byte(text(n))).String()
		require.NoError(t, os.WriteFile(filepath.Join(dir, ".history", "contents", h[:2], h[2:]+".gz"), []byte("x"), 0o640))
	}
	s := open(t, dir, options())
	v := current(t, s)
	assert.Equal(t, int64(5), v.Number)
	assert.Equal(t, text(4), string(v.Content[fleet]))
	for _, n := range []int64{3, 4} {
		_, err := s.At(t.Context(), n)
		if n == 4 { // the edit by hand has the same content, and has kept it anew
			require.NoError(t, err)
			continue
		}
		require.ErrorIs(t, err, store.ErrDamaged)
		require.NotErrorIs(t, err, store.ErrUnavailable, "it stays so")
	}
}

// Contents that are not there because the folder is away are not damaged: they
// may come back with it.
func TestAwayIsNotDamaged(t *testing.T) {
	dir, _ := written(t)
	s := open(t, dir, options())
	require.NoError(t, os.Rename(dir, dir+"-away"))
	_, err := s.At(t.Context(), 2)
	require.ErrorIs(t, err, store.ErrUnavailable)
	require.NotErrorIs(t, err, store.ErrDamaged)
	require.NoError(t, os.Rename(dir+"-away", dir))
	v, err := s.At(t.Context(), 2)
	require.NoError(t, err)
	assert.Equal(t, text(2), string(v.Content[fleet]))
}

func FuzzJournal(f *testing.F) {
	f.Add([]byte("{\"format\":1,\"crc32c\":\"00000000\",\"version\":{}}\n"))
	f.Add([]byte("{\"format\":1,\"crc32c\":\"\n\n\n{"))
	f.Add([]byte{0, 0, '\n', 0xff})
	f.Fuzz(func(t *testing.T, journal []byte) {
		m := inMemory(t, 1)
		require.NoError(t, m.MkdirAll(place+"/.history/contents", 0o755))
		m.Put(place+"/.history/journal.jsonl", string(journal))
		s, err := openOn(m)
		require.NoError(t, err)
		v := commit(t, s, fleet, "goes on")
		h, err := s.History(t.Context(), 0, 10)
		require.NoError(t, err)
		require.Equal(t, v.Number, h[0].Number)
		require.NoError(t, s.Close())
	})
}
