package record

import (
	"errors"
	"iter"
	"slices"
	"time"
)

// Row is one answer in a case review: what was offered, what was chosen, and
// what was predicted of it beside what happened. Differences are in whole seconds, with
// half seconds away from zero; positive is later than predicted.
type Row struct {
	ID       string
	Region   string    // name of the region, as the answer says it
	Invented bool      // the answer says that its region is one for demonstration
	Asked    string    // as in AnswerRecord
	MadeAt   time.Time // when the question was asked
	At       time.Time // decision time, from which predictions count
	Offered  []Offer   // the first three options
	Options  int       // how many the answer had
	Chosen   string    // id of the option taken; empty: no choice was noted
	ChosenAt time.Time // when it was chosen; zero: no choice was noted
	Rank     int       // of the chosen option in the answer; 0: none was chosen, or one that was not offered

	Predicted     time.Time // with the surgeon by the chosen option, typical; zero where Rank is 0
	PredictedSlow time.Time // the time that 9 in 10 stay under; zero where Rank is 0
	Facts         []Happened
	Note          string // why something of the answer could not be read; empty: nothing
}

// Offer is an option as it was offered.
type Offer struct {
	Option          string
	TypicalS, SlowS float64 // from the decision time until with the surgeon
	WithSurgeonAt   time.Time
}

// Happened is an activity that ended, beside its prediction.
type Happened struct {
	What        string
	At          time.Time
	Predicted   time.Time // end of the activity of that id in the chosen option; zero: it has none
	DifferenceS int64     // At less Predicted; 0 where Predicted is zero
}

// WithSurgeon is the activity in which every option ends.
const WithSurgeon = "with_surgeon"

// Arrived returns the fact that the patient was with the surgeon.
func (r *Row) Arrived() (Happened, bool) {
	i := slices.IndexFunc(r.Facts, func(h Happened) bool { return h.What == WithSurgeon })
	if i < 0 {
		return Happened{}, false
	}
	return r.Facts[i], true
}

// Table makes the rows of a case review from records in the order of their
// numbers, as Range yields them; rows come in that order. Of several choices, and of several
// facts of the same activity, the last noted counts: that is how a slip is corrected.
// Choices and facts of answers that are not among the records are left out.
// The error joins what the records had in place of a record; the rows are good
// without them.
func Table(records iter.Seq2[Record, error]) ([]Row, error) {
	var faults []error
	var cases []*caseRecords
	byID := map[string]*caseRecords{}
	for rec, err := range records {
		if err != nil {
			faults = append(faults, err)
			continue
		}
		if rec.Kind == KindAnswer {
			c := newCase(&rec)
			cases, byID[rec.ID] = append(cases, c), c
			continue
		}
		if c := byID[rec.ID]; c != nil {
			c.note(&rec)
		}
	}
	rows := make([]Row, len(cases))
	for i, c := range cases {
		rows[i] = c.row()
	}
	return rows, errors.Join(faults...)
}
