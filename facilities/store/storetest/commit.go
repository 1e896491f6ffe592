package storetest

import (
	"errors"
	"fmt"
	"strings"
	"sync"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
)

func firstVersion(f *fixture) {
	s := f.store()
	v := f.current(s)
	require.Equal(f, int64(1), v.Number)
	require.Equal(f, "file", v.Who)
	require.True(f, v.At.Equal(evening))
	require.Equal(f, store.Describe(f.Files), v.Files)
	for name, content := range f.Files {
		require.Equal(f, string(content), string(v.Content[name]))
	}
	require.Len(f, v.Content, len(f.Files))
	require.Empty(f, s.Rejected())
}

func commit(f *fixture) {
	s := f.store()
	before := f.current(s)
	e := edit(1, fleet, numbered(2))
	e.Number, e.At, e.Files[fleet] = 99, evening.AddDate(1, 0, 0), []byte(numbered(2))
	v := f.commit(s, e)
	require.Equal(f, int64(2), v.Number, "the store counts")
	require.True(f, v.At.Equal(evening), "the store has the clock")
	require.Equal(f, numbered(2), string(v.Content[fleet]))
	require.Equal(f, string(f.Files[places]), string(v.Content[places]))
	require.Equal(f, store.Describe(v.Content), v.Files)
	f.same(v, f.current(s))
	old, err := s.At(f.Context(), 1)
	require.NoError(f, err)
	f.same(before, old)
}

func contentToTheByte(f *fixture) {
	s := f.store()
	var every []byte
	for i := range 256 {
		every = append(every, byte(i))
	}
	for i, content := range []string{
		string(every), "\xff\xfe\x00", "", "\r\n\r\n", "\u2028\x00é", strings.Repeat(string(every), 1000), " ", "{}", "{}\n", "\ufeff{}",
	} {
		v := f.commit(s, edit(int64(i+1), settings, content))
		require.NotNil(f, v.Content[settings])
		require.Equal(f, content, string(v.Content[settings]))
		again, err := s.At(f.Context(), v.Number)
		require.NoError(f, err)
		f.same(v, again)
		require.Contains(f, again.Files, store.File{Name: settings, Hash: store.Sum([]byte(content)), Size: int64(len(content))})
	}
}

func entryToTheLetter(f *fixture) {
	s := f.store()
	e := edit(1, fleet, numbered(2))
	e.Who, e.Why, e.More = "désk \u202e \"<&>'\\", "line one\n\tline two \U0001f681 '; --", 7
	e.What = []store.Change{
		{Action: "change", File: fleet, Element: "heli-1", Before: []byte(" {\"a\" : 1.0e0}\r\n"), After: []byte("\x00\xff")},
		{Action: "create", File: places, Element: "new", After: []byte("{}")},
		{Action: "delete", File: places, Element: "old", Before: []byte("{}")},
		{Action: "import", File: roads},
	}
	v := f.commit(s, e)
	e.Number, e.At, e.Entry.Files = v.Number, v.At, v.Files
	f.sameEntry(e.Entry, v.Entry)
	h, err := s.History(f.Context(), 0, 10)
	require.NoError(f, err)
	f.sameEntry(e.Entry, h[0])
	again, err := s.At(f.Context(), 2)
	require.NoError(f, err)
	f.same(v, again)
}

func conflict(f *fixture) {
	s := f.store()
	v := f.commit(s, edit(1, fleet, numbered(2)))
	for _, base := range []int64{0, 1, 3, 1 << 62} {
		_, err := s.Commit(f.Context(), edit(base, fleet, numbered(3)))
		var c *store.ConflictError
		require.ErrorAs(f, err, &c, "base %d", base)
		require.Equal(f, store.ConflictError{Base: base, Newest: 2}, *c)
	}
	// that nothing would change does not make an old base a new one
	_, err := s.Commit(f.Context(), edit(1, fleet, numbered(2)))
	require.ErrorAs(f, err, new(*store.ConflictError))
	_, err = s.Commit(f.Context(), edit(1, settings, "another file"))
	require.ErrorAs(f, err, new(*store.ConflictError))
	f.unchangedSince(s, v)
}

