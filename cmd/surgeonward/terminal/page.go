package terminal

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"surgeonward/routing"
	"surgeonward/routing/flight"
)

// Page is an answer with what is needed to put names to its ids.
type Page struct {
	Answer        *routing.Answer
	Region        string
	Demonstration bool           // the region is invented: said before anything else
	TargetS       float64        // time to the surgeon that is aimed at; 0: none
	Given         flight.Given   // weather that the question states outright
	Happened      []routing.Fact // what the question says has happened
	// When output was lost and regained; nil: not stated.
	OutputLostAt, OutputRegainedAt *time.Time
	Zone                           *time.Location         // local time of the region; nil: UTC
	Asset                          func(id string) string // an asset's name; nil or "": the id is shown
	Facility                       func(id string) string // a facility's name; nil or "": the id is shown
}

// Write prints the page. Everything that came from a file or a request is
// neutralised first; see Clean.
func Write(w io.Writer, p Page, s Style) error {
	if p.Zone == nil {
		p.Zone = time.UTC
	}
	v := &view{page: p, style: s, columns: s.columns()}
	v.heading()
	if len(p.Answer.Options) > 0 {
		if err := v.table(); err != nil {
			return err
		}
		v.outlook()
		v.notes()
		for i := range p.Answer.Options {
			if i == 0 || s.AllLanes {
				v.lanes(&p.Answer.Options[i])
			}
		}
	}
	v.notPossible()
	_, err := io.WriteString(w, v.out.String())
	return err
}

// view is a page on its way to the screen.
type view struct {
	page    Page
	style   Style
	columns int
	out     strings.Builder
}

func (v *view) line(text string) {
	v.out.WriteString(strings.TrimRight(text, " "))
	v.out.WriteByte('\n')
}

// paragraph prints text from outside, wrapped, with lines after the first
// indented to the prefix.
func (v *view) paragraph(prefix, text string) {
	indent := strings.Repeat(" ", width(prefix))
	for i, part := range wrap(v.style.text(text), v.columns-width(prefix)) {
		if i > 0 {
			prefix = indent
		}
		v.line(prefix + part)
	}
}

// heading is the caution, the region, the question and the best way out.
func (v *view) heading() {
	ans := v.page.Answer
	v.caution()
	v.paragraph("", v.question())
	v.happened()
	v.weather()
	for _, c := range ans.Cautions {
		v.paragraph("Note: ", c)
	}
	v.line("")
	if len(ans.Options) == 0 {
		v.paragraph("", "No way out was found. What rules out each one is listed below.")
		v.line("")
		return
	}
	v.paragraph(fmt.Sprintf("%d. ", ans.Options[0].Rank), ans.Options[0].Sentence)
	v.decideBy()
	v.line("")
}

// caution is the line every answer carries, and whose region it is.
func (v *view) caution() {
	v.paragraph("", routing.Caution)
	v.region()
}

// region says whose region it is.
func (v *view) region() {
	if v.page.Demonstration {
		v.paragraph("", "DEMONSTRATION: "+v.page.Region+" is invented. No place, hospital, vehicle or person in it is real.")
	} else {
		v.paragraph("", "Region: "+v.page.Region+".")
	}
	v.line("")
}

// question repeats where and when, so that a misread position shows.
func (v *view) question() string {
	ans := v.page.Answer
	where := position(ans.Scene.Position)
	if id := ans.Scene.Facility; id != "" {
		where = v.facility(id) + ", " + where
	}
	if ans.Scene.Format != "" {
		where += " (read as " + ans.Scene.Format + ")"
	}
	if ans.Scene.UncertaintyM > 0 {
		where += fmt.Sprintf(", within %.0f m", ans.Scene.UncertaintyM)
	}
	light := "day"
	if ans.Night {
		light = "night"
	}
	return fmt.Sprintf("Scene: %s. Decision: %s UTC, %s, %s.", where,
		ans.At.UTC().Format("2006-01-02 15:04"), ans.At.In(v.page.Zone).Format("15:04 local (MST)"), light)
}

// notes are the cautions of the options, each once with the ranks it holds for.
func (v *view) notes() {
	var texts []string
	ranks := map[string][]string{}
	for i := range v.page.Answer.Options {
		o := &v.page.Answer.Options[i]
		for _, c := range o.Cautions {
			if len(ranks[c]) == 0 {
				texts = append(texts, c)
			}
			ranks[c] = append(ranks[c], strconv.Itoa(o.Rank))
		}
	}
	for _, c := range texts {
		v.paragraph("Note on ", strings.Join(ranks[c], ", ")+": "+c)
	}
	if len(texts) > 0 {
		v.line("")
	}
}

func (v *view) asset(id string) string    { return named(v.page.Asset, id) }
func (v *view) facility(id string) string { return named(v.page.Facility, id) }

func named(name func(string) string, id string) string {
	if name != nil {
		if s := name(id); s != "" {
			return s
		}
	}
	return id
}
