package storetest

import (
	"math"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
)

func history(f *fixture) {
	s := f.store()
	var want []store.Entry
	want = append(want, f.current(s).Entry)
	for i := 2; i <= 25; i++ {
		f.clock.step(time.Second)
		e := edit(int64(i-1), fleet, numbered(i))
		e.What = []store.Change{{Action: "change", File: fleet, Element: "heli-1", After: []byte(numbered(i))}}
		want = append(want, f.commit(s, e).Entry)
	}
	for _, most := range []int{1, 7, 25, 1000} {
		var got []store.Entry
		for before := int64(0); before != 1; {
			page, err := s.History(f.Context(), before, most)
			require.NoError(f, err)
			require.NotEmpty(f, page)
			require.LessOrEqual(f, len(page), most)
			got = append(got, page...)
			before = page[len(page)-1].Number
		}
		require.Len(f, got, len(want))
		for i, e := range got {
			f.sameEntry(want[len(want)-1-i], e)
		}
	}
	for _, tt := range []struct {
		before int64
		most   int
		count  int
	}{{1, 10, 0}, {2, 10, 1}, {0, 0, 0}, {0, -1, 0}, {26, 30, 25}, {math.MaxInt64, math.MaxInt, 25}} {
		page, err := s.History(f.Context(), tt.before, tt.most)
		require.NoError(f, err)
		require.Len(f, page, tt.count, "before %d most %d", tt.before, tt.most)
	}
}

func noSuchVersion(f *fixture) {
	s := f.store()
	f.commit(s, edit(1, fleet, numbered(2)))
	for _, number := range []int64{0, -1, 3, math.MaxInt64, math.MinInt64} {
		_, err := s.At(f.Context(), number)
		require.ErrorIs(f, err, store.ErrNotFound, "%d", number)
	}
}

func using(f *fixture) {
	s := f.store()
	first := string(f.Files[fleet])
	f.commit(s, edit(1, fleet, numbered(2)))
	f.commit(s, edit(2, settings, "x"))
	f.commit(s, edit(3, fleet, first))
	f.commit(s, edit(4, roads, first)) // the same content in two files of a version
	for _, tt := range []struct {
		content string
		want    []int64
	}{
		{first, []int64{1, 4, 5}},
		{numbered(2), []int64{2, 3}},
		{string(f.Files[places]), []int64{1, 2, 3, 4, 5}},
		{"x", []int64{3, 4, 5}},
	} {
		got, err := s.Using(f.Context(), store.Sum([]byte(tt.content)))
		require.NoError(f, err)
		require.Equal(f, tt.want, got, tt.content)
	}
	got, err := s.Using(f.Context(), store.Sum([]byte("never there")))
	require.NoError(f, err)
	require.Empty(f, got)
}

// clockStepsBack: the order is that of the numbers, whatever the clock says.
func clockStepsBack(f *fixture) {
	s := f.store()
	f.clock.step(-48 * time.Hour)
	v := f.commit(s, edit(1, fleet, numbered(2)))
	require.True(f, v.At.Equal(evening.Add(-48*time.Hour)))
	f.clock.step(time.Hour)
	f.commit(s, edit(2, fleet, numbered(3)))
	require.Equal(f, numbered(3), string(f.current(s).Content[fleet]))
	h, err := s.History(f.Context(), 0, 10)
	require.NoError(f, err)
	require.Equal(f, []int64{3, 2, 1}, []int64{h[0].Number, h[1].Number, h[2].Number})
}