// race lets two editors count in one file. Each adds one to what it read, as
// somebody who edits a number does: were an edit lost, or made onto something that its
// editor had not seen, the sum would be less than the edits.
func race(f *fixture) {
	const each = 500
	handles := []store.Store{f.store(), f.store()}
	if _, err := handles[1].Commit(f.Context(), edit(0, fleet, "")); errors.Is(err, store.ErrReadOnly) {
		handles[1] = handles[0]
	}
	f.commit(handles[0], edit(1, settings, "0"))
	var group sync.WaitGroup
	lost := make([]int, len(handles))
	for i, s := range handles {
		group.Go(func() {
			for done := 0; done < each; {
				v, err := s.Current(f.Context())
				if !assert.NoError(f, err) {
					return
				}
				var n int
				_, err = fmt.Sscan(string(v.Content[settings]), &n)
				if !assert.NoError(f, err) {
					return
				}
				e := edit(v.Number, settings, fmt.Sprint(n+1))
				e.Who = fmt.Sprint("editor ", i)
				_, err = s.Commit(f.Context(), e)
				var c *store.ConflictError
				switch {
				case err == nil:
					done++
				case errors.As(err, &c):
					lost[i]++
					if !assert.Greater(f, c.Newest, c.Base) {
						return
					}
				default:
					assert.NoError(f, err)
					return
				}
			}
		})
	}
	group.Wait()
	v := f.current(handles[0])
	require.Equal(f, fmt.Sprint(2*each), string(v.Content[settings]))
	require.Equal(f, int64(2+2*each), v.Number)
	by := map[string]int{}
	for n := int64(3); n <= v.Number; n++ {
		old, err := handles[0].At(f.Context(), n)
		require.NoError(f, err)
		require.Equal(f, fmt.Sprint(n-2), string(old.Content[settings]))
		by[old.Who]++
	}
	require.Equal(f, map[string]int{"editor 0": each, "editor 1": each}, by)
	f.Logf("%d edits, %d conflicts", 2*each, lost[0]+lost[1])
}

func unchanged(f *fixture) {
	s := f.store()
	v := f.current(s)
	_, err := s.Commit(f.Context(), edit(1, fleet, string(f.Files[fleet])))
	require.ErrorIs(f, err, store.ErrUnchanged)
	_, err = s.Commit(f.Context(), store.Edit{Base: 1, Files: map[string][]byte{roads: nil}, Entry: store.Entry{Who: "desk-1"}})
	require.ErrorIs(f, err, store.ErrUnchanged, "what is not there cannot be removed")
	f.unchangedSince(s, v)

	// back to what it was before is a change
	f.commit(s, edit(1, fleet, numbered(2)))
	f.commit(s, edit(2, fleet, string(f.Files[fleet])))
}

func unusable(f *fixture) {
	s := f.store()
	v := f.current(s)
	_, err := s.Commit(f.Context(), edit(1, places, mark+mark))
	var invalid *store.InvalidError
	require.ErrorAs(f, err, &invalid)
	require.Equal(f, []store.Fault{
		{File: places, Pointer: "/x", Detail: "cannot be used: take it out"},
		{File: places, Pointer: "/x", Detail: "cannot be used: take it out"},
	}, invalid.Faults)
	_, err = s.Commit(f.Context(), store.Edit{Base: 1, Files: map[string][]byte{fleet: nil}, Entry: store.Entry{Who: "desk-1"}})
	require.ErrorAs(f, err, &invalid)
	require.Len(f, invalid.Faults, 1)
	f.unchangedSince(s, v)
	require.Empty(f, s.Rejected(), "a refused edit is its editor's concern")
}

func removal(f *fixture) {
	s := f.store()
	v := f.commit(s, edit(1, roads, "{}"))
	require.Equal(f, "{}", string(v.Content[roads]))
	without := f.commit(s, store.Edit{Base: 2, Files: map[string][]byte{roads: nil}, Entry: store.Entry{Who: "desk-1"}})
	require.NotContains(f, without.Content, roads)
	require.Len(f, without.Files, 3)
	old, err := s.At(f.Context(), 2)
	require.NoError(f, err)
	f.same(v, old)
	empty := f.commit(s, edit(3, roads, ""))
	require.Contains(f, empty.Content, roads, "an empty file is there")
	require.Len(f, empty.Files, 4)
}

func severalFiles(f *fixture) {
	s := f.store()
	_, err := s.Commit(f.Context(), store.Edit{
		Base: 1, Entry: store.Entry{Who: "desk-1"},
		Files: map[string][]byte{fleet: []byte(numbered(2)), places: []byte(mark), roads: []byte("{}")},
	})
	require.ErrorAs(f, err, new(*store.InvalidError))
	f.unchangedSince(s, f.current(s))
	v := f.commit(s, store.Edit{
		Base: 1, Entry: store.Entry{Who: "desk-1"},
		Files: map[string][]byte{fleet: []byte(numbered(2)), places: []byte("[]"), roads: []byte("{}"), settings: nil},
	})
	require.Equal(f, store.Describe(map[string][]byte{fleet: []byte(numbered(2)), places: []byte("[]"), roads: []byte("{}")}), v.Files)
}
