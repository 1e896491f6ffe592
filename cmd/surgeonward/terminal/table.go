package terminal

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"

	"surgeonward/routing"
)

// column is one column of the options table.
type column struct {
	heading []string // one item a line
	share   int      // of the room that wrapping columns share; 0: as wide as its longest cell
	words   bool     // as wide as its longest word
	right   bool
	cell    func(v *view, o *routing.Option) string
	parts   func(v *view, o *routing.Option) []string // in place of cell: each begins a line
}

// lines are the parts of a cell; each begins a line.
func (c *column) lines(v *view, o *routing.Option) []string {
	if c.parts == nil {
		return []string{v.style.text(c.cell(v, o))}
	}
	parts := c.parts(v, o)
	for i := range parts {
		parts[i] = v.style.text(parts[i])
	}
	return parts
}

var optionColumns = []column{
	{heading: []string{"#"}, right: true, cell: func(_ *view, o *routing.Option) string { return strconv.Itoa(o.Rank) }},
	{heading: []string{"way"}, words: true, cell: func(_ *view, o *routing.Option) string { return shape(o.Shape) }},
	{heading: []string{"vehicles"}, share: 1, parts: names},
	{heading: []string{"destination"}, share: 1, cell: func(_ *view, o *routing.Option) string { return o.Destination.Name }},
	{heading: []string{"typical", "min"}, right: true, cell: func(_ *view, o *routing.Option) string { return minutes(o.Total.TypicalS) }},
	{heading: []string{"slow", "min"}, right: true, cell: func(_ *view, o *routing.Option) string { return minutes(o.Total.SlowS) }},
	{heading: []string{"leave", "scene"}, cell: func(v *view, o *routing.Option) string {
		return v.leaves(o)
	}},
	{heading: []string{"with", "surgeon"}, cell: func(v *view, o *routing.Option) string {
		return clock(o.WithSurgeon, v.page.Answer.At, v.page.Zone)
	}},
	{heading: []string{"held up by"}, share: 1, cell: func(_ *view, o *routing.Option) string { return o.HeldUpBy }},
}

// names are the vehicles of an option, the one that leaves the scene with the
// patient first.
func names(v *view, o *routing.Option) []string {
	out := make([]string, len(o.Assets))
	for i, id := range o.Assets {
		out[i] = v.asset(id)
	}
	return out
}

// leaves is when the patient leaves the scene, or that they have left.
func (v *view) leaves(o *routing.Option) string {
	if o.LeaveScene.IsZero() {
		return "left" // and nobody has said when
	}
	return clock(o.LeaveScene, v.page.Answer.At, v.page.Zone)
}

func vehicles(v *view, o *routing.Option) string { return strings.Join(names(v, o), " + ") }

// table prints the options, one a row; clock times are local.
func (v *view) table() error {
	cells := make([][][]string, len(v.page.Answer.Options))
	for i := range v.page.Answer.Options {
		for _, c := range optionColumns {
			cells[i] = append(cells[i], c.lines(v, &v.page.Answer.Options[i]))
		}
	}
	ok, err := v.columned(optionColumns, cells)
	if err != nil {
		return err
	}
	if !ok {
		v.stack()
		return nil
	}
	v.found()
	return nil
}

// columned prints cells, each with the lines it has, in columns; it reports
// false, and prints nothing, where the columns would be too narrow to read.
func (v *view) columned(columns []column, cells [][][]string) (bool, error) {
	widths, ok := columnWidths(columns, cells, v.columns)
	if !ok {
		return false, nil
	}
	rows := make([][]string, len(cells))
	for i, row := range cells {
		for j, parts := range row {
			var lines []string
			for _, part := range parts {
				lines = append(lines, wrap(part, widths[j])...)
			}
			rows[i] = append(rows[i], strings.Join(lines, "\n"))
		}
	}
	header := make([]string, len(columns))
	align := make(tw.Alignment, len(columns))
	for j, c := range columns {
		header[j] = strings.Join(c.heading, "\n")
		align[j] = tw.AlignLeft
		if c.right {
			align[j] = tw.AlignRight
		}
	}
	return true, v.render(header, align, rows)
}

