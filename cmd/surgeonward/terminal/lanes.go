package terminal

import (
	"fmt"
	"math"
	"slices"
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

// minLabel holds the longest lane name and a space.
const minLabel = len("hospital ")

// lanes draws an option as bars on one clock, a lane each for every vehicle,
// the patient, a surgical team that travels and the hospital, and lists its
// activities.
func (v *view) lanes(o *routing.Option) {
	v.paragraph("", fmt.Sprintf("Timeline of %d: %s to %s, minutes after %s",
		o.Rank, vehicles(v, o), o.Destination.Name, clock(v.page.Answer.At, v.page.Answer.At, v.page.Zone)))
	vehicles := inLane(o.Plan, routing.LaneVehicle)
	labels := min(v.longest(vehicles), v.columns/4)
	c := newChart(o.Plan, v.columns-labels, v.style.marks())
	v.line(pad("min", labels) + c.axis())
	for _, id := range vehicles {
		name := "vehicle"
		if id != "" {
			name = short(v.style.text(v.asset(id)), labels-1)
		}
		v.lane(c, name, labels, func(a *routing.Scheduled) bool { return a.Lane == routing.LaneVehicle && a.Asset == id })
	}
	v.lane(c, "patient", labels, func(a *routing.Scheduled) bool { return a.Lane == routing.LanePatient })
	if o.Shape == routing.SurgeonTravels {
		v.lane(c, "team", labels, ofTeam)
	}
	v.lane(c, "hospital", labels, func(a *routing.Scheduled) bool {
		return a.Lane == routing.LaneHospital && (o.Shape != routing.SurgeonTravels || !ofTeam(a))
	})
	m := c.marks
	v.paragraph("", fmt.Sprintf("%c critical, %c has slack, %c waiting, %c with surgeon", m.critical, m.slack, m.wait, m.instant))
	v.line("")
	v.activities(o.Plan)
}

// lane prints the rows of a lane behind its label.
func (v *view) lane(c *chart, label string, labels int, in func(*routing.Scheduled) bool) {
	for _, row := range c.rows(in) {
		v.line(pad(label, labels) + row)
		label = ""
	}
}

// ofTeam picks the steps of a surgical team that travels from those of the
// hospital.
func ofTeam(a *routing.Scheduled) bool {
	return a.Lane == routing.LaneHospital && strings.HasPrefix(strings.TrimPrefix(a.ID, "wait_after_"), "team_")
}

// inLane lists the assets that have activities of their own in a lane, in
// order of start.
func inLane(plan routing.Plan, lane routing.Lane) (ids []string) {
	for _, a := range plan {
		if a.Lane == lane && !slices.Contains(ids, a.Asset) {
			ids = append(ids, a.Asset)
		}
	}
	return ids
}

// longest is the width of the longest label of a chart, with a space.
func (v *view) longest(assets []string) int {
	longest := minLabel
	for _, id := range assets {
		longest = max(longest, width(v.style.text(v.asset(id)))+1)
	}
	return longest
}

// short cuts a name to a width. Its last word, which tells Ambulance 11 from
// Ambulance 12, is kept where it can be.
func short(name string, limit int) string {
	if width(name) <= limit {
		return name
	}
	words := strings.Fields(name)
	last := words[len(words)-1]
	if room := limit - width(last) - 1; len(words) > 1 && room > 0 {
		if head := strings.TrimRight(fit(name, room), " "); width(head) <= room {
			return head + " " + last
		}
	}
	return fit(name, limit)
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
func (c *chart) rows(in func(*routing.Scheduled) bool) []string {
	var rows [][]rune
	var ends []float64 // when the last bar of each row ends
	for i := range c.plan {
		a := &c.plan[i]
		if !in(a) {
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
