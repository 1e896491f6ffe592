package terminal

import (
	"fmt"
	"math"
	"strings"

	"surgeonward/routing"
)

// marks draw the three weights of a bar.
type marks struct{ critical, slack, wait, instant rune }

var (
	asciiMarks   = marks{critical: '#', slack: '=', wait: '.', instant: '|'}
	unicodeMarks = marks{critical: '█', slack: '▒', wait: '░', instant: '|'}
)

func (s Style) marks() marks {
	if s.Unicode {
		return unicodeMarks
	}
	return asciiMarks
}

// keys name the activities of a chart, in order of start.
const keys = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"

// labelWidth holds the longest lane name and a space.
const labelWidth = len("hospital ")

// lanes draws an option as bars on one clock, a lane each for vehicle, patient
// and hospital, and lists its activities.
func (v *view) lanes(o *routing.Option) {
	v.paragraph("", fmt.Sprintf("Timeline of %d: %s to %s, minutes after %s",
		o.Rank, vehicles(v, o), o.Destination.Name, clock(v.page.Answer.At, v.page.Answer.At, v.page.Zone)))
	c := newChart(o.Plan, v.columns-labelWidth, v.style.marks())
	v.line(pad("min", labelWidth) + c.axis())
	for _, lane := range []routing.Lane{routing.LaneVehicle, routing.LanePatient, routing.LaneHospital} {
		label := string(lane)
		for _, row := range c.rows(lane) {
			v.line(pad(label, labelWidth) + row)
			label = ""
		}
	}
	m := c.marks
	v.paragraph("", fmt.Sprintf("%c critical, %c has slack, %c waiting, %c with surgeon", m.critical, m.slack, m.wait, m.instant))
	v.line("")
	v.activities(o.Plan)
}

// chart places a plan on a line of cells.
type chart struct {
	plan   routing.Plan
	cells  int
	endS   float64
	marks  marks
	perMin float64 // cells a minute
}

func newChart(plan routing.Plan, cells int, m marks) *chart {
	c := &chart{plan: plan, cells: cells, marks: m}
	for _, a := range plan {
		c.endS = math.Max(c.endS, a.EndS)
	}
	c.endS = math.Max(c.endS, 60)
	c.perMin = float64(cells) / (c.endS / 60)
	return c
}

// cell is the cell in which an instant lies.
func (c *chart) cell(s float64) int {
	return min(max(int(math.Round(s/60*c.perMin)), 0), c.cells)
}

// axis writes the minutes since the decision above the cells.
func (c *chart) axis() string {
	step := 1.0
	for _, s := range []float64{1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 960, 2880} {
		if step = s; s*c.perMin >= 6 {
			break
		}
	}
	line := []byte(strings.Repeat(" ", c.cells))
	for m := 0.0; m <= c.endS/60; m += step {
		label := fmt.Sprintf("%.0f", m)
		if at := c.cell(m * 60); at+len(label) <= c.cells {
			copy(line[at:], label)
		}
	}
	return string(line)
}

// rows are the lines of a lane: one, and as many more as overlap asks for.
func (c *chart) rows(lane routing.Lane) []string {
	var rows [][]rune
	var ends []float64 // when the last bar of each row ends
	for i, a := range c.plan {
		if a.Lane != lane {
			continue
		}
		row := 0
		for row < len(ends) && ends[row] > a.StartS+1e-6 {
			row++
		}
		if row == len(rows) {
			rows = append(rows, []rune(strings.Repeat(" ", c.cells)))
			ends = append(ends, 0)
		}
		c.draw(rows[row], i)
		ends[row] = a.EndS
	}
	out := make([]string, len(rows))
	for i, r := range rows {
		out[i] = string(r)
	}
	if len(out) == 0 {
		out = []string{""}
	}
	return out
}

// draw puts the bar of activity i on a row: its key, then its weight. A short
// bar keeps its key even where that pushes it to the right; an instant is a
// mark that covers no key.
func (c *chart) draw(row []rune, i int) {
	a := c.plan[i]
	start, end := c.cell(a.StartS), c.cell(a.EndS)
	if a.EndS == a.StartS {
		if start = min(start, c.cells-1); !strings.ContainsRune(keys, row[start]) {
			row[start] = c.marks.instant
		}
		return
	}
	for start < c.cells && row[start] != ' ' {
		start++
	}
	if start == c.cells {
		return // no room; the list has it
	}
	row[start] = key(i)
	for j := start + 1; j < end; j++ {
		row[j] = c.weight(a)
	}
}

func (c *chart) weight(a routing.Scheduled) rune {
	switch {
	case a.Kind == routing.KindWait:
		return c.marks.wait
	case a.Critical:
		return c.marks.critical
	default:
		return c.marks.slack
	}
}

// key names activity i on the chart and in the list.
func key(i int) rune {
	if i < len(keys) {
		return rune(keys[i])
	}
	return '*'
}
