package transfer_test

import (
	"bytes"
	"context"
	"iter"
	"math/rand/v2"
	"os"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
	"surgeonward/facilities/store/postgres"
	"surgeonward/facilities/store/postgres/pgserver"
	"surgeonward/facilities/store/transfer"
)

func TestMain(m *testing.M) { pgserver.Main(m) }

var names = []string{"facilities.geojson", "fleet.json", "roads.geojson"}

// history is a store with versions of every kind.
func history(t *testing.T) store.Store {
	t.Helper()
	at := time.Date(2031, 3, 14, 21, 40, 0, 123_456_000, time.UTC)
	files := map[string][]byte{"facilities.geojson": []byte("{\"type\":\r\n\t1e9}"), "fleet.json": []byte(`{"assets":[]}`), "roads.geojson": nil}
	s, err := store.Memory(files, nil, func() time.Time { at = at.Add(90 * time.Second); return at })
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	edit := func(base int64, name, content, who, why string) {
		e := store.Edit{Base: base, Files: map[string][]byte{name: []byte(content)}, Entry: store.Entry{Who: who, Why: why}}
		if content == "" {
			e.Files[name] = nil
		}
		e.What = []store.Change{{Action: "change", File: name, Element: "x", Before: []byte(`{ "a":1.0 }`), After: []byte(`{"a":2}`)}}
		e.More = 7
		_, err := s.Commit(t.Context(), e)
		require.NoError(t, err)
	}
	edit(1, "roads.geojson", "{}", "desk-1", "bridge out \u2014 \u05e9\u05dc\u05d5\u05dd")
	edit(2, "fleet.json", `{"assets":[1]}`, "desk-2", "")
	edit(3, "roads.geojson", "", "expiry", "")
	edit(4, "fleet.json", `{"assets":[]}`, "desk-2", "as it was")
	return s
}

func collect(t *testing.T, versions iter.Seq2[*store.Version, error]) (out []*store.Version) {
	t.Helper()
	for v, err := range versions {
		require.NoError(t, err)
		out = append(out, v)
	}
	return out
}

// same compares all that history and files say. The first version of a folder is
// always by "file", as the one here is.
func same(t *testing.T, want, got []*store.Version) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := range want {
		assert.True(t, want[i].At.Equal(got[i].At), "%s, not %s", got[i].At, want[i].At)
		g := *got[i]
		g.At = want[i].At
		assert.Equal(t, want[i].Files, g.Files)
		assert.Equal(t, want[i].Who+want[i].Why, g.Who+g.Why)
		assert.Equal(t, want[i].More, g.More)
		assert.Equal(t, len(want[i].What), len(g.What))
		for j := range want[i].What {
			assert.Equal(t, want[i].What[j], g.What[j])
		}
		for name, content := range want[i].Content {
			assert.Equal(t, string(content), string(g.Content[name]))
		}
	}
}

func toFolder(t *testing.T) (store.Store, *transfer.Clock) {
	t.Helper()
	clock := &transfer.Clock{}
	s, err := folder.Open(t.TempDir(), folder.Options{Names: names, Now: clock.Now})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s, clock
}

func toDatabase(t *testing.T) (store.Store, *transfer.Clock) {
	t.Helper()
	clock := &transfer.Clock{}
	s, err := postgres.Open(t.Context(), pgserver.Schema(t), postgres.Options{Names: names, Now: clock.Now})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s, clock
}

// TestThereAndBack: what goes to a folder, to a database and into a backup comes
// back as it was.
func TestThereAndBack(t *testing.T) {
	source := history(t)
	want := collect(t, transfer.Versions(t.Context(), source))
	for _, tt := range []struct {
		name string
		open func(*testing.T) (store.Store, *transfer.Clock)
	}{{"folder", toFolder}, {"database", toDatabase}} {
		t.Run(tt.name, func(t *testing.T) {
			s, clock := tt.open(t)
			count, err := transfer.Into(t.Context(), s, clock, transfer.Versions(t.Context(), source))
			require.NoError(t, err)
			assert.EqualValues(t, 5, count)
			same(t, want, collect(t, transfer.Versions(t.Context(), s)))

			var backup bytes.Buffer
			count, err = transfer.Write(t.Context(), &backup, s)
			require.NoError(t, err)
			assert.EqualValues(t, 5, count)
			same(t, want, collect(t, transfer.Read(&backup)))

			_, err = transfer.Into(t.Context(), s, clock, transfer.Versions(t.Context(), source))
			assert.ErrorIs(t, err, transfer.ErrNotEmpty)
			same(t, want, collect(t, transfer.Versions(t.Context(), s)))
		})
	}
}

