package storetest

import (
	"math"
	"strings"

	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
)

func hostileNames(f *fixture) {
	s := f.store()
	v := f.current(s)
	for _, name := range []string{
		"", ".", "..", "/", "../fleet.json", "a/b", `..\fleet.json`, "./fleet.json", "/etc/passwd", "fleet.json/", "Fleet.json", "fleet.json ",
		"fleet.json\x00", "\xff\xfe", "C:fleet.json", ".history", ".history/journal", "map.geojson", strings.Repeat("x", 300), "fleet.json\n",
	} {
		for _, content := range [][]byte{nil, {}, []byte("x")} {
			_, err := s.Commit(f.Context(), store.Edit{
				Base: 1, Files: map[string][]byte{name: content, fleet: []byte(numbered(2))}, Entry: store.Entry{Who: "desk-1"},
			})
			require.ErrorIs(f, err, store.ErrEdit, "%q", name)
		}
		e := edit(1, fleet, numbered(2))
		e.What = []store.Change{{Action: "change", File: name, Element: "x"}}
		_, err := s.Commit(f.Context(), e)
		require.ErrorIs(f, err, store.ErrEdit, "%q", name)
	}
	f.unchangedSince(s, v)
}

func limits(f *fixture) {
	s := f.store()
	v := f.current(s)
	long := strings.Repeat("é", store.MaxText)
	many := make([]store.Change, store.MaxChanges)
	for i := range many {
		many[i] = store.Change{Action: "change", File: fleet, Element: "heli-1"}
	}
	for _, tt := range []struct {
		name   string
		change func(*store.Edit)
	}{
		{"no file", func(e *store.Edit) { e.Files = nil }},
		{"a file too long", func(e *store.Edit) { e.Files[fleet] = make([]byte, store.MaxFile+1) }},
		{"nobody", func(e *store.Edit) { e.Who = "" }},
		{"a name too long", func(e *store.Edit) { e.Who = long + "x" }},
		{"a reason too long", func(e *store.Edit) { e.Why = long + "x" }},
		{"a name in two lines", func(e *store.Edit) { e.Who = "a\nb" }},
		{"a name that is no text", func(e *store.Edit) { e.Who = "a\xff" }},
		{"a reason that is no text", func(e *store.Edit) { e.Why = "a\xff" }},
		{"a reason with NUL", func(e *store.Edit) { e.Why = "a\x00" }},
		{"too many elements", func(e *store.Edit) { e.What = append(many, many[0]) }},
		{"less than no more elements", func(e *store.Edit) { e.More = -1 }},
		{"no action", func(e *store.Edit) { e.What = []store.Change{{File: fleet}} }},
		{"an element too long", func(e *store.Edit) { e.What = []store.Change{{Action: "x", File: fleet, Element: long + "x"}} }},
		{"an action that is no text", func(e *store.Edit) { e.What = []store.Change{{Action: "\xff", File: fleet}} }},
		{"elements quoted at length", func(e *store.Edit) {
			e.What = []store.Change{{Action: "x", File: fleet, Before: make([]byte, 2*store.MaxFile), After: []byte("x")}}
		}},
		{"a base before the first", func(e *store.Edit) { e.Base = -1 }},
		{"a base far before the first", func(e *store.Edit) { e.Base = math.MinInt64 }},
	} {
		e := edit(1, fleet, numbered(2))
		tt.change(&e)
		_, err := s.Commit(f.Context(), e)
		require.ErrorIs(f, err, store.ErrEdit, tt.name)
	}
	f.unchangedSince(s, v)

	e := edit(1, fleet, numbered(2))
	e.Who, e.Why, e.What, e.More = long, long, many, math.MaxInt32
	f.commit(s, e)
	h, err := s.History(f.Context(), 0, 1)
	require.NoError(f, err)
	require.Equal(f, long, h[0].Who)
	require.Equal(f, long, h[0].Why)
	require.Len(f, h[0].What, store.MaxChanges)
	require.Equal(f, math.MaxInt32, h[0].More)
}

// callersKeepTheirBytes: what a caller does with its bytes afterwards is not
// seen in the store.
func callersKeepTheirBytes(f *fixture) {
	s := f.store()
	e := edit(1, fleet, numbered(2))
	e.What = []store.Change{{Action: "change", File: fleet, Element: "heli-1", Before: []byte("before"), After: []byte("after")}}
	f.commit(s, e)
	clear(e.Files[fleet])
	clear(e.What[0].Before)
	clear(e.What[0].After)
	e.What[0] = store.Change{}
	v := f.current(s)
	require.Equal(f, numbered(2), string(v.Content[fleet]))
	require.Equal(f, "heli-1", v.What[0].Element)
	require.Equal(f, "before", string(v.What[0].Before))
	require.Equal(f, "after", string(v.What[0].After))
}
