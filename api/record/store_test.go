package record_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"surgeonward/api/record"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(writerFolder); dir != "" {
		os.Exit(writeUntilKilled(dir))
	}
	goleak.VerifyTestMain(m)
}

func TestRoundTrip(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "record")
	s, report, err := record.Open(dir, record.Options{Now: clock})
	require.NoError(t, err)
	assert.Equal(t, record.Report{}, report)

	fleet, empty := record.NewData("fleet.json", []byte(`{"assets":[]}`)), record.NewData("roads.geojson", nil)
	want := sample(1, fleet, empty)
	want.At = want.At.In(time.FixedZone("", -2*3600))
	want.MadeAt = want.MadeAt.Add(123456789 * time.Nanosecond)
	id := keep(t, s, want)
	unclocked := sample(2, fleet)
	unclocked.MadeAt = time.Time{}
	second := keep(t, s, unclocked)
	unclocked.MadeAt = clock()
	lifted := evening.Add(310 * time.Second)
	require.NoError(t, s.Choose(t.Context(), strings.ToLower(id), "air:heli-1:ossuvaune-general", evening))
	require.NoError(t, s.Fact(t.Context(), id, "mobilise", lifted))

	check := func(r *record.Reader) {
		rec, err := r.Get(id)
		require.NoError(t, err)
		equal(t, want, rec)
		rec, err = r.Get(strings.ReplaceAll(second, "-", " "))
		require.NoError(t, err)
		equal(t, unclocked, rec)
		content, err := r.Blob(fleet.Hash)
		require.NoError(t, err)
		assert.Equal(t, fleet.Bytes, content)
		content, err = r.Blob(empty.Hash)
		require.NoError(t, err)
		assert.Empty(t, content)
		records, faults := all(r)
		require.Empty(t, faults)
		require.Len(t, records, 4)
		assert.Equal(t, record.Record{
			Number: 3, ID: id, Kind: record.KindChoice, At: evening, MadeAt: clock(), Option: "air:heli-1:ossuvaune-general",
		}, records[2])
		assert.Equal(t, record.Record{Number: 4, ID: id, Kind: record.KindFact, At: lifted, MadeAt: clock(), What: "mobilise"}, records[3])
	}
	check(s.Reader)
	reader, report, err := record.OpenReadOnly(dir) // while it is being written
	require.NoError(t, err)
	assert.Empty(t, report.Sentences())
	assert.Equal(t, 4, report.Records)
	check(reader)
	require.NoError(t, s.Close())
	require.NoError(t, s.Close(), "closing twice")
	check(reader)

	again := open(t, dir, record.Options{})
	check(again.Reader)
	assert.Greater(t, keep(t, again, sample(3)), second, "ids go on")
}

func TestFilesAreTheOwnersOnly(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "record")
	s := open(t, dir, record.Options{})
	keep(t, s, sample(1, record.NewData("fleet.json", []byte("{}"))))
	require.NoError(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		require.NoError(t, err)
		info, err := d.Info()
		require.NoError(t, err)
		assert.Zero(t, info.Mode().Perm()&0o077, path)
		return nil
	}))
}

func TestRangeGoesByWhenTheAnswerWasMade(t *testing.T) {
	s := open(t, t.TempDir(), record.Options{MaxSegment: 2000})
	var ids []string
	for i := range 10 {
		ids = append(ids, keep(t, s, sample(i)))
	}
	late := evening.Add(48 * time.Hour)
	require.NoError(t, s.Fact(t.Context(), ids[3], "load", late))
	require.NoError(t, s.Fact(t.Context(), ids[8], "load", late))
	var got []string
	for rec, err := range s.Range(evening.Add(2*time.Second), evening.Add(5*time.Second)) {
		require.NoError(t, err)
		got = append(got, string(rec.Kind)+" "+rec.ID)
	}
	assert.Equal(t, []string{"answer " + ids[2], "answer " + ids[3], "answer " + ids[4], "fact " + ids[3]}, got)
	for _, err := range s.Range(time.Time{}, time.Time{}) {
		require.NoError(t, err)
		break // an early end leaves nothing open
	}
}

// The clock of a machine is set back when it is corrected; the order of
// decisions must not change by it.
func TestClockStepsBack(t *testing.T) {
	dir := t.TempDir()
	now := evening
	opts := record.Options{MaxSegment: 1500, MaxTotal: 1 << 20, Now: func() time.Time { now = now.Add(-time.Hour); return now }}
	var ids []string
	for range 3 {
		s, _, err := record.Open(dir, opts)
		require.NoError(t, err)
		for range 4 {
			a := sample(len(ids))
			a.MadeAt = time.Time{}
			ids = append(ids, keep(t, s, a))
		}
		require.NoError(t, s.Close())
	}
	assert.IsIncreasing(t, ids)
	r, report, err := record.OpenReadOnly(dir)
	require.NoError(t, err)
	assert.Greater(t, report.Segments, 2, "the order holds from segment to segment")
	records, faults := all(r)
	require.Empty(t, faults)
	for i, rec := range records {
		assert.Equal(t, ids[i], rec.ID)
		assert.Equal(t, evening.Add(-time.Duration(i+1)*time.Hour), rec.MadeAt)
	}
}

func TestSecondWriterIsRefused(t *testing.T) {
	dir := t.TempDir()
	first, _, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	_, _, err = record.Open(dir, record.Options{})
	require.ErrorIs(t, err, record.ErrInUse)
	assert.Contains(t, err.Error(), "process")
	keep(t, first, sample(1))
	require.NoError(t, first.Close())
	second := open(t, dir, record.Options{})
	keep(t, second, sample(2))
}

