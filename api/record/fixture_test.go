package record_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
)

var evening = time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)

func clock() time.Time { return evening.Add(90 * time.Second) }

const question = `{"at":"2031-03-14T21:40:00Z", "scene":{"position":[-29.41,45.52],"landing":"impossible"},` +
	"\n" + `  "patient":{"age_years":34.0,"needs":["cardiothoracic_surgery"]},"rank_by":"slow"}`

// answer is a small answer of the interface that no other number gives.
func answer(i int) []byte {
	return fmt.Appendf(nil, `{"at":"2031-03-14T21:40:00Z","case":%d,"options":[`+
		`{"rank":1,"id":"air:heli-1:ossuvaune-general","total":{"typical_s":2820,"slow_s":3400},"with_surgeon_at":"2031-03-14T22:27:00Z",`+
		`"activities":[{"id":"mobilise","end_s":300},{"id":"load","end_s":1500},{"id":"with_surgeon","end_s":2820}]},`+
		`{"rank":2,"id":"road:amb-11:ossuvaune-general","total":{"typical_s":3000,"slow_s":3300},"with_surgeon_at":"2031-03-14T22:30:00Z","activities":[]}]}`+"\n", i)
}

func sample(i int, data ...record.Data) record.AnswerRecord {
	return record.AnswerRecord{
		Asked: "options", At: evening, MadeAt: evening.Add(time.Duration(i) * time.Second), Request: []byte(question), Answer: answer(i),
		Versions: map[string]string{"engine": "0123456789ab", "fleet": "a4a8"}, Data: data,
	}
}

func open(t testing.TB, dir string, opts record.Options) *record.Store {
	t.Helper()
	s, report, err := record.Open(dir, opts)
	require.NoError(t, err)
	require.Empty(t, report.Sentences())
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s
}

// keep records an answer.
func keep(t testing.TB, s *record.Store, a record.AnswerRecord) string {
	t.Helper()
	id, err := s.Answer(t.Context(), a)
	require.NoError(t, err)
	return id
}

// equal holds a record that was read to what was given.
func equal(t *testing.T, want record.AnswerRecord, got record.Record) {
	t.Helper()
	require.Equal(t, record.KindAnswer, got.Kind)
	require.Equal(t, record.FormatID(got.Number), got.ID)
	require.Equal(t, want.Asked, got.Asked)
	require.Equal(t, want.At.UTC(), got.At)
	require.Equal(t, want.MadeAt.UTC(), got.MadeAt)
	require.Equal(t, string(want.Request), string(got.Request))
	require.Equal(t, string(want.Answer), string(got.Answer))
	require.Equal(t, record.Sum(want.Answer), got.AnswerHash)
	require.True(t, maps.Equal(want.Versions, got.Versions), "versions %v in place of %v", got.Versions, want.Versions)
	require.True(t, slices.EqualFunc(want.Data, got.Data, func(a record.Data, b record.Named) bool {
		return a.Name == b.Name && a.Hash == b.Hash
	}), "data %v", got.Data)
}

// all reads every record and the errors between them.
func all(r *record.Reader) (records []record.Record, faults []error) {
	for rec, err := range r.Range(time.Time{}, time.Time{}) {
		if err != nil {
			faults = append(faults, err)
			continue
		}
		records = append(records, rec)
	}
	return records, faults
}
