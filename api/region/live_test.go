package region_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/region"
	"surgeonward/facilities"
	"surgeonward/facilities/store"
)

// clock is set by hand.
type clock struct{ at atomic.Pointer[time.Time] }

func newClock(at time.Time) *clock {
	c := &clock{}
	c.set(at)
	return c
}

func (c *clock) set(at time.Time) { c.at.Store(&at) }
func (c *clock) now() time.Time   { return *c.at.Load() }

var evening = time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)

// kept is the demo region in a store in memory.
func kept(t testing.TB, loader *region.Loader, now func() time.Time) *store.InMemory {
	t.Helper()
	files, err := region.DemoFiles()
	require.NoError(t, err)
	s, err := store.Memory(files, loader.Check, now)
	require.NoError(t, err)
	return s
}

func live(t testing.TB, s store.Store, loader *region.Loader, now func() time.Time) *region.Live {
	t.Helper()
	l, err := region.NewLive(t.Context(), region.LiveConfig{Store: s, Loader: loader, Now: now})
	require.NoError(t, err)
	return l
}

// accept sets a hospital's accepting state; empty removes it.
func accept(id, state string) func(*store.Version) (region.Draft, error) {
	return func(v *store.Version) (region.Draft, error) {
		if state == "" {
			state = "null"
		}
		after, err := region.Patch(region.FacilitiesFile, v.Content[region.FacilitiesFile], id, fmt.Appendf(nil, `{"properties":{"accepting":%s}}`, state))
		return region.Draft{
			Files: map[string][]byte{region.FacilitiesFile: after},
			What:  []store.Change{{Action: "divert", File: region.FacilitiesFile, Element: id}},
		}, err
	}
}

func stateOf(t testing.TB, l *region.Live, id string) facilities.Accepting {
	t.Helper()
	f, ok := l.Region().Facilities.Get(id)
	require.True(t, ok)
	return f.Accepting
}

func TestEditIsServedAtOnce(t *testing.T) {
	var loader region.Loader
	l := live(t, kept(t, &loader, nil), &loader, nil)
	before := l.Region()
	v, err := l.Edit(t.Context(), "north desk", "theatre flooded", accept("ettuquar-chest", `{"state":"closed"}`))
	require.NoError(t, err)
	assert.Equal(t, int64(2), v.Number)
	assert.Equal(t, facilities.Closed, stateOf(t, l, "ettuquar-chest").State)
	assert.Equal(t, int64(2), l.State().Version.Number)
	f, _ := before.Facilities.Get("ettuquar-chest")
	assert.Equal(t, facilities.Open, f.Accepting.State, "what was handed out before does not change")
	assert.Same(t, before.RoadMap(), l.Region().RoadMap(), "roads that did not change are taken over")
	assert.Equal(t, before.Engine.Road, l.Region().Engine.Road)
	assert.Equal(t, before.Hashes.Roads, l.Region().Hashes.Roads)
	assert.NotEqual(t, before.Hashes.Facilities, l.Region().Hashes.Facilities)

	again, err := l.Edit(t.Context(), "north desk", "", accept("ettuquar-chest", `{"state":"closed"}`))
	require.ErrorIs(t, err, store.ErrUnchanged)
	assert.Equal(t, v.Number, again.Number)
}

// TestEditOfTheWholeRegion: a road that changes is not taken over, nor is
// anything of other settings.
func TestWhatChangesIsMadeAnew(t *testing.T) {
	var loader region.Loader
	l := live(t, kept(t, &loader, nil), &loader, nil)
	before := l.Region()
	for i, replace := range []struct{ file, old, now string }{
		{region.RoadsFile, `"kind": "crossing"`, `"x_seen": 1, "kind": "crossing"`},
		{region.SettingsFile, `"road_factor": 1.3`, `"road_factor": 1.4`},
	} {
		_, err := l.Edit(t.Context(), "editor", "", func(v *store.Version) (region.Draft, error) {
			text := string(v.Content[replace.file])
			require.Contains(t, text, replace.old)
			return region.Draft{Files: map[string][]byte{replace.file: []byte(strings.Replace(text, replace.old, replace.now, 1))}}, nil
		})
		require.NoError(t, err)
		assert.NotSame(t, before.RoadMap(), l.Region().RoadMap(), "edit %d", i)
		fresh, report := region.FromFiles(current(t, l))
		require.Empty(t, report.Faults)
		assert.Equal(t, fresh.Hashes, l.Region().Hashes)
	}
	assert.InDelta(t, 1.4, l.Region().Settings.RoadFactor, 0)
}

