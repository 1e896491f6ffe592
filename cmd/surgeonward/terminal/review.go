package terminal

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"surgeonward/api/record"
	"surgeonward/routing"
)

// ReviewPage is the cases of a span of time.
type ReviewPage struct {
	Rows     []record.Row
	From, To time.Time
}

// WriteReview prints a case review: what was predicted beside what happened,
// and what all cases say together. Times are in UTC, since a record may be of regions in
// several zones.
func WriteReview(w io.Writer, p ReviewPage, s Style) error {
	v := &view{style: s, columns: s.columns()}
	var invented []string
	for i := range p.Rows {
		if r := &p.Rows[i]; r.Invented && !slices.Contains(invented, r.Region) {
			invented = append(invented, r.Region)
		}
	}
	for _, region := range invented {
		v.paragraph("", "DEMONSTRATION: "+region+" is invented. No place, hospital, vehicle or person in it is real.")
	}
	const minute = "2006-01-02 15:04"
	v.paragraph("", fmt.Sprintf("Cases asked from %s to %s. All times are UTC.", p.From.UTC().Format(minute), p.To.UTC().Format(minute)))
	v.line("")
	if len(p.Rows) > 0 {
		if v.columns >= caseWidth {
			v.line("  " + fmt.Sprintf(caseRow, "case", "decision", "rank", "typical", "slow", "happened", "later min", "in slow"))
		}
		for i := range p.Rows {
			v.reviewed(&p.Rows[i])
		}
		v.line("")
	}
	v.summary(record.Summarise(p.Rows))
	_, err := io.WriteString(w, v.out.String())
	return err
}

// caseRow is a case in the table: id, decision, rank of what was chosen, with
// the surgeon as predicted and as it happened.
const (
	caseRow   = "%-8s %-16s %5s %8s %8s %8s %9s %7s"
	caseWidth = 78
)

func (v *view) reviewed(r *record.Row) {
	cells := caseCells(r)
	if v.columns >= caseWidth {
		v.line("  " + fmt.Sprintf(caseRow, cells[0], cells[1], cells[2], cells[3], cells[4], cells[5], cells[6], cells[7]))
	} else {
		text := fmt.Sprintf("%s, decision %s: rank %s, typical %s, slow %s, happened %s, later by %s min, in slow %s",
			cells[0], cells[1], cells[2], cells[3], cells[4], cells[5], cells[6], cells[7])
		v.paragraph("  ", text)
	}
	// ids stay whole, however narrow the screen: they are for copying
	named := func(label, id, rest string) { v.line("           " + label + " " + v.style.text(id) + rest) }
	switch {
	case len(r.Offered) > 0:
		named("offered", r.Offered[0].Option, "")
	case r.Asked == "options":
		named("offered", "nothing", "")
	default:
		named("asked", r.Asked, "")
	}
	switch {
	case r.Chosen == "":
		named("chosen ", "nothing that was noted", "")
	case r.Rank == 1:
		named("chosen ", "the same", "")
	case r.Rank > 1:
		named("chosen ", r.Chosen, "")
	default:
		named("chosen ", r.Chosen, ", not one of its options")
	}
	if r.Note != "" {
		v.paragraph("           note    ", r.Note)
	}
}

// caseCells are the cells of a case's row, "-" where nothing is known.
func caseCells(r *record.Row) [8]string {
	at := func(t time.Time) string {
		if t.IsZero() {
			return "-"
		}
		return clock(t, r.At, time.UTC)
	}
	rank, happened, later, within := "-", "-", "-", "-"
	if r.Rank > 0 {
		rank = fmt.Sprintf("%d/%d", r.Rank, r.Options)
	}
	if h, ok := r.Arrived(); ok {
		happened = at(h.At)
		if !h.Predicted.IsZero() {
			later = signed(float64(h.DifferenceS))
			within = map[bool]string{true: "yes", false: "no"}[!h.At.After(r.PredictedSlow)]
		}
	}
	return [8]string{r.ID, r.At.UTC().Format("2006-01-02 15:04"), rank, at(r.Predicted), at(r.PredictedSlow), happened, later, within}
}

// signed is seconds as minutes with one decimal and their sign.
func signed(s float64) string {
	text := tenths(s)
	if s > 0 && !strings.HasPrefix(text, "-") {
		return "+" + text
	}
	return text
}

func (v *view) summary(s record.Summary) {
	v.paragraph("", fmt.Sprintf("%s, %d with a choice, %d of them with the arrival at the surgeon.", plural(s.Answers, "case"), s.Chosen, s.Arrived))
	if s.Arrived == 0 {
		return
	}
	v.paragraph("", fmt.Sprintf("Median difference from the typical time: %s min; positive is later than predicted.", signed(s.MedianS)))
	v.paragraph("", fmt.Sprintf("Within the slow time: %d of %d, %s. By its definition it should be 9 in 10.", s.WithinSlow, s.Arrived, routing.Percent(s.Share())))
}
