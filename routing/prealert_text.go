package routing

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// How long a message may be: what can be read out in half a minute (ukfrs.com,
// seen 2026: "aim for 30 seconds") at 150 words a minute (common practice, no
// source, 2026). Words are counted as they are written: 21:40 is one.
const (
	radioS           = 30
	radioWordsPerMin = 150

	RadioWords = radioS * radioWordsPerMin / 60
)

// farOff is how far from now a time of day no longer says which day is meant.
const farOff = 12 * time.Hour

// spokenCaution is the caution in a few words; the message has it in full.
const spokenCaution = "Advice only; clinician and pilot decide."

// speaker puts a message into words.
type speaker struct {
	now  time.Time
	zone *time.Location
}

// clock is a time of day, with the date where the day is in doubt; "" for none.
func (s speaker) clock(t time.Time) string {
	switch {
	case t.IsZero():
		return ""
	case t.Sub(s.now) >= farOff || s.now.Sub(t) >= farOff:
		return t.In(s.zone).Format("2-Jan-2006 15:04")
	}
	return t.In(s.zone).Format("15:04")
}

// clockUp is the same, rounded up to the minute: slow times are shown no
// sooner than they are.
func (s speaker) clockUp(t time.Time) string {
	if whole := t.Truncate(time.Minute); whole.Before(t) {
		t = whole.Add(time.Minute)
	}
	return s.clock(t)
}

func (s speaker) sections(m *Message, c *Clinical) []Section {
	signs := make([]Item, 0, 8)
	for _, n := range c.Signs.numbers() {
		signs = append(signs, item(strings.TrimPrefix(n.pointer, "/signs/"), number(n.value)))
	}
	signs = append(signs, item("output", c.Signs.Output),
		item("output_lost_at", s.clock(c.Signs.OutputLostAt)), item("output_regained_at", s.clock(c.Signs.OutputRegainedAt)))
	times := []Item{item("incident_at", s.clock(c.IncidentAt)), item("arrives_at", s.clock(m.AtDoor)), item("arrives_slow_at", s.clockUp(m.AtDoorSlow))}
	if !m.Landing.IsZero() {
		times = append(times, item("landing_at", s.clock(m.Landing)), item("landing_slow_at", s.clockUp(m.LandingSlow)))
	}
	return []Section{
		{"A", "age", []Item{item("age", age(c.AgeYears))}},
		{"T", "time", times},
		{"M", "mechanism", []Item{item("mechanism", strings.Join(spoken(mechanisms, []string{c.Mechanism}), ""))}},
		{"I", "injuries", []Item{item("injuries", strings.Join(spoken(injuryRegions, c.Injuries), ", "))}},
		{"S", "signs", signs},
		{"T", "treatment", []Item{
			item("given", strings.Join(spoken(treatments, c.Treatment.Given), ", ")),
			item("blood_units", number(c.Treatment.BloodUnits)),
		}},
	}
}

// text is the message to be read out. Where it would be too long with the names
// of vehicles and places, it has their ids. After that treatments are cut from
// the end of their order, and counted, until it is short enough; nothing else is
// cut.
func (s speaker) text(m *Message, c *Clinical) (text string, leftOut int) {
	given := spoken(treatments, c.Treatment.Given)
	before := []string{
		"Pre-alert.",
		"Age " + orNot(age(c.AgeYears)) + ".",
		s.times(m, c),
		"Mechanism " + orNot(strings.Join(spoken(mechanisms, []string{c.Mechanism}), "")) + ".",
		"Injuries " + orNot(strings.Join(spoken(injuryRegions, c.Injuries), ", ")) + ".",
		"Signs: " + s.signs(&c.Signs) + ".",
	}
	with := func(kept int, coming string) string {
		all := append(before[:len(before):len(before)], "Treatment "+treated(given, kept, c.Treatment.BloodUnits)+".", coming, spokenCaution)
		return strings.Join(all, " ")
	}
	if text = with(len(given), m.Coming.words(Named.name)); len(strings.Fields(text)) <= RadioWords {
		return text, 0
	}
	for kept := len(given); ; kept-- {
		text = with(kept, m.Coming.words(Named.id))
		if kept == 0 || len(strings.Fields(text)) <= RadioWords {
			return text, len(given) - kept
		}
	}
}

func (n Named) id() string   { return n.ID }
func (n Named) name() string { return strings.Join(strings.Fields(cmp.Or(n.Name, n.ID)), " ") }

func (s speaker) times(m *Message, c *Clinical) string {
	where := "local"
	if s.zone.String() == time.UTC.String() {
		where = "UTC"
	}
	t := "Time, " + where + ": incident " + orNot(s.clock(c.IncidentAt)) + ", ETA " + orNot(s.clock(m.AtDoor))
	if !m.AtDoor.IsZero() {
		t += ", slow " + s.clockUp(m.AtDoorSlow)
	}
	if !m.Landing.IsZero() {
		t += ", landing " + s.clock(m.Landing)
	}
	return t + "."
}

// signs puts what is stated first and names the rest in one go.
func (s speaker) signs(v *Signs) string {
	var stated, missing []string
	for _, n := range v.numbers() {
		if n.value == nil {
			missing = append(missing, n.spoken)
			continue
		}
		stated = append(stated, n.spoken+" "+number(n.value))
	}
	switch v.Output {
	case "":
		missing = append(missing, "output")
	case OutputPresent:
		stated = append(stated, "output present")
	case OutputLost:
		stated = append(stated, "output lost "+orNot(s.clock(v.OutputLostAt)))
	case OutputRegained:
		stated = append(stated, "output lost "+orNot(s.clock(v.OutputLostAt))+", regained "+orNot(s.clock(v.OutputRegainedAt)))
	}
	if len(missing) > 0 {
		stated = append(stated, strings.Join(missing, ", ")+" "+NotStated)
	}
	return strings.Join(stated, ", ")
}

// treated lists the first of the given treatments and says how many more there are.
func treated(given []string, kept int, blood *float64) string {
	if len(given) == 0 && blood == nil {
		return NotStated
	}
	parts := append([]string{}, given[:kept]...)
	if more := len(given) - kept; more > 0 {
		parts = append(parts, fmt.Sprintf("%d more", more))
	}
	if blood == nil {
		return strings.Join(append(parts, "blood "+NotStated), ", ")
	}
	parts = append(parts, "blood "+number(blood)+" units")
	if len(given) == 0 {
		parts = append(parts, "rest "+NotStated)
	}
	return strings.Join(parts, ", ")
}

func (c *Coming) words(call func(Named) string) string {
	by := "road"
	if c.ByAir {
		by = "air"
	}
	text := "Coming by " + by + ": " + orNot(call(c.Vehicle))
	if c.Escort != (Named{}) {
		text += ", escort " + call(c.Escort)
	}
	if c.Team != nil {
		text += ", surgeon from " + call(Named{c.Team.ID, c.Team.Name}) + " by " + call(c.TeamWith)
	}
	return text + "."
}

// age writes years as people say them: months below two years. Parts are cut
// off, as in a birthday.
func age(years *float64) string {
	switch {
	case years == nil:
		return ""
	case *years < 2:
		return fmt.Sprintf("%.0f months", math.Floor(*years*12))
	}
	return fmt.Sprintf("%.0f years", math.Floor(*years))
}

// number writes a checked number, whole or with its half; "" for none.
func number(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', -1, 64)
}

func orNot(text string) string {
	if text == "" {
		return NotStated
	}
	return text
}
