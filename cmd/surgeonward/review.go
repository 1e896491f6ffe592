package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"

	"surgeonward/api/record"
	"surgeonward/api/wire"
	"surgeonward/cmd/surgeonward/terminal"
)

// reviewCommand prints what was offered, chosen and happened.
type reviewCommand struct {
	From   string `arg:"" help:"Cases asked at this time or later: a day in UTC such as 2031-03-01, or a time with its zone." placeholder:"FROM"`
	To     string `arg:"" help:"Cases asked before this time." placeholder:"TO"`
	Record string `help:"Folder of the record; a server may be writing it." required:"" placeholder:"DIR"`
	CSV    bool   `name:"csv" help:"Print one line of CSV for each case." xor:"form"`
	JSON   bool   `name:"json" help:"Print the cases and their summary as JSON." xor:"form"`
	Width  int    `help:"Columns to print in (default: the terminal's, else 80)." placeholder:"N"`
}

// Run reads the record and prints. What cannot be read is said on standard
// error and makes the exit code 1, after everything else.
func (c *reviewCommand) Run(ctx context.Context, p *program) error {
	from, err := reviewTime("FROM", c.From)
	if err != nil {
		return err
	}
	to, err := reviewTime("TO", c.To)
	if err != nil {
		return err
	}
	if !from.Before(to) {
		return usageError{errors.New("TO is not after FROM: nothing lies between them")}
	}
	reader, err := p.readRecord(c.Record)
	if err != nil {
		return err
	}
	records := reader.Range(from, to)
	rows, unread := record.Table(func(yield func(record.Record, error) bool) {
		for rec, err := range records {
			if ctx.Err() != nil || !yield(rec, err) {
				return
			}
		}
	})
	if err := ctx.Err(); err != nil {
		return err
	}
	switch {
	case c.CSV:
		err = writeCases(p.stdout, rows)
	case c.JSON:
		form, encodeErr := wire.EncodeReview(rows, wire.Unreadable(unread))
		form.Summary = wire.EncodeSummary(record.Summarise(rows))
		err = p.json(form, encodeErr)
	default:
		err = terminal.WriteReview(p.stdout, terminal.ReviewPage{Rows: rows, From: from, To: to}, p.style(c.Width))
	}
	return errors.Join(err, unread)
}

// reviewTime reads a time, or a day that begins at midnight UTC: a record may
// be of regions in several zones.
func reviewTime(name, text string) (time.Time, error) {
	if day, err := time.Parse(time.DateOnly, text); err == nil {
		return day, nil
	}
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return t, usageError{fmt.Errorf("%s: write a day such as 2031-03-01, or a time with its zone such as 2031-03-01T06:00:00Z", name)}
	}
	return t, nil
}

// caseColumns are the columns of the CSV form: ids, times in UTC and seconds.
var caseColumns = []string{
	"id", "demonstration", "asked", "made_at", "decision_at", "options", "first_offered", "first_typical_s", "first_slow_s",
	"chosen", "chosen_at", "rank", "predicted_at", "predicted_slow_at", "with_surgeon_at", "difference_s", "within_slow",
}

func writeCases(w io.Writer, rows []record.Row) error {
	out := csv.NewWriter(w)
	lines := [][]string{caseColumns}
	for i := range rows {
		lines = append(lines, caseLine(&rows[i]))
	}
	return out.WriteAll(lines)
}

// caseLine leaves empty what is not known.
func caseLine(r *record.Row) []string {
	var first, typical, slow, rank, arrived, difference, within string
	if len(r.Offered) > 0 {
		o := r.Offered[0]
		first, typical, slow = o.Option, seconds(o.TypicalS), seconds(o.SlowS)
	}
	if r.Rank > 0 {
		rank = strconv.Itoa(r.Rank)
	}
	if h, ok := r.Arrived(); ok {
		arrived = stamp(h.At)
		if !h.Predicted.IsZero() {
			difference = strconv.FormatInt(h.DifferenceS, 10)
			within = strconv.FormatBool(!h.At.After(r.PredictedSlow))
		}
	}
	return []string{
		r.ID, strconv.FormatBool(r.Invented), r.Asked, stamp(r.MadeAt), stamp(r.At), strconv.Itoa(r.Options), first, typical, slow,
		r.Chosen, stamp(r.ChosenAt), rank, stamp(r.Predicted), stamp(r.PredictedSlow), arrived, difference, within,
	}
}

func seconds(s float64) string { return strconv.FormatFloat(s, 'f', -1, 64) }

// stamp is a time in UTC; empty where there is none.
func stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339)
}
