package routing

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities/strictjson"
)

// AlertQuestion is what is asked beyond the Question: for which of its options
// the hospital is alerted, and what it is told of the patient.
type AlertQuestion struct {
	Option   string    // the id of the chosen option; empty: the first
	Clinical Clinical  // the age and the output that are not stated in it are those of the Question
	At       time.Time // when the message is told; zero: the decision time
}

// Alert is a chosen option with what has to be told, to whom, and by when.
type Alert struct {
	Answer  Answer // what the option was chosen from
	Option  Option
	Message Message
	Calls   []Call
}

// PreAlert works the question out and writes the message and the calls of one
// of its options, which may lie beyond Question.Limit. Times of day are those
// of the receiving hospital. A question that contradicts the region, a clinical
// picture with faults, and an option that the question does not give are a
// *QuestionError with all their faults.
func (e *Engine) PreAlert(ctx context.Context, q Question, w AlertQuestion) (Alert, error) {
	if err := e.CheckPreAlert(q, w); err != nil {
		return Alert{}, err
	}
	ans, err := e.Options(ctx, q)
	if err != nil {
		return Alert{}, err
	}
	o := ans.option(w.Option)
	if o == nil && ans.Found > len(ans.Options) {
		q.Limit = 0
		if ans, err = e.Options(ctx, q); err != nil {
			return Alert{}, err
		}
		o = ans.option(w.Option)
	}
	if o == nil {
		return Alert{}, &QuestionError{Faults: []strictjson.Fault{{Pointer: "/option", Detail: ans.noOption(w.Option)}}}
	}
	if w.At.IsZero() {
		w.At = q.At
	}
	return Alert{Answer: ans, Option: *o, Message: PreAlert(*o, ans, w.complete(&q), w.At, nil), Calls: Calls(*o)}, nil
}

// CheckPreAlert returns everything that is wrong with the question and with
// what is asked beyond it, as a *QuestionError, without answering it: all but
// whether it gives the option.
func (e *Engine) CheckPreAlert(q Question, w AlertQuestion) error {
	var faults []strictjson.Fault
	if bad := (*QuestionError)(nil); errors.As(e.Check(q), &bad) {
		faults = bad.Faults
	}
	for _, f := range append(w.disagree(&q), w.complete(&q).Check()...) {
		faults = append(faults, strictjson.Fault{Pointer: w.origin(&q, f.Pointer), Detail: f.Detail})
	}
	if len(faults) > 0 {
		return &QuestionError{Faults: faults}
	}
	return nil
}

// disagree finds what the picture and the question say in two ways.
func (w *AlertQuestion) disagree(q *Question) (faults []strictjson.Fault) {
	differ := func(pointer, name string, one, other any) {
		faults = append(faults, strictjson.Fault{Pointer: pointer,
			Detail: fmt.Sprintf("is %v, but the question's %s is %v: correct one, or leave one out", one, name, other)})
	}
	if a, b := w.Clinical.AgeYears, q.Patient.AgeYears; a != nil && b != nil && *a != *b {
		differ("/age_years", "patient.age_years", *a, *b)
	}
	signs := &w.Clinical.Signs
	for _, e := range []struct {
		name string
		sign time.Time
		at   *time.Time
	}{{"output_lost_at", signs.OutputLostAt, q.OutputLostAt}, {"output_regained_at", signs.OutputRegainedAt, q.OutputRegainedAt}} {
		if e.at != nil && !e.sign.IsZero() && !e.sign.Equal(*e.at) {
			differ("/signs/"+e.name, e.name, e.sign.UTC().Format(time.RFC3339), e.at.UTC().Format(time.RFC3339))
		}
	}
	return faults
}

// origin leads from a place in the completed picture to where it was said.
func (w *AlertQuestion) origin(q *Question, pointer string) string {
	signs := &w.Clinical.Signs
	switch {
	case pointer == "/signs/output_lost_at" && signs.OutputLostAt.IsZero() && q.OutputLostAt != nil,
		pointer == "/signs/output_regained_at" && signs.OutputRegainedAt.IsZero() && q.OutputRegainedAt != nil:
		return strings.TrimPrefix(pointer, "/signs")
	}
	return "/clinical" + pointer
}

// complete is the picture with what the question has said already.
func (w *AlertQuestion) complete(q *Question) Clinical {
	c := w.Clinical
	if c.AgeYears == nil {
		c.AgeYears = q.Patient.AgeYears
	}
	s := &c.Signs
	if q.OutputLostAt != nil && s.OutputLostAt.IsZero() {
		s.OutputLostAt = *q.OutputLostAt
	}
	if q.OutputRegainedAt != nil && s.OutputRegainedAt.IsZero() {
		s.OutputRegainedAt = *q.OutputRegainedAt
	}
	if s.Output == "" && (q.OutputLostAt != nil || q.OutputRegainedAt != nil) {
		s.Output = OutputLost
		if !s.OutputRegainedAt.IsZero() && !s.OutputRegainedAt.Before(s.OutputLostAt) {
			s.Output = OutputRegained
		}
	}
	return c
}

// option finds an option by its id; the first where the id is empty.
func (a *Answer) option(id string) *Option {
	i := slices.IndexFunc(a.Options, func(o Option) bool { return id == "" || o.ID == id })
	if i < 0 {
		return nil
	}
	return &a.Options[i]
}

// maxNamed is how many options are named to somebody who has asked for none of
// them: the first hold the one that is meant.
const maxNamed = 20

// noOption says which options there are.
func (a *Answer) noOption(id string) string {
	if len(a.Options) == 0 {
		return "the question gives no option: there is nobody to alert"
	}
	ids := make([]string, len(a.Options))
	for i := range a.Options {
		ids[i] = a.Options[i].ID
	}
	more := ""
	if n := len(ids) - maxNamed; n > 0 {
		ids, more = ids[:maxNamed], fmt.Sprintf(" and %d more", n)
	}
	return fmt.Sprintf("the question gives no option %s: choose one of %s%s", strictjson.Quote(id), strings.Join(ids, ", "), more)
}
