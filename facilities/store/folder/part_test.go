package folder_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
)

// TestHistoryOfSmallEditsIsSmall edits one number in a long file many times.
func TestHistoryOfSmallEditsIsSmall(t *testing.T) {
	dir := region(t)
	random := rand.New(rand.NewPCG(1, 2))
	long := make([]byte, 100_000)
	for i := range long {
		long[i] = byte('a' + random.IntN(26))
	}
	s, err := folder.Open(dir, options())
	require.NoError(t, err)
	want := map[int64]string{}
	for i := range 150 {
		copy(long[random.IntN(len(long)-20):], fmt.Sprintf("<edit %d>", i))
		if i%40 == 39 {
			long = append(long[:5000:5000], long[6000:]...)
		}
		v := commit(t, s, fleet, string(long))
		want[v.Number] = string(long)
		if i == 70 { // another process begins anew
			require.NoError(t, s.Close())
			s, err = folder.Open(dir, options())
			require.NoError(t, err)
		}
	}
	commit(t, s, fleet, want[2]) // what is made from others, for a third time
	require.NoError(t, s.Close())
	s = open(t, dir, options())
	for n, content := range want {
		v, err := s.At(t.Context(), n)
		require.NoError(t, err)
		require.Equal(t, content, string(v.Content[fleet]))
	}
	size := int64(0)
	err = fs.WalkDir(os.DirFS(dir), ".history", func(_ string, d fs.DirEntry, err error) error {
		if info, infoErr := d.Info(); infoErr == nil && !d.IsDir() {
			size += info.Size()
		}
		return err
	})
	require.NoError(t, err)
	assert.Less(t, size, int64(10*len(long)), "150 versions take the room of a few")
}

// TestPartsThatLieAboutThemselves: parts that go round in a circle, or out of
// what they are made from, are refused.
func TestPartsThatLieAboutThemselves(t *testing.T) {
	dir, _ := written(t)
	s := open(t, dir, options())
	h := store.Sum([]byte(text(2)))
	base := filepath.Join(dir, ".history", "contents", h.String()[:2], h.String()[2:])
	require.NoError(t, os.Remove(base+".gz"))
	for _, lie := range []string{
		fmt.Sprintf(`{"of":"%s","at":0,"cut":0}`+"\n", h),
		fmt.Sprintf(`{"of":"%s","at":-1,"cut":0}`+"\n", store.Sum([]byte("{}"))),
		fmt.Sprintf(`{"of":"%s","at":1,"cut":9223372036854775807}`+"\n", store.Sum([]byte("{}"))),
		fmt.Sprintf(`{"of":"%s","at":0,"cut":0}`+"\nx", store.Sum([]byte("{}"))),
		`{"of":"x"}` + "\n", "", "\n",
	} {
		require.NoError(t, os.WriteFile(base+".part.gz", folder.Pack([]byte(lie)), 0o640))
		_, err := s.At(t.Context(), 2)
		require.ErrorIs(t, err, store.ErrDamaged, lie)
	}
	good := fmt.Sprintf(`{"of":"%s","at":1,"cut":1}`+"\n", store.Sum([]byte("{}")))
	require.NoError(t, os.WriteFile(base+".part.gz", folder.Pack([]byte(good)), 0o640))
	_, err := s.At(t.Context(), 2)
	require.ErrorContains(t, err, "it has become "+store.Sum([]byte("{")).String())
}

func FuzzParts(f *testing.F) {
	f.Add([]byte("abcabc"), []byte("abcXabc"))
	f.Add([]byte("aaaa"), []byte("aaaaa"))
	f.Add([]byte(""), bytes.Repeat([]byte("x"), 1000))
	f.Add([]byte(strings.Repeat("xy", 500)), []byte(strings.Repeat("xy", 499)))
	f.Fuzz(func(t *testing.T, before, after []byte) {
		got, err := folder.SplitAndJoin(before, after)
		require.NoError(t, err)
		require.Equal(t, string(after), string(got))
	})
}