func current(t testing.TB, l *region.Live) map[string][]byte {
	t.Helper()
	v, err := l.Store().Current(t.Context())
	require.NoError(t, err)
	return v.Content
}

func TestEditThatDoesNotFit(t *testing.T) {
	var loader region.Loader
	l := live(t, kept(t, &loader, nil), &loader, nil)
	_, err := l.Edit(t.Context(), "editor", "", func(v *store.Version) (region.Draft, error) {
		after, err := region.Remove(region.FacilitiesFile, v.Content[region.FacilitiesFile], "air-ossuvaune")
		return region.Draft{Files: map[string][]byte{region.FacilitiesFile: after}}, err
	})
	var invalid *store.InvalidError
	require.ErrorAs(t, err, &invalid)
	require.NotEmpty(t, invalid.Faults)
	assert.Equal(t, region.FleetFile, invalid.Faults[0].File)
	assert.Equal(t, "/assets/0/base", invalid.Faults[0].Pointer)
	assert.Equal(t, int64(1), l.State().Version.Number)

	refusal := errors.New("not this one")
	_, err = l.Edit(t.Context(), "editor", "", func(*store.Version) (region.Draft, error) { return region.Draft{}, refusal })
	assert.ErrorIs(t, err, refusal)
}

// TestEditorsRace: two services on one store, four editors, each of an element
// of its own; every edit holds. Source: definition of an edit.
func TestEditorsRace(t *testing.T) {
	var loader region.Loader
	s := kept(t, &loader, nil)
	services := []*region.Live{live(t, s, &loader, nil), live(t, s.Open(), &loader, nil)}
	hospitals := []string{"ossuvaune-general", "ettuquar-chest", "luorimaune-childrens", "quorreth-hospital"}
	const each = 25
	var wg sync.WaitGroup
	for i, id := range hospitals {
		wg.Go(func() {
			for n := range each {
				_, err := services[i%2].Edit(t.Context(), "editor", "", accept(id, fmt.Sprintf(`{"state":"divert","reason":"%d"}`, n)))
				assert.NoError(t, err)
			}
		})
	}
	wg.Wait()
	v, err := s.Current(t.Context())
	require.NoError(t, err)
	assert.Equal(t, int64(1+each*len(hospitals)), v.Number, "each edit made one version")
	r, report := loader.Load(v.Content)
	require.Empty(t, report.Faults)
	for _, id := range hospitals {
		f, _ := r.Facilities.Get(id)
		assert.Equal(t, fmt.Sprint(each-1), f.Accepting.Reason, id)
	}
}

// TestFollowsOthers: what another service does is served here.
func TestFollowsOthers(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var loader region.Loader
		s := kept(t, &loader, nil)
		here, there := live(t, s, &loader, nil), live(t, s.Open(), &loader, nil)
		ctx, stop := context.WithCancel(t.Context())
		done := make(chan struct{})
		go func() { here.Run(ctx); close(done) }()
		_, changed := here.Watch()
		_, err := there.Edit(ctx, "there", "", accept("ettuquar-chest", `{"state":"divert"}`))
		require.NoError(t, err)
		<-changed
		assert.Equal(t, facilities.Divert, stateOf(t, here, "ettuquar-chest").State)
		stop()
		<-done
	})
}

