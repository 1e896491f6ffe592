package folder_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
	"surgeonward/facilities/store/storetest"
)

// The ways in which programs write a file.
var editors = map[string]func(t *testing.T, dir, name, content string){
	"in place": func(t *testing.T, dir, name, content string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644))
	},
	"in pieces": func(t *testing.T, dir, name, content string) {
		f, err := os.Create(filepath.Join(dir, name))
		require.NoError(t, err)
		for _, c := range strings.SplitAfter(content, " ") {
			_, err := f.WriteString(c)
			require.NoError(t, err)
			time.Sleep(20 * time.Millisecond)
		}
		require.NoError(t, f.Close())
	},
	"by a new file that takes its name": func(t *testing.T, dir, name, content string) {
		temp := filepath.Join(dir, "."+name+".swp")
		require.NoError(t, os.WriteFile(temp, []byte(content), 0o600))
		require.NoError(t, os.Rename(temp, filepath.Join(dir, name)))
	},
	"by moving the old file away first": func(t *testing.T, dir, name, content string) {
		path := filepath.Join(dir, name)
		require.NoError(t, os.Rename(path, path+"~"))
		time.Sleep(60 * time.Millisecond)
		require.NoError(t, os.WriteFile(path, []byte(content), 0o644))
		require.NoError(t, os.Remove(path+"~"))
	},
	"twice": func(t *testing.T, dir, name, content string) {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(bad), 0o644))
		time.Sleep(30 * time.Millisecond)
		require.NoError(t, os.WriteFile(path, []byte(content), 0o644))
	},
}

func TestEditByHand(t *testing.T) {
	for name, editor := range editors {
		for _, telling := range []bool{true, false} {
			t.Run(name, func(t *testing.T) {
				dir := region(t)
				opts := options()
				opts.Check = func(files map[string][]byte) []store.Fault {
					if text := string(files[fleet]); text != "" && !strings.HasSuffix(text, ".") {
						return []store.Fault{{File: fleet, Detail: "the file ends too early: write all of it"}}
					}
					return storetest.Check(files)
				}
				write(t, dir, map[string][]byte{fleet: []byte("fleet 0.")})
				opts.Explain = func(before, after map[string][]byte) ([]store.Change, int) {
					return []store.Change{{Action: "change", File: fleet, Before: before[fleet], After: after[fleet]}}, 3
				}
				var s *folder.Store
				if telling {
					opts.Every = time.Hour // only what the system tells of
					s = open(t, dir, opts)
				} else {
					var err error
					opts.Every = 100 * time.Millisecond
					s, err = folder.OpenOn(silent{}, dir, opts)
					require.NoError(t, err)
					t.Cleanup(func() { require.NoError(t, s.Close()) })
				}
				editor(t, dir, fleet, "fleet by hand and eye.")
				v := becomes(t, s, 2)
				assert.Equal(t, "file", v.Who)
				assert.Equal(t, "fleet by hand and eye.", string(v.Content[fleet]))
				assert.Equal(t, []store.Change{{Action: "change", File: fleet, Before: []byte("fleet 0."), After: []byte("fleet by hand and eye.")}}, v.What)
				assert.Equal(t, 3, v.More)
				assert.Empty(t, s.Rejected())
				commit(t, s, fleet, "fleet by desk.")
				assert.Equal(t, "fleet by desk.", onDisk(t, dir, fleet))
			})
		}
	}
}

// silent is the machine's file system without its telling of changes, as over
// a network.
type silent struct{ machine }