func TestRefused(t *testing.T) {
	s := open(t, t.TempDir(), record.Options{})
	id := keep(t, s, sample(1))
	change := func(f func(*record.AnswerRecord)) record.AnswerRecord {
		a := sample(1)
		f(&a)
		return a
	}
	answers := []struct {
		name, says string
		given      record.AnswerRecord
	}{
		{"nothing asked", "asked has 0 characters", change(func(a *record.AnswerRecord) { a.Asked = "" })},
		{"no question", "document", change(func(a *record.AnswerRecord) { a.Request = nil })},
		{"no answer", "the answer has 0 bytes", change(func(a *record.AnswerRecord) { a.Answer = nil })},
		{"an answer in another form", "no JSON text", change(func(a *record.AnswerRecord) { a.Answer = []byte("lift off now") })},
		{"a huge answer", "the answer has", change(func(a *record.AnswerRecord) { a.Answer = make([]byte, record.MaxAnswer+1) })},
		{"a decision before aviation", "at is in the year 1", change(func(a *record.AnswerRecord) { a.At = time.Time{} })},
		{"a clock that is not set", "made_at is in the year 10000",
			change(func(a *record.AnswerRecord) { a.MadeAt = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC) })},
		{"a sentence as a version", "version engine", change(func(a *record.AnswerRecord) { a.Versions["engine"] = "patient is Ann" })},
		{"a sentence as a name", "data name",
			change(func(a *record.AnswerRecord) { a.Data = []record.Data{record.NewData("about her", nil)} })},
		{"data under the wrong hash", "does not have the hash",
			change(func(a *record.AnswerRecord) { a.Data = []record.Data{{Name: "fleet.json", Bytes: []byte("{}")}} })},
		{"free text", "/assets/add/0/name", change(func(a *record.AnswerRecord) {
			a.Request = []byte(`{"assets":{"add":[{"name":"car of Ann Other"}]}}`)
		})},
	}
	for _, test := range answers {
		t.Run(test.name, func(t *testing.T) {
			_, err := s.Answer(t.Context(), test.given)
			require.ErrorContains(t, err, test.says)
		})
	}
	t.Run("all faults at once", func(t *testing.T) {
		_, err := s.Answer(t.Context(), record.AnswerRecord{})
		for _, says := range []string{"asked", "the answer", "the question", "at is"} {
			assert.ErrorContains(t, err, says)
		}
	})

	notes := []struct {
		name, id, value string
		at              time.Time
		is              error
		says            string
	}{
		{name: "misheard", id: "222-2223", value: "load", at: evening, is: record.ErrID},
		{name: "never made", id: record.FormatID(77), value: "load", at: evening, is: record.ErrNotFound},
		{name: "a sentence", id: id, value: "Ann was loaded", at: evening, says: "has a space"},
		{name: "nothing", id: id, at: evening, says: "0 characters"},
		{name: "no time", id: id, value: "load", says: "year 1"},
	}
	for _, test := range notes {
		t.Run(test.name, func(t *testing.T) {
			for _, err := range []error{
				s.Choose(t.Context(), test.id, test.value, test.at), s.Fact(t.Context(), test.id, test.value, test.at),
			} {
				require.Error(t, err)
				if test.is != nil {
					require.ErrorIs(t, err, test.is)
				}
				require.ErrorContains(t, err, test.says)
			}
		})
	}
	require.NoError(t, s.Fact(t.Context(), id, "load", evening))
	_, err := s.Get(record.FormatID(2))
	require.ErrorIs(t, err, record.ErrNotFound, "the number is that of a fact")
	_, err = s.Blob(record.Sum([]byte("x")))
	require.ErrorIs(t, err, record.ErrNotFound)
	assert.Equal(t, 2, s.Stats().Records, "nothing that was refused was kept")
}

func TestOptionsAreChecked(t *testing.T) {
	for name, opts := range map[string]record.Options{
		"negative segment":  {MaxSegment: -1},
		"segment too large": {MaxSegment: 1 << 50},
		"total too small":   {MaxSegment: 1000, MaxTotal: 1999},
		"negative total":    {MaxTotal: -5},
	} {
		t.Run(name, func(t *testing.T) {
			_, _, err := record.Open(t.TempDir(), opts)
			require.ErrorContains(t, err, "bytes")
		})
	}
}

func TestEndedContextAndClosedStore(t *testing.T) {
	dir := t.TempDir()
	s, _, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = s.Answer(ended, sample(1, record.NewData("fleet.json", []byte("{}"))))
	require.ErrorIs(t, err, context.Canceled)
	id := keep(t, s, sample(2))
	require.ErrorIs(t, s.Fact(ended, id, "load", evening), context.Canceled)
	require.NoError(t, s.Close())
	_, err = s.Answer(t.Context(), sample(3))
	require.ErrorIs(t, err, record.ErrClosed)
	rec, err := s.Get(id)
	require.NoError(t, err, "what is kept can be read on")
	equal(t, sample(2), rec)
}

func TestNothingToRead(t *testing.T) {
	_, _, err := record.OpenReadOnly(filepath.Join(t.TempDir(), "none"))
	require.ErrorIs(t, err, os.ErrNotExist)
	require.ErrorContains(t, err, "no record is kept in")
}