// TestExpiry: a state ends when its time comes, whoever looks, and the history
// says so. Source: definition.
func TestExpiry(t *testing.T) {
	var loader region.Loader
	clock := newClock(evening)
	s := kept(t, &loader, clock.now)
	here, there := live(t, s, &loader, clock.now), live(t, s.Open(), &loader, clock.now)
	n, err := here.Expire(t.Context()) // the demo region has one that ended in February
	require.NoError(t, err)
	require.Equal(t, 1, n)
	before := current(t, here)[region.FacilitiesFile]
	_, err = here.Edit(t.Context(), "desk", "", accept("ettuquar-chest", `{"state":"divert","until":"2031-03-14T23:00:00Z"}`))
	require.NoError(t, err)
	_, err = here.Edit(t.Context(), "desk", "", accept("ossuvaune-general", `{"state":"closed","until":"2031-03-15T06:00:00Z"}`))
	require.NoError(t, err)

	n, err = here.Expire(t.Context())
	require.NoError(t, err)
	assert.Zero(t, n, "nothing has ended yet")

	clock.set(time.Date(2031, 3, 14, 23, 0, 0, 0, time.UTC)) // the clock steps
	n, err = here.Expire(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 1, n)
	assert.Equal(t, facilities.Open, stateOf(t, here, "ettuquar-chest").State)
	assert.Equal(t, facilities.Closed, stateOf(t, here, "ossuvaune-general").State)
	entries, err := s.History(t.Context(), 0, 1)
	require.NoError(t, err)
	assert.Equal(t, region.Expiry, entries[0].Who)
	assert.Contains(t, entries[0].Why, "ettuquar-chest ended at 2031-03-14T23:00:00Z")
	require.Len(t, entries[0].What, 1)
	assert.Equal(t, "expire", entries[0].What[0].Action)
	assert.Contains(t, string(entries[0].What[0].Before), `"divert"`)
	assert.NotContains(t, string(entries[0].What[0].After), "accepting")

	n, err = there.Expire(t.Context()) // the other service comes late
	require.NoError(t, err)
	assert.Zero(t, n)
	newest, err := s.Current(t.Context())
	require.NoError(t, err)
	assert.Equal(t, int64(5), newest.Number, "one of two services did it")

	clock.set(evening.Add(-time.Hour)) // and steps back
	n, err = here.Expire(t.Context())
	require.NoError(t, err)
	assert.Zero(t, n)
	clock.set(evening.AddDate(10, 0, 0))
	n, err = there.Expire(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 1, n)
	assert.True(t, string(before) == string(current(t, there)[region.FacilitiesFile]), "the file is what it was before, byte for byte")
}

// TestExpiryByItself: Run sees the clock within a second, also when it steps.
func TestExpiryByItself(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var loader region.Loader
		clock := newClock(evening)
		l := live(t, kept(t, &loader, clock.now), &loader, clock.now)
		_, err := l.Edit(t.Context(), "desk", "", accept("ettuquar-chest", `{"state":"divert","until":"2031-03-14T23:00:00Z"}`))
		require.NoError(t, err)
		ctx, stop := context.WithCancel(t.Context())
		done := make(chan struct{})
		go func() { l.Run(ctx); close(done) }()
		time.Sleep(10 * time.Second)
		assert.Equal(t, facilities.Divert, stateOf(t, l, "ettuquar-chest").State)
		clock.set(evening.Add(2 * time.Hour))
		time.Sleep(1100 * time.Millisecond)
		synctest.Wait()
		assert.Equal(t, facilities.Open, stateOf(t, l, "ettuquar-chest").State)
		stop()
		<-done
	})
}

// down is a store that can be switched off.
type down struct {
	store.Store
	off atomic.Bool
	cut chan struct{}
}

func (d *down) gone() error {
	if d.off.Load() {
		return fmt.Errorf("connection refused: %w", store.ErrUnavailable)
	}
	return nil
}

func (d *down) Current(ctx context.Context) (*store.Version, error) {
	if err := d.gone(); err != nil {
		return nil, err
	}
	return d.Store.Current(ctx)
}

func (d *down) Commit(ctx context.Context, e store.Edit) (*store.Version, error) {
	if err := d.gone(); err != nil {
		return nil, err
	}
	return d.Store.Commit(ctx, e)
}

