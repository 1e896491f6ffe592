package folder_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/disk/disktest"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
)

const place = "/srv/region"

// inMemory is a region's folder on a disk that can be failed.
func inMemory(t testing.TB, seed uint64) *disktest.Memory {
	m := disktest.NewMemory(seed)
	require.NoError(t, m.MkdirAll(place, 0o755))
	for name, content := range files() {
		m.Put(place+"/"+name, string(content))
	}
	m.SyncAll()
	return m
}

func openOn(m *disktest.Memory) (*folder.Store, error) {
	opts := options()
	opts.Every = time.Hour // the tests say when to look
	return folder.OpenOn(m, place, opts)
}

// count edits two files and a third now and then until all is done or the power is cut, and
// returns the number of the last version that was acknowledged.
func count(t *testing.T, s *folder.Store, many int) (last int64) {
	v, err := s.Current(t.Context())
	for range many {
		if err != nil {
			break
		}
		last = v.Number
		next := v.Number + 1
		e := store.Edit{Base: v.Number, Entry: store.Entry{Who: "desk-1", Why: text(next)}}
		e.Files = map[string][]byte{fleet: counted(next), settings: counted(next)}
		switch next % 3 {
		case 0:
			e.Files[roads] = nil
		case 1:
			e.Files[roads] = counted(next)
		}
		v, err = s.Commit(t.Context(), e)
	}
	if err == nil && v != nil {
		last = v.Number
	}
	return last
}

// TestPowerCut cuts the power before the first change to the disk, before the
// second, and so on, four times over on the same folder: what was not synced is gone or
// there in part, and every acknowledged version must be there. Opening is cut too. The
// second time only the process is killed.
func TestPowerCut(t *testing.T) {
	cuts := 0
	for steps := range 90 {
		t.Run(fmt.Sprint("before change ", steps), func(t *testing.T) {
			m := inMemory(t, uint64(steps))
			acknowledged := int64(0)
			for round := range 4 {
				before := m
				m.CutAfter(steps + 7*round)
				s, err := openOn(m)
				if err == nil {
					acknowledged = max(acknowledged, count(t, s, 4))
					if !m.Dead() {
						s.Turn()
					}
					_ = s.Close() // the power may be cut
				}
				if m.Dead() {
					cuts++
				}
				if m = before.AfterPower(); round == 1 {
					m = before.AfterKill()
				}
				s, err = openOn(m)
				require.NoError(t, err)
				require.Empty(t, s.Rejected())
				v := current(t, s)
				require.GreaterOrEqual(t, v.Number, acknowledged)
				for n := int64(2); n <= v.Number; n++ {
					old, err := s.At(t.Context(), n)
					require.NoError(t, err)
					require.Equal(t, text(n), old.Why, "no crash makes an edit by hand")
					require.Equal(t, string(counted(n)), string(old.Content[fleet]))
					require.Equal(t, string(counted(n)), string(old.Content[settings]))
				}
				for _, name := range names {
					content, there := m.Get(place + "/" + name)
					want, wanted := v.Content[name]
					require.Equal(t, wanted, there, name)
					require.Equal(t, string(want), content, name)
				}
				require.NoError(t, s.Close())
				acknowledged = v.Number
			}
		})
	}
	assert.Greater(t, cuts, 100)
}

// TestFullDisk fills the disk after every possible number of bytes in turn. What was
// acknowledged stays, what was not is refused, and when there is room again the same
// store goes on.
func TestFullDisk(t *testing.T) {
	for room := 0; room < 100_000; room += 1777 {
		m := inMemory(t, uint64(room))
		s, err := openOn(m)
		require.NoError(t, err)
		m.Room(room)
		last := count(t, s, 20)
		_, err = s.Commit(t.Context(), edit(last, roads, string(counted(99))+string(counted(100))))
		if err != nil {
			require.ErrorIs(t, err, store.ErrUnavailable)
			require.ErrorIs(t, err, disktest.ErrFull)
		} else {
			last++
		}
		m.Room(0)
		_, err = s.Commit(t.Context(), edit(last, roads, "no room"))
		require.ErrorIs(t, err, disktest.ErrFull)
		require.Equal(t, last, current(t, s).Number)
		behind := len(s.Rejected())
		m.Room(-1)
		s.Turn()
		require.Empty(t, s.Rejected(), "%d files were behind", behind)
		commit(t, s, roads, "room again")
		content, _ := m.Get(place + "/" + roads)
		require.Equal(t, "room again", content)
		require.NoError(t, s.Close())

		s, err = openOn(m.AfterPower())
		require.NoError(t, err)
		require.Empty(t, s.Rejected())
		require.Equal(t, last+1, current(t, s).Number)
		require.Equal(t, "room again", string(current(t, s).Content[roads]))
		require.NoError(t, s.Close())
	}
}

// After a failed sync nobody knows what a file holds: the line is taken back,
// and written anew.
func TestFailedSync(t *testing.T) {
	m := inMemory(t, 3)
	s, err := openOn(m)
	require.NoError(t, err)
	commit(t, s, fleet, "fleet 1")
	m.FailSync(true)
	for range 3 {
		_, err = s.Commit(t.Context(), edit(2, fleet, "fleet 2"))
		require.ErrorIs(t, err, disktest.ErrSync)
		require.ErrorIs(t, err, store.ErrUnavailable)
	}
	m.FailSync(false)
	commit(t, s, fleet, "fleet 3")
	require.NoError(t, s.Close())
	s, err = openOn(m.AfterPower())
	require.NoError(t, err)
	require.Empty(t, s.Rejected())
	require.Equal(t, int64(3), current(t, s).Number)
	require.Equal(t, "fleet 3", string(current(t, s).Content[fleet]))
	require.NoError(t, s.Close())
}
