package record_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
)

// TestPagesAreTheRange: page by page comes what Range gives at once, notes with
// their answers. Source: definition.
func TestPagesAreTheRange(t *testing.T) {
	s := open(t, t.TempDir(), record.Options{MaxSegment: 2500})
	var ids []string
	for i := range 12 {
		ids = append(ids, keep(t, s, sample(i)))
		require.NoError(t, s.Choose(t.Context(), ids[i/2], "other", evening))
	}
	from, to := evening.Add(2*time.Second), evening.Add(11*time.Second)
	want := map[string]int{}
	for rec, err := range s.Range(from, to) {
		require.NoError(t, err)
		want[rec.ID]++
	}
	require.Len(t, want, 9)
	for most := 1; most <= 10; most++ {
		got := map[string]int{}
		for after, more := int64(0), true; more; {
			records, follow := s.Page(from, to, after, most)
			answers := 0
			for rec, err := range records {
				require.NoError(t, err)
				got[rec.ID]++
				if rec.Kind == record.KindAnswer {
					answers++
					after = rec.Number
				}
			}
			require.LessOrEqual(t, answers, most)
			require.True(t, !follow || answers == most, "a page before the last is full")
			more = follow
		}
		assert.Equal(t, want, got, "pages of %d", most)
	}
}

func TestCase(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir, record.Options{MaxSegment: 2500})
	first := keep(t, s, sample(0))
	other := keep(t, s, sample(1))
	for i := range 6 {
		keep(t, s, sample(2+i)) // the notes come in later segments
		require.NoError(t, s.Fact(t.Context(), first, fmt.Sprintf("step_%d", i), evening))
		require.NoError(t, s.Choose(t.Context(), other, "other", evening))
	}
	records, err := s.Case(first)
	require.NoError(t, err)
	require.Len(t, records, 7)
	equal(t, sample(0), records[0])
	for i, rec := range records[1:] {
		assert.Equal(t, record.KindFact, rec.Kind)
		assert.Equal(t, first, rec.ID)
		assert.Equal(t, fmt.Sprintf("step_%d", i), rec.What)
	}
	_, err = s.Case("223")
	require.ErrorIs(t, err, record.ErrID)
	_, err = s.Case(record.FormatID(500))
	require.ErrorIs(t, err, record.ErrNotFound)

	// a segment that is gone takes its notes, and nothing else
	names, err := filepath.Glob(filepath.Join(dir, "segments", "*.jsonl"))
	require.NoError(t, err)
	require.Greater(t, len(names), 2)
	require.NoError(t, os.Remove(names[len(names)-2]))
	records, err = s.Case(first)
	require.ErrorIs(t, err, record.ErrNotFound)
	equal(t, sample(0), records[0])
	assert.Less(t, len(records), 7)
}

// TestSummarise: source, arithmetic by hand.
func TestSummarise(t *testing.T) {
	row := func(differenceS int64, chosen string, arrived bool) record.Row {
		r := record.Row{Chosen: chosen}
		if chosen != "" && chosen != "other" {
			r.Predicted, r.PredictedSlow = evening.Add(30*time.Minute), evening.Add(40*time.Minute)
		}
		if arrived {
			h := record.Happened{What: record.WithSurgeon, At: evening.Add(30*time.Minute + time.Duration(differenceS)*time.Second), Predicted: r.Predicted}
			if !h.Predicted.IsZero() {
				h.DifferenceS = differenceS
			}
			r.Facts = []record.Happened{{What: "load"}, h}
		}
		return r
	}
	for _, tt := range []struct {
		name  string
		rows  []record.Row
		want  record.Summary
		share float64
	}{
		{"nothing", nil, record.Summary{}, math.NaN()},
		{"no choice", []record.Row{row(0, "", true)}, record.Summary{Answers: 1}, math.NaN()},
		{"another than offered", []record.Row{row(0, "other", true)}, record.Summary{Answers: 1, Chosen: 1}, math.NaN()},
		{"not arrived", []record.Row{row(0, "a", false)}, record.Summary{Answers: 1, Chosen: 1}, math.NaN()},
		{"at the slow time", []record.Row{row(600, "a", true)}, record.Summary{Answers: 1, Chosen: 1, Arrived: 1, MedianS: 600, WithinSlow: 1}, 1},
		{"odd", []record.Row{row(601, "a", true), row(-60, "b", true), row(120, "c", true)}, record.Summary{Answers: 3, Chosen: 3, Arrived: 3, MedianS: 120, WithinSlow: 2}, 2. / 3},
		{"even", []record.Row{row(0, "a", true), row(61, "b", true)}, record.Summary{Answers: 2, Chosen: 2, Arrived: 2, MedianS: 30.5, WithinSlow: 2}, 1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := record.Summarise(tt.rows)
			assert.Equal(t, tt.want, got)
			if share := got.Share(); math.IsNaN(tt.share) {
				assert.True(t, math.IsNaN(share))
			} else {
				assert.InDelta(t, tt.share, share, 1e-12)
			}
		})
	}
}