func TestInvalidEditByHand(t *testing.T) {
	dir := region(t)
	s := open(t, dir, options())
	write(t, dir, map[string][]byte{fleet: []byte(bad + " " + bad)})
	faults := rejects(t, s, 2)
	assert.Equal(t, store.Fault{File: fleet, Pointer: "/x", Detail: "cannot be used: take it out"}, faults[0])
	assert.Equal(t, int64(1), current(t, s).Number)
	assert.Equal(t, "fleet 0", string(current(t, s).Content[fleet]))

	// nobody writes over it
	_, err := s.Commit(t.Context(), edit(1, fleet, "fleet by desk"))
	var byHand *store.ByHandError
	require.ErrorAs(t, err, &byHand)
	assert.Len(t, byHand.Faults, 2)
	assert.ErrorContains(t, err, "mend it or put it back first: fleet.json /x: cannot be used")
	assert.Equal(t, bad+" "+bad, onDisk(t, dir, fleet))
	_, err = s.Commit(t.Context(), store.Edit{Base: 1, Files: map[string][]byte{fleet: nil}, Entry: store.Entry{Who: "desk-1"}})
	require.ErrorAs(t, err, &byHand)

	// other files can be edited meanwhile
	v := commit(t, s, settings, "{1}")
	assert.Equal(t, "fleet 0", string(v.Content[fleet]))
	assert.Equal(t, bad+" "+bad, onDisk(t, dir, fleet))
	assert.Equal(t, "{1}", onDisk(t, dir, settings))

	// mended in part
	write(t, dir, map[string][]byte{fleet: []byte(bad)})
	rejects(t, s, 1)
	// put back
	write(t, dir, map[string][]byte{fleet: []byte("fleet 0")})
	rejects(t, s, 0)
	assert.Equal(t, int64(2), current(t, s).Number)
	// mended
	write(t, dir, map[string][]byte{fleet: []byte(bad)})
	rejects(t, s, 1)
	write(t, dir, map[string][]byte{fleet: []byte("fleet by hand")})
	v = becomes(t, s, 3)
	assert.Equal(t, "{1}", string(v.Content[settings]))
	rejects(t, s, 0)
}

// TestEditByHandJustBeforeAnotherIsSeen: an edit that nobody has looked at yet is
// a version before the commit that would have undone it.
func TestEditByHandJustBeforeAnotherIsSeen(t *testing.T) {
	dir := region(t)
	opts := options()
	opts.Every = time.Hour
	s, err := folder.OpenOn(silent{}, dir, opts)
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	write(t, dir, map[string][]byte{fleet: []byte("fleet by hand")})
	_, err = s.Commit(t.Context(), edit(1, fleet, "fleet by desk"))
	var conflict *store.ConflictError
	require.ErrorAs(t, err, &conflict)
	assert.Equal(t, store.ConflictError{Base: 1, Newest: 2}, *conflict)
	assert.Equal(t, "fleet by hand", string(current(t, s).Content[fleet]))

	require.NoError(t, os.Remove(filepath.Join(dir, fleet)))
	_, err = s.Commit(t.Context(), edit(2, fleet, "fleet by desk"))
	require.ErrorAs(t, err, new(*store.ByHandError))
	_, err = os.Stat(filepath.Join(dir, fleet))
	require.ErrorIs(t, err, os.ErrNotExist)

	write(t, dir, map[string][]byte{fleet: []byte("fleet by hand")})
	commit(t, s, fleet, "fleet by desk")
}

func TestFileRemovedByHand(t *testing.T) {
	dir := region(t)
	write(t, dir, map[string][]byte{roads: []byte("roads")})
	s := open(t, dir, options())
	require.Len(t, current(t, s).Files, 4)
	require.NoError(t, os.Remove(filepath.Join(dir, roads)))
	v := becomes(t, s, 2)
	assert.NotContains(t, v.Content, roads, "it may be absent")
	require.NoError(t, os.Remove(filepath.Join(dir, fleet)))
	faults := rejects(t, s, 1)
	assert.Equal(t, "fleet.json: the file is missing: add it", faults[0].String())
	assert.Contains(t, current(t, s).Content, fleet)
	write(t, dir, map[string][]byte{fleet: []byte("fleet 0")})
	rejects(t, s, 0)
	assert.Equal(t, int64(2), current(t, s).Number)
}

