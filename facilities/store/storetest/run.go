package storetest

import (
	"testing"

	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
)

// Start begins a new store, in which no other test takes part, and returns a
// function that opens a handle on it. The first handle that is open must be able
// to commit; those opened while another is may refuse with store.ErrReadOnly.
type Start func(t *testing.T, g Given) (open func() store.Store)

// Run holds the stores that start begins to everything a store promises.
func Run(t *testing.T, start Start) {
	for _, test := range []struct {
		name string
		run  func(*fixture)
	}{
		{"first version", firstVersion},
		{"commit", commit},
		{"content to the byte", contentToTheByte},
		{"entry to the letter", entryToTheLetter},
		{"conflict", conflict},
		{"two editors race", race},
		{"unchanged", unchanged},
		{"unusable files", unusable},
		{"removal", removal},
		{"several files in one step", severalFiles},
		{"history in pages", history},
		{"no such version", noSuchVersion},
		{"using", using},
		{"hostile names", hostileNames},
		{"limits", limits},
		{"callers keep their bytes", callersKeepTheirBytes},
		{"follow", follow},
		{"follow from another handle", followElsewhere},
		{"follow ends", followEnds},
		{"open again", openAgain},
		{"closed", closed},
		{"context ended", contextEnded},
		{"clock steps back", clockStepsBack},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := &fixture{T: t, Given: given()}
			f.Given.Now = f.clock.now
			f.open = start(t, f.Given)
			test.run(f)
		})
	}
}

// fixture is a store under test.
type fixture struct {
	*testing.T
	Given
	clock clock
	open  func() store.Store
}

// store opens a handle that is closed with the test.
func (f *fixture) store() store.Store {
	f.Helper()
	s := f.open()
	f.Cleanup(func() { require.NoError(f, s.Close()) })
	return s
}

func (f *fixture) current(s store.Store) *store.Version {
	f.Helper()
	v, err := s.Current(f.Context())
	require.NoError(f, err)
	return v
}

func (f *fixture) commit(s store.Store, e store.Edit) *store.Version {
	f.Helper()
	v, err := s.Commit(f.Context(), e)
	require.NoError(f, err)
	require.Equal(f, e.Base+1, v.Number)
	return v
}

// unchangedSince holds a store to a version and to having kept no other.
func (f *fixture) unchangedSince(s store.Store, v *store.Version) {
	f.Helper()
	f.same(v, f.current(s))
	h, err := s.History(f.Context(), 0, 1)
	require.NoError(f, err)
	require.Equal(f, v.Number, h[0].Number)
}

// same compares versions whole.
func (f *fixture) same(want, got *store.Version) {
	f.Helper()
	f.sameEntry(want.Entry, got.Entry)
	require.Equal(f, len(want.Content), len(got.Content))
	for name, content := range want.Content {
		require.Contains(f, got.Content, name)
		require.Equal(f, string(content), string(got.Content[name]), name)
	}
}

func (f *fixture) sameEntry(want, got store.Entry) {
	f.Helper()
	require.True(f, want.At.Equal(got.At), "%s in place of %s", got.At, want.At)
	want.At = got.At
	require.Empty(f, cmpEntry(want, got))
}
