package record_test

import (
	"errors"
	"fmt"
	"iter"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
)

// sequence yields records, and an error for each that is none.
func sequence(records ...record.Record) iter.Seq2[record.Record, error] {
	return func(yield func(record.Record, error) bool) {
		for _, r := range records {
			var err error
			if r.Kind == "" {
				err = errors.New("damaged")
			}
			if !yield(r, err) {
				return
			}
		}
	}
}

func made(id string, body []byte) record.Record {
	return record.Record{ID: id, Kind: record.KindAnswer, Asked: "options", At: evening, MadeAt: evening.Add(time.Second), Answer: body}
}

func chose(id, option string) record.Record {
	return record.Record{ID: id, Kind: record.KindChoice, At: evening.Add(time.Minute), Option: option}
}

func fact(id, what string, after time.Duration) record.Record {
	return record.Record{ID: id, Kind: record.KindFact, At: evening.Add(after), What: what}
}

const (
	byAir  = "air:heli-1:ossuvaune-general"
	byRoad = "road:amb-11:ossuvaune-general"
)

func TestTable(t *testing.T) {
	at := func(s int) time.Time { return evening.Add(time.Duration(s) * time.Second) }
	blank := record.Row{ID: "A", Asked: "options", At: evening, MadeAt: at(1), Options: 2, Offered: []record.Offer{
		{Option: byAir, TypicalS: 2820, SlowS: 3400, WithSurgeonAt: at(2820)},
		{Option: byRoad, TypicalS: 3000, SlowS: 3300, WithSurgeonAt: at(3000)},
	}}
	row := func(change func(*record.Row)) record.Row {
		r := blank
		change(&r)
		return r
	}
	tests := []struct {
		name    string
		records []record.Record
		want    []record.Row
	}{
		{"nothing", nil, []record.Row{}},
		{"no choice", []record.Record{made("A", answer(0))}, []record.Row{blank}},
		{"first option, late", []record.Record{
			made("A", answer(0)), chose("A", byAir), fact("A", "load", 1490*time.Second), fact("A", "mobilise", 421*time.Second),
			fact("A", "with_surgeon", 2999500*time.Millisecond), fact("A", "refuel", 2000*time.Second),
		}, []record.Row{row(func(r *record.Row) {
			r.Chosen, r.ChosenAt, r.Rank, r.Predicted, r.PredictedSlow = byAir, at(60), 1, at(2820), at(3400)
			r.Facts = []record.Happened{
				{What: "mobilise", At: at(421), Predicted: at(300), DifferenceS: 121},
				{What: "load", At: at(1490), Predicted: at(1500), DifferenceS: -10},
				{What: "refuel", At: at(2000)},
				{What: "with_surgeon", At: at(2999).Add(500 * time.Millisecond), Predicted: at(2820), DifferenceS: 180},
			}
		})}},
		{"second option without its activities", []record.Record{
			made("A", answer(0)), chose("A", byRoad), fact("A", "load", 900*time.Second), fact("A", "with_surgeon", 2900*time.Second),
		}, []record.Row{row(func(r *record.Row) {
			r.Chosen, r.ChosenAt, r.Rank, r.Predicted, r.PredictedSlow = byRoad, at(60), 2, at(3000), at(3300)
			r.Facts = []record.Happened{
				{What: "load", At: at(900)}, {What: "with_surgeon", At: at(2900), Predicted: at(3000), DifferenceS: -100},
			}
		})}},
		{"something else", []record.Record{made("A", answer(0)), chose("A", "other"), fact("A", "with_surgeon", 2900*time.Second)},
			[]record.Row{row(func(r *record.Row) {
				r.Chosen, r.ChosenAt = "other", at(60)
				r.Facts = []record.Happened{{What: "with_surgeon", At: at(2900)}}
			})}},
		{"corrected", []record.Record{
			made("A", answer(0)), chose("A", byRoad), fact("A", "mobilise", time.Hour), chose("A", byAir), fact("A", "mobilise", 300*time.Second),
		}, []record.Row{row(func(r *record.Row) {
			r.Chosen, r.ChosenAt, r.Rank, r.Predicted, r.PredictedSlow = byAir, at(60), 1, at(2820), at(3400)
			r.Facts = []record.Happened{{What: "mobilise", At: at(300), Predicted: at(300)}}
		})}},
		{"a fact of an answer outside", []record.Record{fact("B", "load", 0), chose("B", byAir), made("A", answer(0))}, []record.Row{blank}},
		{"no options", []record.Record{made("A", []byte(`{"options":[]}`)), fact("A", "with_surgeon", 0)},
			[]record.Row{{ID: "A", Asked: "options", At: evening, MadeAt: at(1), Facts: []record.Happened{{What: "with_surgeon", At: evening}}}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			rows, err := record.Table(sequence(test.records...))
			require.NoError(t, err)
			assert.Equal(t, test.want, rows)
		})
	}
}

func TestTableOfWhatCannotBeRead(t *testing.T) {
	rows, err := record.Table(sequence(
		made("A", []byte(`{"options":[{"id":5}]}`)), record.Record{}, made("B", answer(0)), chose("A", byAir), record.Record{},
		made("C", []byte(`{"options":[{"id":"x","total":{"typical_s":1e300,"slow_s":-5}}]}`)), chose("C", "x"),
	))
	require.EqualError(t, err, "damaged\ndamaged")
	require.Len(t, rows, 3)
	assert.Contains(t, rows[0].Note, "the answer cannot be read")
	assert.Equal(t, byAir, rows[0].Chosen)
	assert.Empty(t, rows[0].Offered)
	assert.Empty(t, rows[1].Note)
	assert.Equal(t, 1, rows[2].Rank)
	assert.True(t, rows[2].Predicted.IsZero(), "a time without bounds is none")
	assert.True(t, rows[2].PredictedSlow.IsZero())
}

func TestTableListsThree(t *testing.T) {
	body := []byte(`{"options":[{"id":"a"},{"id":"b"},{"id":"c"},{"id":"d"},{"id":"e"}]}`)
	rows, err := record.Table(sequence(made("A", body), chose("A", "e")))
	require.NoError(t, err)
	require.Len(t, rows[0].Offered, 3)
	assert.Equal(t, 5, rows[0].Options)
	assert.Equal(t, 5, rows[0].Rank, "the place in the answer where it states no rank")
}

func ExampleTable() {
	rows, err := record.Table(sequence(
		made("222-223P", answer(0)), chose("222-223P", byAir), fact("222-223P", "mobilise", 420*time.Second), fact("222-223P", "with_surgeon", 50*time.Minute),
	))
	fmt.Println(rows[0].ID, "chose", rows[0].Rank, "of", rows[0].Options, err)
	for _, h := range rows[0].Facts {
		fmt.Printf("%s %s, predicted %s, %+d s\n", h.What, h.At.Format("15:04:05"), h.Predicted.Format("15:04:05"), h.DifferenceS)
	}
	// Output:
	// 222-223P chose 1 of 2 <nil>
	// mobilise 21:47:00, predicted 21:45:00, +120 s
	// with_surgeon 22:30:00, predicted 22:27:00, +180 s
}