// TestSameBytes: a backup of the same history is the same file.
func TestSameBytes(t *testing.T) {
	var one, other bytes.Buffer
	for _, b := range []*bytes.Buffer{&one, &other} {
		_, err := transfer.Write(t.Context(), b, history(t))
		require.NoError(t, err)
	}
	assert.True(t, bytes.Equal(one.Bytes(), other.Bytes()))
}

func fault(b []byte) error {
	for _, err := range transfer.Read(bytes.NewReader(b)) {
		if err != nil {
			return err
		}
	}
	return nil
}

// TestDamagedBackup: a backup that is cut off anywhere, or in which a byte is
// another, is not taken for a whole one.
func TestDamagedBackup(t *testing.T) {
	var b bytes.Buffer
	_, err := transfer.Write(t.Context(), &b, history(t))
	require.NoError(t, err)
	whole := b.Bytes()
	require.NoError(t, fault(whole))
	for n := range whole {
		require.Error(t, fault(whole[:n]), "cut off at %d of %d", n, len(whole))
	}
	random := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		changed := bytes.Clone(whole)
		at := 10 + random.IntN(len(whole)-10) // the head of a gzip file says nothing of its content
		changed[at] ^= byte(1 + random.IntN(255))
		require.Error(t, fault(changed), "byte %d", at)
	}
	assert.ErrorContains(t, fault([]byte("PK\x03\x04 and so on, no gzip")), "no gzip file")
	assert.Error(t, fault(nil))
}

// longBackup is a backup of versions of one file, whose contents do not get
// smaller by packing. The last is as the first.
func longBackup(t *testing.T, versions int64, size int) (first, backup []byte) {
	t.Helper()
	random := rand.NewChaCha8([32]byte{1})
	content := func() []byte {
		text := make([]byte, size)
		_, _ = random.Read(text) // never fails
		return text
	}
	first = content()
	s, err := store.Memory(map[string][]byte{"fleet.json": first}, nil, nil)
	require.NoError(t, err)
	for n := int64(1); n < versions; n++ {
		text := first // the last is as the first was
		if n < versions-1 {
			text = content()
		}
		_, err := s.Commit(t.Context(), store.Edit{Base: n, Files: map[string][]byte{"fleet.json": text}, Entry: store.Entry{Who: "desk"}})
		require.NoError(t, err)
	}
	var b bytes.Buffer
	_, err = transfer.Write(t.Context(), &b, s)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	return first, b.Bytes()
}

// TestLongHistory: a backup is read in the memory of a few versions, whatever
// its length, and leaves nothing behind, also where nobody wants all of it.
func TestLongHistory(t *testing.T) {
	const versions, size, room = 40, 1 << 20, 12 << 20
	first, backup := longBackup(t, versions, size)
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	held := func() int64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return int64(m.HeapAlloc)
	}
	before, most, count := held(), int64(0), 0
	for v, err := range transfer.Read(bytes.NewReader(backup)) {
		require.NoError(t, err)
		if count++; count == versions {
			assert.True(t, bytes.Equal(first, v.Content["fleet.json"]))
		}
		if count%8 == 0 {
			most = max(most, held()-before)
		}
	}
	assert.Equal(t, versions, count)
	assert.Less(t, most, int64(room))
	next, stop := iter.Pull2(transfer.Read(bytes.NewReader(backup)))
	_, err, some := next()
	stop() // after the first
	require.True(t, some)
	require.NoError(t, err)
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}

// TestStopped: a transfer that is stopped says so.
func TestStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := transfer.Write(ctx, &bytes.Buffer{}, history(t))
	assert.ErrorIs(t, err, context.Canceled)
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(nil))
	f.Add([]byte{0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 0xff})
	f.Fuzz(func(t *testing.T, b []byte) { _ = fault(b) })
}