func (d *down) Follow(ctx context.Context, since int64, seen func(int64) error) error {
	if err := d.gone(); err != nil {
		return err
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	go func() {
		select {
		case <-d.cut:
			cancel()
		case <-ctx.Done():
		}
	}()
	if err := d.Store.Follow(ctx, since, seen); !d.off.Load() {
		return err
	}
	return d.gone()
}

// TestStoreGone: answers go on from the last good data and say how old it is;
// edits say so at once; when the store is back, so is everything.
func TestStoreGone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var loader region.Loader
		clock := newClock(evening)
		memory := kept(t, &loader, clock.now)
		s := &down{Store: memory, cut: make(chan struct{})}
		l := live(t, s, &loader, clock.now)
		ctx, stop := context.WithCancel(t.Context())
		done := make(chan struct{})
		go func() { l.Run(ctx); close(done) }()
		synctest.Wait()

		s.off.Store(true)
		close(s.cut)
		time.Sleep(3 * time.Second)
		assert.Equal(t, evening, l.State().StaleSince)
		assert.Equal(t, evening, l.Region().StaleSince)
		_, err := l.Edit(ctx, "desk", "", accept("ettuquar-chest", `{"state":"divert"}`))
		require.ErrorIs(t, err, store.ErrUnavailable)

		other := live(t, memory.Open(), &loader, clock.now) // somebody else still reaches it
		_, err = other.Edit(ctx, "other", "", accept("ettuquar-chest", `{"state":"closed"}`))
		require.NoError(t, err)
		assert.Equal(t, facilities.Open, stateOf(t, l, "ettuquar-chest").State)

		s.cut = make(chan struct{})
		s.off.Store(false)
		time.Sleep(2 * time.Second)
		assert.Zero(t, l.State().StaleSince)
		assert.Zero(t, l.Region().StaleSince)
		assert.Equal(t, facilities.Closed, stateOf(t, l, "ettuquar-chest").State)
		stop()
		<-done
	})
}

// TestUsing: an answer's hash leads to the versions it can have been made from,
// also those from before this service was started.
func TestUsing(t *testing.T) {
	var loader region.Loader
	s := kept(t, &loader, nil)
	first := live(t, s, &loader, nil)
	open := first.Region().Hashes
	_, err := first.Edit(t.Context(), "desk", "", accept("ettuquar-chest", `{"state":"divert"}`))
	require.NoError(t, err)
	divert := first.Region().Hashes
	_, err = first.Edit(t.Context(), "desk", "", accept("ettuquar-chest", ""))
	require.NoError(t, err)

	late := live(t, s.Open(), &region.Loader{}, nil)
	v, err := s.Current(t.Context())
	require.NoError(t, err)
	for _, tt := range []struct {
		name, hash string
		want       []int64
	}{
		{"facilities of an answer", open.Facilities, []int64{1, 3}},
		{"facilities of another", divert.Facilities, []int64{2}},
		{"the fleet did not change", open.Fleet, []int64{1, 2, 3}},
		{"nor did the roads", open.Roads, []int64{1, 2, 3}},
		{"nor the parameters", open.Parameters, []int64{1, 2, 3}},
		{"a file's own hash", store.Sum(v.Content[region.FacilitiesFile]).String(), []int64{1, 3}},
		{"a hash of nothing", strings.Repeat("0", 64), nil},
		{"no hash", "heli-1", nil},
		{"empty", "", nil},
	} {
		for _, l := range []*region.Live{first, late} {
			numbers, err := l.Using(t.Context(), tt.hash)
			require.NoError(t, err, tt.name)
			assert.Equal(t, tt.want, numbers, tt.name)
		}
	}
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = live(t, s.Open(), &region.Loader{}, nil).Using(ended, open.Fleet)
	assert.ErrorIs(t, err, context.Canceled)
}

