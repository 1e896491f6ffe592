package terminal

import (
	"cmp"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"surgeonward/facilities/document"
	"surgeonward/facilities/store"
)

// HistoryPage is a page of a region's history, the newest version first.
type HistoryPage struct {
	Region        string
	Demonstration bool
	Entries       []store.Entry
	Next          int64 // the number that the next page begins before; 0: there is none
}

// WriteHistory prints who changed what, when and why, in UTC.
func WriteHistory(w io.Writer, p HistoryPage, s Style) error {
	v := &view{style: s, columns: s.columns()}
	v.invented(p.Region, p.Demonstration)
	if len(p.Entries) == 0 {
		v.paragraph("", "No version is like that.")
	} else if err := v.versions(p.Entries); err != nil {
		return err
	}
	if p.Next > 0 {
		v.paragraph("", fmt.Sprintf("There are more: --before %d", p.Next))
	}
	_, err := io.WriteString(w, v.out.String())
	return err
}

func (v *view) invented(region string, demonstration bool) {
	if demonstration {
		v.paragraph("", "DEMONSTRATION: "+region+" is invented. No place, hospital, vehicle or person in it is real.")
	}
}

// historyColumns are laid out as the options' are; their cells are made by
// versionCells.
var historyColumns = []column{
	{heading: []string{"version"}, right: true},
	{heading: []string{"when (UTC)"}},
	{heading: []string{"who"}, share: 1},
	{heading: []string{"what"}, share: 2},
	{heading: []string{"why"}, share: 2},
}

// versions prints a table, or paragraphs where a table would break its words.
func (v *view) versions(entries []store.Entry) error {
	cells := make([][][]string, len(entries))
	for i := range entries {
		cells[i] = v.versionCells(&entries[i])
	}
	ok, err := v.columned(historyColumns, cells)
	if !ok {
		for _, row := range cells {
			v.paragraph(row[0][0]+". ", strings.Join([]string{row[1][0], row[2][0], strings.Join(row[3], ", ") + ending(": ", row[4][0])}, ", "))
		}
	}
	return err
}

// mostNamed is how many changes a row of the list names.
const mostNamed = 4

// versionCells are the cells of an entry's row, each as the lines it has.
func (v *view) versionCells(e *store.Entry) [][]string {
	var what []string
	for i := range e.What[:min(len(e.What), mostNamed)] {
		c := &e.What[i]
		what = append(what, v.style.text(c.Action+" "+cmp.Or(c.Element, c.File)))
	}
	if more := len(e.What) - len(what) + e.More; more > 0 {
		what = append(what, fmt.Sprintf("and %d more", more))
	}
	if len(what) == 0 {
		what = []string{"-"}
	}
	return [][]string{{strconv.FormatInt(e.Number, 10)}, {moment(e.At)}, {v.style.text(e.Who)}, what, {v.style.text(e.Why)}}
}

func moment(at time.Time) string { return at.UTC().Format("2006-01-02 15:04:05") }

// ending is text after a separator; empty where there is none.
func ending(separator, text string) string {
	if text == "" {
		return ""
	}
	return separator + text
}

// VersionPage is one version of a region.
type VersionPage struct {
	Region        string
	Demonstration bool
	Entry         store.Entry    // without its changes
	Since         int64          // the version that the changes are since; 0: what its edit changed
	Changes       []store.Change // with the elements before and after
	More          int            // changes beyond them
}

// mostOfValue is how much of a value is printed, in runes. JSON has it whole.
const mostOfValue = 200

// WriteVersion prints one version: each value that changed, before and after.
func WriteVersion(w io.Writer, p VersionPage, s Style) error {
	v := &view{style: s, columns: s.columns()}
	v.invented(p.Region, p.Demonstration)
	e := &p.Entry
	v.paragraph("", fmt.Sprintf("Version %d, %s UTC, by %s%s", e.Number, moment(e.At), e.Who, ending(": ", e.Why)))
	if p.Since > 0 {
		v.paragraph("", fmt.Sprintf("What differs from version %d:", p.Since))
	}
	v.line("")
	for i := range p.Changes {
		c := &p.Changes[i]
		v.paragraph("", fmt.Sprintf("%s %s%s", c.Action, c.File, ending(", ", c.Element)))
		for _, d := range document.ValueChanges(c.Before, c.After) {
			v.paragraph("  ", fmt.Sprintf("%s: %s -> %s", cmp.Or(d.Pointer, "all of it"), value(d.Before), value(d.After)))
		}
	}
	switch {
	case p.More > 0:
		v.paragraph("", fmt.Sprintf("and %d more: --since %d", p.More, max(1, e.Number-1)))
	case len(p.Changes) == 0 && p.Since > 0:
		v.paragraph("", "Nothing differs.")
	case len(p.Changes) == 0:
		v.paragraph("", "What it changed was not noted.")
	}
	v.line("")
	for _, f := range e.Files {
		v.paragraph("  ", fmt.Sprintf("%s  %s  %d bytes", f.Hash.String()[:12], f.Name, f.Size))
	}
	_, err := io.WriteString(w, v.out.String())
	return err
}

// value is a value's text on one line, cut where it is long.
func value(text []byte) string {
	if text == nil {
		return "none"
	}
	line := strings.Join(strings.Fields(string(text)), " ")
	if utf8.RuneCountInString(line) <= mostOfValue {
		return line
	}
	return string([]rune(line)[:mostOfValue]) + "..."
}
