package record_test

import (
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
	"surgeonward/facilities/disk/disktest"
)

const folder = "/srv/record"

// acknowledged is what callers were told is kept.
type acknowledged struct {
	mu      sync.Mutex
	answers map[string]int
	facts   map[string]bool
}

// fill records from several callers until all are done or the power is cut.
func (a *acknowledged) fill(t *testing.T, s *record.Store, from int) {
	var group sync.WaitGroup
	for w := range 3 {
		group.Go(func() {
			for i := from + w; i < from+12; i += 3 {
				id, err := s.Answer(t.Context(), sample(i, regionPart(i)))
				if err != nil {
					return
				}
				factErr := s.Fact(t.Context(), id, "load", evening)
				a.mu.Lock()
				assert.NotContains(t, a.answers, id, "the same id twice")
				a.answers[id] = i
				if factErr == nil {
					a.facts[id] = true
				}
				a.mu.Unlock()
			}
		})
	}
	group.Wait()
}

func regionPart(i int) record.Data {
	return record.NewData("fleet.json", []byte(strings.Repeat(fmt.Sprintf("fleet %d\n", i%100/4), 20)))
}

// check holds the record to what was acknowledged.
func (a *acknowledged) check(t *testing.T, r *record.Reader) {
	facts := map[string]bool{}
	records, faults := all(r)
	for _, err := range faults {
		// only what was never acknowledged can be damaged
		require.ErrorAs(t, err, new(*record.Damage))
	}
	for _, rec := range records {
		facts[rec.ID] = facts[rec.ID] || rec.Kind == record.KindFact
	}
	for id, i := range a.answers {
		rec, err := r.Get(id)
		require.NoError(t, err, "answer %d was acknowledged", i)
		equal(t, sample(i, regionPart(i)), rec)
		data, err := r.Blob(rec.Data[0].Hash)
		require.NoError(t, err)
		require.Equal(t, regionPart(i).Bytes, data)
		require.True(t, facts[id] || !a.facts[id])
	}
}

// TestPowerCut cuts the power before the first change to the disk, before the
// second, and so on, four times over on the same folder: what was not synced is gone,
// and every acknowledged record must be there. Opening is cut too. The second time only
// the process is killed, so that the next finds what was written and not yet synced.
func TestPowerCut(t *testing.T) {
	opts := record.Options{MaxSegment: 4000, Now: clock}
	cuts := 0
	for steps := 0; steps < 100; steps += 1 + steps/25 {
		t.Run(fmt.Sprint("before change ", steps), func(t *testing.T) {
			m := disktest.NewMemory(uint64(steps))
			kept := acknowledged{answers: map[string]int{}, facts: map[string]bool{}}
			for round := range 4 {
				before := m
				m.CutAfter(steps + 7*round)
				s, _, err := record.OpenOn(m, folder, opts)
				if err == nil {
					kept.fill(t, s, 100*round)
					_ = s.Close() // the power may be cut
				}
				if m.Dead() {
					cuts++
				}
				if m = m.AfterPower(); round == 1 {
					m = before.AfterKill()
				}
				s, report, err := record.OpenOn(m, folder, opts)
				require.NoError(t, err)
				require.Empty(t, report.Missing, "a record names data that is gone")
				kept.check(t, s.Reader)
				require.NoError(t, s.Close())
			}
		})
	}
	assert.Greater(t, cuts, 100)
}

// The same without the syncs must lose records, or the test above proves
// nothing.
func TestPowerCutIsNoticed(t *testing.T) {
	m := disktest.NewMemory(1)
	s, _, err := record.OpenOn(unsynced{m}, folder, record.Options{Now: clock})
	require.NoError(t, err)
	id := keep(t, s, sample(1))
	require.NoError(t, s.Close())
	r, _, err := record.OpenReadOnlyOn(m, folder)
	require.NoError(t, err)
	_, err = r.Get(id)
	require.NoError(t, err)
	_, _, err = record.OpenReadOnlyOn(m.AfterPower(), folder)
	require.ErrorContains(t, err, "no record is kept")
}

// unsynced leaves out what makes folder entries safe.
type unsynced struct{ *disktest.Memory }

func (unsynced) SyncDir(string) error { return nil }