// found says how many ways out there are beyond those shown.
func (v *view) found() {
	shown, found := len(v.page.Answer.Options), v.page.Answer.Found
	if found > shown {
		v.paragraph("", fmt.Sprintf("The first %d of %d ways out.", shown, found))
	}
	v.spread()
	v.since()
	v.line("")
}

// stack prints the options one below the other, for a screen on which a table
// would break its words.
func (v *view) stack() {
	for i := range v.page.Answer.Options {
		o := &v.page.Answer.Options[i]
		at, zone := v.page.Answer.At, v.page.Zone
		prefix := strconv.Itoa(o.Rank) + ". "
		indent := strings.Repeat(" ", len(prefix))
		v.paragraph(prefix, fmt.Sprintf("%s: %s min typical, %s slow", shape(o.Shape), minutes(o.Total.TypicalS), minutes(o.Total.SlowS)))
		v.paragraph(indent, vehicles(v, o)+" to "+o.Destination.Name)
		v.paragraph(indent, fmt.Sprintf("leave scene %s, with surgeon %s", v.leaves(o), clock(o.WithSurgeon, at, zone)))
		v.paragraph(indent, "held up by "+o.HeldUpBy)
	}
	v.found()
}

// columnWidths gives every fixed column what it needs and shares the rest of
// the line among the wrapping ones, none wider than its longest cell. It
// reports false when that leaves them too little to read.
func columnWidths(columns []column, cells [][][]string, total int) ([]int, bool) {
	widths := make([]int, len(columns))
	shares, room := 0, total-len(columns)*gap
	for j, c := range columns {
		for _, h := range c.heading {
			widths[j] = max(widths[j], width(h))
		}
		for _, row := range cells {
			parts := row[j]
			if c.words {
				parts = strings.Fields(strings.Join(parts, " "))
			}
			for _, part := range parts {
				widths[j] = max(widths[j], width(part))
			}
		}
		if c.share == 0 {
			room -= widths[j]
		}
		shares += c.share
	}
	// The narrowest first: what one does not need, the others get.
	for range columns {
		for j, c := range columns {
			if c.share > 0 && widths[j]*shares <= room*c.share {
				room -= widths[j]
				shares -= c.share
				columns = withoutShare(columns, j)
			}
		}
	}
	for j, c := range columns {
		if c.share > 0 {
			widths[j] = room * c.share / shares
			if widths[j] < minColumn {
				return nil, false
			}
		}
	}
	return widths, true
}

const (
	gap       = 1  // blanks after every column
	minColumn = 11 // the narrowest a wrapping column gets: a long word
)

// withoutShare is a copy of columns in which column j is settled.
func withoutShare(columns []column, j int) []column {
	out := append([]column(nil), columns...)
	out[j].share = 0
	return out
}

// render lays out rows of cells, already wrapped, under a header and a rule.
func (v *view) render(header []string, align tw.Alignment, rows [][]string) error {
	symbols := tw.NewSymbols(tw.StyleASCII)
	if v.style.Unicode {
		symbols = tw.NewSymbols(tw.StyleLight)
	}
	padding := tw.Padding{Right: strings.Repeat(" ", gap), Overwrite: true}
	cell := tw.CellConfig{
		Formatting: tw.CellFormatting{AutoWrap: tw.WrapNone, AutoFormat: tw.Off},
		Alignment:  tw.CellAlignment{PerColumn: align},
		Padding:    tw.CellPadding{Global: padding},
	}
	var out strings.Builder
	table := tablewriter.NewTable(&out,
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithConfig(tablewriter.Config{Header: cell, Row: cell}),
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{
			Borders: tw.BorderNone,
			Symbols: symbols,
			Settings: tw.Settings{
				Separators: tw.SeparatorsNone,
				Lines:      tw.Lines{ShowHeaderLine: tw.On, ShowTop: tw.Off, ShowBottom: tw.Off, ShowFooterLine: tw.Off},
			},
		})),
	)
	table.Header(header)
	if err := table.Bulk(rows); err != nil {
		return err
	}
	if err := table.Render(); err != nil {
		return err
	}
	for line := range strings.Lines(out.String()) {
		v.line(strings.TrimSuffix(line, "\n"))
	}
	return nil
}
