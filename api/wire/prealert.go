package wire

import (
	"slices"
	"strings"
	"time"

	"surgeonward/api/region"
	"surgeonward/routing"
)

// PreAlert is the JSON form of routing.Alert. Times of day are those of the
// receiving hospital, but for AtLocal. At is when the message is told.
type PreAlert struct {
	Head
	Scene            Scene  `json:"scene"`
	Option           string `json:"option"`
	Destination      Place  `json:"destination"`
	WorkedOutAt      string `json:"worked_out_at"`
	WorkedOutLocal   string `json:"worked_out_local"`
	AtDoorAt         string `json:"at_door_at,omitempty"`
	AtDoorLocal      string `json:"at_door_local,omitempty"`
	AtDoorSlowAt     string `json:"at_door_slow_at,omitempty"`
	AtDoorSlowLocal  string `json:"at_door_slow_local,omitempty"`
	LandingAt        string `json:"landing_at,omitempty"`
	LandingLocal     string `json:"landing_local,omitempty"`
	LandingSlowAt    string `json:"landing_slow_at,omitempty"`
	LandingSlowLocal string `json:"landing_slow_local,omitempty"`

	Sections []Section `json:"sections"` // age, time, mechanism, injuries, signs, treatment
	Coming   Coming    `json:"coming"`
	Text     string    `json:"text"`
	Words    int       `json:"words"`
	LeftOut  int       `json:"left_out"`
	Cautions []string  `json:"cautions"`
	Calls    []Call    `json:"calls"`
}

// Section is one letter of the message.
type Section struct {
	Letter string `json:"letter"`
	Title  string `json:"title"`
	Items  []Item `json:"items"`
}

// Item is one thing of a section.
type Item struct {
	Name   string `json:"name"`
	Text   string `json:"text"`
	Stated bool   `json:"stated"`
}

// Coming is who brings the patient.
type Coming struct {
	By       string      `json:"by"` // "road" or "air"
	Vehicle  *NamedAsset `json:"vehicle,omitempty"`
	Escort   *NamedAsset `json:"escort,omitempty"`
	Team     *Place      `json:"team,omitempty"`
	TeamWith *NamedAsset `json:"team_with,omitempty"`
}

// NamedAsset is an asset with its name.
type NamedAsset struct {
	Asset string `json:"asset"`
	Name  string `json:"name"`
}

// Call is one call with the latest time to make it.
type Call struct {
	Who          string `json:"who"`
	Facility     string `json:"facility,omitempty"`
	FacilityName string `json:"facility_name,omitempty"`
	For          string `json:"for"`
	By           string `json:"by"`
	ByLocal      string `json:"by_local"`
	ByS          int64  `json:"by_s"`
	Now          bool   `json:"now"`
	LateS        int64  `json:"late_s"`
	Sentence     string `json:"sentence"`
}

// EncodePreAlert makes the JSON form of an alert for q, as Encode does.
func EncodePreAlert(a *routing.Alert, q *PreAlertRequest, r *region.Region, build string) (PreAlert, error) {
	var n rounder
	m, zone := &a.Message, a.Message.Zone
	out := PreAlert{
		Head: head(m.At, r, build), Scene: n.scene(&a.Answer.Scene),
		Option: m.Option, Destination: *n.place(m.Destination),
		WorkedOutAt: utc(m.WorkedOutAt), WorkedOutLocal: local(m.WorkedOutAt, zone),
		Sections: make([]Section, len(m.Sections)), Coming: n.coming(&m.Coming),
		Text: m.Text, Words: m.Words, LeftOut: m.LeftOut,
		Cautions: list(slices.Concat(stale(r), q.Notes, a.Answer.Cautions, m.Cautions)), Calls: make([]Call, len(a.Calls)),
	}
	out.AtDoorAt, out.AtDoorLocal = clock(m.AtDoor, zone)
	out.AtDoorSlowAt, out.AtDoorSlowLocal = clock(m.AtDoorSlow, zone)
	out.LandingAt, out.LandingLocal = clock(m.Landing, zone)
	out.LandingSlowAt, out.LandingSlowLocal = clock(m.LandingSlow, zone)
	for i := range m.Sections {
		out.Sections[i] = section(&m.Sections[i])
	}
	for i := range a.Calls {
		out.Calls[i] = n.call(&a.Calls[i], m.WorkedOutAt, zone)
	}
	return out, n.err
}

// clock writes a time in UTC and in the zone; both are empty where there is none.
func clock(t time.Time, zone *time.Location) (inUTC, inZone string) {
	if t.IsZero() {
		return "", ""
	}
	return utc(t), local(t, zone)
}

func section(s *routing.Section) Section {
	out := Section{Letter: s.Letter, Title: s.Title, Items: make([]Item, len(s.Items))}
	for i, item := range s.Items {
		out.Items[i] = Item{Name: item.Name, Text: item.Text, Stated: item.Stated}
	}
	return out
}

func (n *rounder) coming(c *routing.Coming) Coming {
	out := Coming{By: "road", Vehicle: named(c.Vehicle), Escort: named(c.Escort), Team: n.place(c.Team), TeamWith: named(c.TeamWith)}
	if c.ByAir {
		out.By = "air"
	}
	return out
}

// named is nil where there is none.
func named(a routing.Named) *NamedAsset {
	if a == (routing.Named{}) {
		return nil
	}
	return &NamedAsset{Asset: a.ID, Name: a.Name}
}

// call rounds the time by which it must be made down, and what it is late by up.
func (n *rounder) call(c *routing.Call, decided time.Time, zone *time.Location) Call {
	out := Call{Who: string(c.Who), For: c.For, ByS: n.down(c.ByS), Now: c.Now, LateS: n.up(c.LateS), Sentence: c.Sentence}
	if f := c.Facility; f != nil {
		out.Facility, out.FacilityName, zone = f.ID, f.Name, f.Zone
	}
	by := decided.Add(time.Duration(out.ByS) * time.Second)
	out.By, out.ByLocal = utc(by), local(by, zone)
	return out
}

// PreAlertText is the message as it is read out over the radio and the calls,
// one a line. An invented region's says that it is.
func PreAlertText(p *PreAlert) string {
	lines := []string{p.Text, ""}
	for i := range p.Calls {
		lines = append(lines, p.Calls[i].Sentence)
	}
	if p.Region.Note != "" {
		lines = append(lines, "", p.Region.Note)
	}
	return strings.Join(lines, "\n") + "\n"
}
