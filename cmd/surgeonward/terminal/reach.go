package terminal

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"surgeonward/geo/sun"
	"surgeonward/routing"
	"surgeonward/routing/flight"
)

// ReachPage is an answer of reach with what is needed to put names to its ids.
type ReachPage struct {
	Answer        *routing.Reach
	Region        string
	Demonstration bool
	Given         flight.Given
	Zone          *time.Location         // local time of the region; nil: UTC
	Facility      func(id string) string // as in Page
}

// WriteReach prints the page, as Write does. Times are with seconds: the
// window is counted in minutes.
func WriteReach(w io.Writer, p ReachPage, s Style) error {
	if p.Zone == nil {
		p.Zone = time.UTC
	}
	r := p.Answer
	v := &view{style: s, columns: s.columns(), page: Page{
		Answer: &routing.Answer{At: r.At, Scene: r.Scene, Weather: r.Weather, Cautions: r.Cautions, Night: sun.IsNight(r.Scene.Position, r.At)},
		Region: p.Region, Demonstration: p.Demonstration, Given: p.Given, Zone: p.Zone, Facility: p.Facility,
	}}
	v.caution()
	v.paragraph("", v.question())
	v.weather()
	v.paragraph("Window: ", fmt.Sprintf("%s (%s), from loss of output at %s to %s; opening takes %s min, %s if slow; source: %s.",
		r.Window.What, r.Window.ID, v.second(r.OutputLostAt), v.second(r.Closes),
		tenths(r.OpenChest.Timing.TypicalS), tenths(r.OpenChest.Timing.SlowS), r.Window.Source))
	for _, c := range r.Cautions {
		v.paragraph("Note: ", c)
	}
	v.line("")
	v.paragraph("", upperFirst(r.Headline)+".")
	v.line("")
	v.reachTeams("With the skill "+strings.ReplaceAll(r.Skill, "_", " "), r.Teams, true)
	v.reachTeams("Without it, and cannot open the chest", r.Others, false)
	v.cannotCome(r)
	_, err := io.WriteString(w, v.out.String())
	return err
}

// reachRow is a team in a table, after its name: with the patient and chest
// open, each typical and slow, what is typically left of the window then, and
// the chance that anything is.
const (
	reachRow   = " %8s %8s %8s %8s %8s %9s"
	reachWidth = 5*9 + 10
)

// reachTeams lists those that can come, on one line each where there is room.
func (v *view) reachTeams(title string, teams []routing.ReachTeam, skilled bool) {
	come := slices.DeleteFunc(slices.Clone(teams), func(t routing.ReachTeam) bool { return !t.Can() })
	if len(come) == 0 {
		return
	}
	v.paragraph("", title+":")
	names := v.columns - reachWidth
	if v.columns >= minTable {
		v.line(pad("", names) + fmt.Sprintf(reachRow, "patient", "if slow", "open", "if slow", "left", "in time"))
	}
	for i := range come {
		t := &come[i]
		if v.columns < minTable {
			v.paragraph("  ", t.Sentence)
			continue
		}
		var open, openSlow, left, chance string
		if skilled {
			open, openSlow = v.second(t.Open), v.second(t.OpenSlow)
			left, chance = margin(t.MarginS, t.InWindow), routing.Percent(t.Chance)
		}
		name := pad(short(v.style.text(t.Name), names-1), names)
		v.line(name + fmt.Sprintf(reachRow, v.second(t.WithPatient), v.second(t.WithPatientSlow), open, openSlow, left, chance))
	}
	v.line("")
	for i := range come {
		for _, c := range come[i].Cautions {
			v.paragraph("Note on ", come[i].Name+": "+c)
		}
	}
}

// cannotCome says who cannot come: with reasons, or how many.
func (v *view) cannotCome(r *routing.Reach) {
	var none []string
	for _, list := range [][]routing.ReachTeam{r.Teams, r.Others} {
		for i := range list {
			if !list[i].Can() {
				none = append(none, list[i].Sentence)
			}
		}
	}
	if len(none) == 0 {
		return
	}
	if !v.style.AllPairs {
		v.paragraph("", plural(len(none), "team")+" cannot come. Every reason: --all")
		return
	}
	for _, s := range none {
		v.paragraph("", s)
	}
}

// second writes the local time of day, rounded up to the second: nobody is
// shown to be there sooner than they are.
func (v *view) second(t time.Time) string {
	t = t.Round(time.Millisecond)
	if whole := t.Truncate(time.Second); whole.Before(t) {
		t = whole.Add(time.Second)
	}
	return t.In(v.page.Zone).Format("15:04:05")
}

// margin writes minutes and seconds, rounded down, with a minus outside the
// window.
func margin(s float64, inside bool) string {
	sign := ""
	if !inside {
		sign = "-"
	}
	whole := int(math.Abs(math.Floor(s)))
	return fmt.Sprintf("%s%d:%02d", sign, whole/60, whole%60)
}

func upperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}
