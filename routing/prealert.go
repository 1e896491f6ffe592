package routing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
)

// NotStated stands wherever the caller has said nothing. It is not "not given",
// which over the radio would say of a treatment that it was withheld.
const NotStated = "not stated"

// Message is the pre-alert to the receiving hospital, in the order of the
// handover structure ATMIST: age, time of incident and of arrival, mechanism,
// injuries, signs, treatment (ukfrs.com, seen 2026: "aim for 30 seconds").
type Message struct {
	Option      string // the option's id
	Destination *facilities.Facility
	At          time.Time      // when the message was made
	WorkedOutAt time.Time      // the decision time of the answer the option is from
	Zone        *time.Location // of the times of day in Sections and Text

	AtDoor, AtDoorSlow   time.Time // the patient at the hospital's door
	Landing, LandingSlow time.Time // on its pad; zero: not by air

	Sections []Section // A, T, M, I, S, T
	Coming   Coming
	Text     string // to be read out, at most RadioWords words
	Words    int    // of Text
	LeftOut  int    // treatments that did not fit into Text; Sections has them all
	Caution  string
	Cautions []string

	// Faults are what Clinical.Check finds. With any there is no message: no
	// sections, no text.
	Faults []strictjson.Fault
}

// Section is one letter of the message.
type Section struct {
	Letter string
	Title  string
	Items  []Item
}

// Item is one thing of a section. Text is NotStated where Stated is false.
type Item struct {
	Name   string // stable
	Text   string
	Stated bool
}

// Coming is who brings the patient.
type Coming struct {
	Vehicle  Named // the asset that arrives with the patient
	ByAir    bool
	Escort   Named                // the asset whose team rides along; zero: the vehicle's own crew
	Team     *facilities.Facility // where a travelling surgical team comes from; nil: none
	TeamWith Named                // the asset that brings it
}

// Named is an asset's id and the name people use; zero: none.
type Named struct{ ID, Name string }

// PreAlert writes the message for a chosen option. Times of day are in the
// zone; nil takes the hospital's own. Arrival times count from the answer's
// decision time: typical, and what 9 in 10 draws are there by. Where the clinical
// picture has faults the message has them and nothing else.
func PreAlert(o Option, a Answer, c Clinical, now time.Time, zone *time.Location) Message {
	if faults := c.Check(); len(faults) > 0 {
		return Message{Option: o.ID, At: now, Faults: faults}
	}
	if zone == nil && o.Destination != nil {
		zone = o.Destination.Zone
	}
	if zone == nil {
		zone = time.UTC
	}
	m := Message{Option: o.ID, Destination: o.Destination, At: now, WorkedOutAt: a.At, Zone: zone, Caution: Caution, Coming: coming(&o)}
	m.arrival(&o, a.At)
	m.Cautions = slices.Concat(m.cautions(&c), o.Cautions)
	s := speaker{now: now, zone: zone}
	m.Sections = s.sections(&m, &c)
	m.Text, m.LeftOut = s.text(&m, &c)
	m.Words = len(strings.Fields(m.Text))
	return m
}

// arrival fills in when the patient lands and is at the door, rounded up to the
// second: nobody is said to be there sooner than they are.
func (m *Message) arrival(o *Option, decided time.Time) {
	at := func(s float64) time.Time { return upToSecond(decided.Add(seconds(s))) }
	if t := o.AtDoor; t != nil {
		m.AtDoor, m.AtDoorSlow = at(t.TypicalS), at(t.SlowS)
	}
	if t := o.Lands; t != nil {
		m.Landing, m.LandingSlow = at(t.TypicalS), at(t.SlowS)
	}
}

func (p Plan) find(id string) *Scheduled {
	for i := range p {
		if p[i].ID == id {
			return &p[i]
		}
	}
	return nil
}

func coming(o *Option) (c Coming) {
	if s := o.Plan.find("travel_to_hospital"); s != nil {
		c.Vehicle, c.ByAir = s.named(), s.ByAir
	}
	if s := o.Plan.find("escort_join"); s != nil {
		c.Escort = s.named()
	}
	if s := o.Plan.find("team_travel"); s != nil && o.TeamFrom != nil {
		c.Team, c.TeamWith = o.TeamFrom, s.named()
	}
	return c
}

func (a *Activity) named() Named { return Named{ID: a.Asset, Name: a.AssetName} }

// cautions are what is odd about the message's times: clocks that do not agree,
// and arrivals that are over.
func (m *Message) cautions(c *Clinical) (out []string) {
	for _, at := range []struct {
		what string
		at   time.Time
	}{
		{"the answer's decision time", m.WorkedOutAt}, {"the incident", c.IncidentAt},
		{"the loss of output", c.Signs.OutputLostAt}, {"the return of output", c.Signs.OutputRegainedAt},
	} {
		if at.at.After(m.At) {
			out = append(out, at.what+" is later than the time of this message: check the clocks")
		}
	}
	if age := m.At.Sub(m.WorkedOutAt); age >= time.Minute {
		out = append(out, fmt.Sprintf("arrival was worked out %s ago: ask again with what has happened since", minutes(age.Seconds())))
	}
	if m.AtDoor.IsZero() {
		return append(out, "the option has no arrival time")
	}
	if m.AtDoor.Before(m.At) {
		out = append(out, "the typical arrival time has passed")
	}
	return out
}

func item(name, text string) Item {
	return Item{Name: name, Text: cmp.Or(text, NotStated), Stated: text != ""}
}