func TestEntries(t *testing.T) {
	var loader region.Loader
	s := kept(t, &loader, nil)
	l := live(t, s, &loader, nil)
	const edits = region.MaxSince + 3
	for n := range edits {
		_, err := l.Edit(t.Context(), "desk", "", accept("ettuquar-chest", fmt.Sprintf(`{"state":"divert","reason":"%d"}`, n)))
		require.NoError(t, err)
	}
	late := live(t, s.Open(), &loader, nil) // has none of the entries at hand
	for _, l := range []*region.Live{l, late} {
		entries, all, err := l.Entries(t.Context(), edits-4)
		require.NoError(t, err)
		require.True(t, all)
		require.Len(t, entries, 5)
		for i, e := range entries {
			assert.Equal(t, int64(edits-3+i), e.Number)
			assert.Equal(t, "ettuquar-chest", e.What[0].Element)
		}
		for _, after := range []int64{-1, 0, 1} {
			_, all, err = l.Entries(t.Context(), after)
			require.NoError(t, err)
			assert.False(t, all, "too many after %d", after)
		}
		entries, all, err = l.Entries(t.Context(), edits+7)
		require.NoError(t, err)
		assert.True(t, all)
		assert.Empty(t, entries)
	}
}

func TestNewLiveNeedsGoodData(t *testing.T) {
	_, err := region.NewLive(t.Context(), region.LiveConfig{})
	require.Error(t, err)
	files, err := region.DemoFiles()
	require.NoError(t, err)
	files[region.FleetFile] = []byte(`{"assets":[{"id":"x"}]}`)
	s, err := store.Memory(files, nil, nil)
	require.NoError(t, err)
	_, err = region.NewLive(t.Context(), region.LiveConfig{Store: s})
	var invalid *store.InvalidError
	require.ErrorAs(t, err, &invalid)
	assert.Equal(t, region.FleetFile, invalid.Faults[0].File)
}

// TestNewerDataByOtherRules: a version that this program cannot use is not
// served, and is no reason to stop serving what was there.
func TestNewerDataByOtherRules(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		files, err := region.DemoFiles()
		require.NoError(t, err)
		s, err := store.Memory(files, nil, nil) // checks nothing
		require.NoError(t, err)
		l := live(t, s, nil, nil)
		ctx, stop := context.WithCancel(t.Context())
		done := make(chan struct{})
		go func() { l.Run(ctx); close(done) }()
		commit := func(base int64, fleet []byte) {
			_, err := s.Commit(ctx, store.Edit{Base: base, Files: map[string][]byte{region.FleetFile: fleet}, Entry: store.Entry{Who: "newer"}})
			require.NoError(t, err)
			time.Sleep(3 * time.Second)
		}
		good := l.Region()
		commit(1, []byte(`{"assets":[{"id":"x"}]}`))
		assert.Same(t, good, l.Region())
		assert.Equal(t, int64(1), l.State().Version.Number)
		require.NotEmpty(t, l.State().Rejected)
		assert.Equal(t, region.FleetFile, l.State().Rejected[0].File)
		commit(2, append(files[region.FleetFile], '\n'))
		assert.Empty(t, l.State().Rejected)
		assert.Equal(t, int64(3), l.State().Version.Number)
		stop()
		<-done
	})
}

// damaged is a store that has lost one of its versions.
type damaged struct {
	store.Store
	number int64
}

func (d damaged) At(ctx context.Context, number int64) (*store.Version, error) {
	if number == d.number {
		return nil, fmt.Errorf("version %d: %w", number, store.ErrDamaged)
	}
	return d.Store.At(ctx, number)
}

// A version that is lost hides none of those before it. Source: definition.
func TestUsingPassesOverDamage(t *testing.T) {
	loader := &region.Loader{}
	s := kept(t, loader, nil)
	l := live(t, s, loader, nil)
	open := l.Region().Hashes
	for _, state := range []string{`{"state":"divert"}`, "", `{"state":"closed"}`} {
		_, err := l.Edit(t.Context(), "desk", "", accept("ettuquar-chest", state))
		require.NoError(t, err)
	}
	again := live(t, damaged{s.Open(), 2}, &region.Loader{}, nil)
	numbers, err := again.Using(t.Context(), open.Facilities)
	require.NoError(t, err)
	assert.Equal(t, []int64{1, 3}, numbers)
	numbers, err = again.Using(t.Context(), open.Fleet)
	require.NoError(t, err)
	assert.Equal(t, []int64{1, 3, 4}, numbers)
}
