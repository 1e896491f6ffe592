package calibrate

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"
)

// Text is the result for a person to judge: plain ASCII, one table after the
// other. All that is in it from the file has passed Decode, which takes letters
// and digits only.
func (r *Result) Text() string {
	var b strings.Builder
	const day = "2006-01-02"
	fmt.Fprintf(&b, "%d journeys, %s to %s. Intervals are 90 %% ones.\n", r.Journeys, r.From.Format(day), r.To.Format(day))
	b.WriteString("\"fitted\" scores are of journeys the figures were not fitted to.\n")
	b.WriteString("Nothing has been changed: a person judges the figures and applies them.\n")
	if len(r.Untimed) > 0 {
		fmt.Fprintf(&b, "Not used, too short or beyond what the model times: %s.\n", rows(r.Untimed))
	}
	if len(r.Unknown) > 0 {
		fmt.Fprintf(&b, "Not in fleet.json, timed by the region's figures: %s.\n", some(r.Unknown, 5))
	}
	for start := 0; start < len(r.Findings); {
		end := start
		for end < len(r.Findings) && r.Findings[end].heading() == r.Findings[start].heading() {
			end++
		}
		stageText(&b, r.Findings[start:end])
		start = end
	}
	for i := range r.Totals {
		r.Totals[i].text(&b)
	}
	return trimmed(b.String())
}

// trimmed takes off the blanks that tables leave at the ends of lines.
func trimmed(s string) string {
	var b strings.Builder
	for line := range strings.Lines(s) {
		b.WriteString(strings.TrimRight(line, " \n"))
		b.WriteByte('\n')
	}
	return b.String()
}

func (f *Finding) heading() string {
	if f.Aircraft == "" {
		return f.Stage
	}
	return f.Stage + ", " + f.Aircraft
}

// stageText prints the region's finding in full, then the groups as a table,
// then in full the groups that have figures of their own.
func stageText(b *strings.Builder, findings []Finding) {
	title := findings[0].heading()
	fmt.Fprintf(b, "\n%s\n%s\n", title, strings.Repeat("-", len(title)))
	if f := &findings[0]; f.Group.By == ByRegion {
		f.text(b)
		findings = findings[1:]
	}
	if len(findings) == 0 {
		return
	}
	groupTable(b, findings)
	for i := range findings {
		if f := &findings[i]; f.Proposed || f.ByRegion == nil && f.Fitted != nil && f.Group.By == ByAsset {
			f.text(b)
		}
	}
}

func groupTable(b *strings.Builder, findings []Finding) {
	b.WriteString("\nReliability of the figures in force, by group:\n")
	t := table(b)
	fmt.Fprintln(t, "  group\tjourneys\tactual/typical\tbefore slow\t90 % interval\tverdict\t")
	for i := range findings {
		f := &findings[i]
		s := f.Now.WithinSlow
		fmt.Fprintf(t, "  %s\t%d\t%s\t%s\t%s\t%s\t\n", f.Group.Name(), f.Journeys, digits(f.Now.Ratio),
			percent(s.Observed()), s.text(), s.Verdict())
	}
	flush(t)
}

func (f *Finding) text(b *strings.Builder) {
	fmt.Fprintf(b, "\n%s: %d journeys", f.Group.Name(), f.Journeys)
	if len(f.OutOfLine) > 0 {
		fmt.Fprintf(b, ", out of line and not in the figures: %s", rows(f.OutOfLine))
	}
	b.WriteString("\n")
	if len(f.Estimates) > 0 {
		t := table(b)
		fmt.Fprintln(t, "  figure\tunit\tnow\tfitted\t90 % interval\t\t")
		for _, e := range f.Estimates {
			remark := ""
			switch {
			case !e.Settled:
				remark = "not settled"
			case e.Differs:
				remark = "not the region's"
			case !e.Interval.Has(e.Now):
				remark = "not as now"
			}
			fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\t%s\t\n", e.Parameter, e.Unit, digits(e.Now), digits(e.Fitted), e.Interval.text(), remark)
		}
		flush(t)
	}
	f.scores(b)
	if f.Proposed {
		fmt.Fprintf(b, "  proposed for %s\n", f.BelongsIn)
	}
	for _, note := range f.Notes {
		fmt.Fprintf(b, "  note: %s\n", note)
	}
}

func (f *Finding) scores(b *strings.Builder) {
	t := table(b)
	cell := func(get func(*Score) string) string {
		line := get(&f.Now)
		if f.Fitted != nil {
			line += "\t" + get(f.Fitted)
		} else {
			line += "\t-"
		}
		return line
	}
	fmt.Fprintln(t, "  score\tnow\tfitted\t")
	fmt.Fprintf(t, "  median error, s\t%s\t\n", cell(func(s *Score) string { return digits(s.MedianErrorS) }))
	fmt.Fprintf(t, "  median error, of typical\t%s\t\n", cell(func(s *Score) string { return percent(s.MedianErrorShare) }))
	fmt.Fprintf(t, "  actual/typical\t%s\t\n", cell(func(s *Score) string { return digits(s.Ratio) + " (" + s.RatioInterval.text() + ")" }))
	fmt.Fprintf(t, "  arrived before slow\t%s\t\n", cell(func(s *Score) string {
		if s.WithinSlow == nil {
			return "-"
		}
		return fmt.Sprintf("%s (%s)", percent(s.WithinSlow.Observed()), s.WithinSlow.text())
	}))
	fmt.Fprintf(t, "  do 9 in 10?\t%s\t\n", cell(func(s *Score) string {
		if s.WithinSlow == nil {
			return "-"
		}
		return string(s.WithinSlow.Verdict())
	}))
	flush(t)
}

func (t *Total) text(b *strings.Builder) {
	fmt.Fprintf(b, "\nwhole journeys of %s: %d\n", strings.Join(t.Stages, ", "), t.Journeys)
	fmt.Fprintf(b, "  first start to last end: median %s s (%s), 9 in 10 within %s s (%s)\n",
		digits(t.TypicalS), t.TypicalInterval.text(), digits(t.SlowS), t.SlowInterval.text())
	b.WriteString("  taken from whole journeys: the medians of the stages do not add up to it\n")
}

// text is "1.33 to 1.35", or "above 1.33" where one side is open.
func (i Interval) text() string {
	switch {
	case i.Low == nil && i.High == nil:
		return "open"
	case i.High == nil:
		return "above " + digits(*i.Low)
	case i.Low == nil:
		return "below " + digits(*i.High)
	}
	return digits(*i.Low) + " to " + digits(*i.High)
}

func digits(v float64) string { return strconv.FormatFloat(roundTo(v, patchDigits), 'f', -1, 64) }

// text is "57.9 to 81.4 %".
func (s *Share) text() string {
	return strings.TrimSuffix(percent(s.Low), " %") + " to " + percent(s.High)
}

func percent(share float64) string {
	if math.IsNaN(share) {
		return "-"
	}
	return strconv.FormatFloat(100*share, 'f', 1, 64) + " %"
}

// rows lists rows of the file, the first of many.
func rows(list []int) string {
	const shown = 10
	var b strings.Builder
	b.WriteString("row ")
	if len(list) > 1 {
		b.Reset()
		fmt.Fprintf(&b, "%d rows, ", len(list))
	}
	for i, row := range list[:min(len(list), shown)] {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(strconv.Itoa(row))
	}
	if len(list) > shown {
		b.WriteString(", ...")
	}
	return b.String()
}

func table(b *strings.Builder) *tabwriter.Writer {
	return tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
}

// flush cannot fail: a strings.Builder takes everything.
func flush(t *tabwriter.Writer) { _ = t.Flush() }