func TestFilesThatAreNone(t *testing.T) {
	dir := region(t)
	s := open(t, dir, options())
	path := filepath.Join(dir, roads)
	require.NoError(t, os.Mkdir(path, 0o755))
	assert.Equal(t, "roads.geojson: the file cannot be read: it is not a regular file", rejects(t, s, 1)[0].String())
	_, err := s.Commit(t.Context(), edit(1, roads, "roads"))
	require.ErrorAs(t, err, new(*store.ByHandError))
	require.NoError(t, os.Remove(path))
	rejects(t, s, 0)
	f, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, f.Truncate(store.MaxFile+1))
	require.NoError(t, f.Close())
	assert.Equal(t, "roads.geojson: the file cannot be read: it is longer than 67108864 bytes", rejects(t, s, 1)[0].String())
	require.NoError(t, os.Remove(path))
	rejects(t, s, 0)
	assert.Equal(t, int64(1), current(t, s).Number)
}

// TestEditsByHandWhileNobodyLooked: a folder is opened with what people did to it
// meanwhile.
func TestEditsByHandWhileNobodyLooked(t *testing.T) {
	dir := region(t)
	s, err := folder.Open(dir, options())
	require.NoError(t, err)
	commit(t, s, fleet, "fleet 1")
	commit(t, s, fleet, "fleet 2")
	require.NoError(t, s.Close())

	write(t, dir, map[string][]byte{fleet: []byte("fleet by hand")})
	s, err = folder.Open(dir, options())
	require.NoError(t, err)
	assert.Equal(t, "fleet by hand", string(becomes(t, s, 4).Content[fleet]))
	require.NoError(t, s.Close())

	// what a file had in an older version is an edit by hand like any other
	write(t, dir, map[string][]byte{fleet: []byte("fleet 1")})
	s, err = folder.Open(dir, options())
	require.NoError(t, err)
	assert.Equal(t, "fleet 1", string(becomes(t, s, 5).Content[fleet]))
	require.NoError(t, s.Close())

	write(t, dir, map[string][]byte{fleet: []byte(bad)})
	s, err = folder.Open(dir, options())
	require.NoError(t, err)
	assert.Len(t, s.Rejected(), 1)
	assert.Equal(t, "fleet 1", string(current(t, s).Content[fleet]))
	assert.Equal(t, bad, onDisk(t, dir, fleet))
	require.NoError(t, s.Close())
}

// TestFolderThatWasNeverInOrder has no version until it is.
func TestFolderThatWasNeverInOrder(t *testing.T) {
	dir := quick(t)
	s := open(t, dir, options())
	_, err := s.Current(t.Context())
	require.ErrorIs(t, err, store.ErrNotFound)
	assert.Equal(t, "fleet.json: the file is missing: add it", rejects(t, s, 1)[0].String())
	h, err := s.History(t.Context(), 0, 10)
	require.NoError(t, err)
	assert.Empty(t, h)
	write(t, dir, map[string][]byte{fleet: []byte("fleet 1")})
	eventually(t, "the first version does not come", func() bool { _, err := s.Current(t.Context()); return err == nil })
	assert.Equal(t, int64(1), current(t, s).Number)
	assert.Empty(t, rejects(t, s, 0))
}

func TestFirstVersionByCommit(t *testing.T) {
	s := open(t, quick(t), options())
	v, err := s.Commit(t.Context(), store.Edit{Files: files(), Entry: store.Entry{Who: "import"}})
	require.NoError(t, err)
	assert.Equal(t, int64(1), v.Number)
	assert.Equal(t, "import", v.Who)
	assert.Empty(t, rejects(t, s, 0))
}

func TestNames(t *testing.T) {
	for _, name := range []string{"", ".", "..", ".history", ".x", "a/b", `a\b`, "/a", strings.Repeat("x", 300)} {
		_, err := folder.Open(region(t), folder.Options{Names: []string{fleet, name}})
		require.Error(t, err, name)
	}
	_, err := folder.Open(region(t), folder.Options{})
	require.Error(t, err)
	_, err = folder.Open(filepath.Join(region(t), "none"), options())
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = folder.Open(filepath.Join(region(t), fleet), options())
	require.ErrorContains(t, err, "is not a folder")
	require.False(t, errors.Is(err, store.ErrReadOnly))
}
