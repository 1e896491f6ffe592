package storetest

import (
	"context"

	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
)

func openAgain(f *fixture) {
	s := f.open()
	var want []*store.Version
	want = append(want, f.current(s))
	for i := 2; i <= 12; i++ {
		e := edit(int64(i-1), fleet, numbered(i))
		if i == 7 {
			e.Files[roads] = []byte("{}")
		}
		if i == 9 {
			e.Files[roads] = nil
		}
		want = append(want, f.commit(s, e))
	}
	require.NoError(f, s.Close())
	s = f.store()
	f.same(want[len(want)-1], f.current(s))
	for _, v := range want {
		got, err := s.At(f.Context(), v.Number)
		require.NoError(f, err)
		f.same(v, got)
	}
	got, err := s.Using(f.Context(), store.Sum([]byte("{}")))
	require.NoError(f, err)
	require.Equal(f, []int64{7, 8}, got)
	f.commit(s, edit(12, fleet, numbered(13)))
}

func closed(f *fixture) {
	s := f.open()
	require.NoError(f, s.Close())
	require.NoError(f, s.Close(), "twice does no harm")
	f.refuses(s, f.Context(), store.ErrClosed)
	f.unchangedSince(f.store(), f.current(f.store()))
}

func contextEnded(f *fixture) {
	s := f.store()
	v := f.current(s)
	ctx, cancel := context.WithCancel(f.Context())
	cancel()
	f.refuses(s, ctx, context.Canceled)
	f.unchangedSince(s, v)
}

// refuses holds every call of a store to an error.
func (f *fixture) refuses(s store.Store, ctx context.Context, want error) {
	f.Helper()
	_, err := s.Current(ctx)
	require.ErrorIs(f, err, want)
	_, err = s.At(ctx, 1)
	require.ErrorIs(f, err, want)
	_, err = s.Commit(ctx, edit(1, fleet, numbered(2)))
	require.ErrorIs(f, err, want)
	_, err = s.History(ctx, 0, 10)
	require.ErrorIs(f, err, want)
	_, err = s.Using(ctx, store.Hash{})
	require.ErrorIs(f, err, want)
	require.ErrorIs(f, s.Follow(ctx, 0, func(int64) error { return nil }), want)
}
