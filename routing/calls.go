package routing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities"
)

// Callee is a stable word for who is called.
type Callee string

// Who is called.
const (
	CallSurgeon       Callee = "surgeon"
	CallTheatre       Callee = "theatre"
	CallPerfusionist  Callee = "perfusionist" // apart from the theatre only where the hospital lists one
	CallShuttle       Callee = "shuttle"      // the road vehicle to a pad away from the door
	CallPadGuard      Callee = "pad_guard"    // clears and guards the pad
	CallReceivingTeam Callee = "receiving_team"
	CallSurgicalTeam  Callee = "surgical_team" // the one that travels
)

// Call is one call with the latest time to make it so that it is not what the
// patient waits for, at typical durations: made then, the option takes no
// longer. Half of all journeys are quicker than typical, so earlier is better.
type Call struct {
	Who      Callee
	Facility *facilities.Facility // nil: not known
	For      string               // the id of the activity that waits for it
	ByS      float64              // in seconds after the decision time, 0 or more
	By       time.Time
	Now      bool    // it cannot wait
	LateS    float64 // made at the decision time it is still late by this much
	Sentence string
}

// Calls are the calls that an option asks for, the most urgent first. Surgeon
// and theatre may start as late as their slack in the plan allows, less the
// time that the call itself takes. Receiving team and pad guard have to know
// before the patient is at the door, and before the aircraft lands; how long
// they take to be in place is not in the model, and comes on top. A hospital that
// has been alerted gets ready since, and needs no call but for its pad.
func Calls(o Option) []Call {
	c := &caller{o: &o, decided: o.WithSurgeon.Add(-seconds(o.Total.TypicalS)), callS: o.callS}
	if s := o.Plan.find("pre_alert"); s != nil {
		c.alerted = s.Begun
	}
	c.hospital()
	c.stop()
	c.surgicalTeam()
	c.padGuards()
	slices.SortFunc(c.calls, func(a, b Call) int {
		return cmp.Or(cmp.Compare(a.ByS, b.ByS), strings.Compare(string(a.Who), string(b.Who)), strings.Compare(a.For, b.For))
	})
	return c.calls
}

// caller collects the calls of one option.
type caller struct {
	o       *Option
	decided time.Time
	callS   float64 // how long a call takes
	alerted bool    // the hospital has been
	calls   []Call
}

// hospital is the calls to where the patient is taken.
func (c *caller) hospital() {
	to := c.o.Destination
	if c.alerted {
		return
	}
	if s := c.o.Plan.find("call_in"); s != nil {
		c.add(CallSurgeon, to, s.ID, s.StartS+s.SlackS, c.callS, "call in the surgeon")
	} else if s := c.o.Plan.find("with_surgeon"); s != nil && c.o.Shape != SurgeonTravels {
		c.add(CallSurgeon, to, s.ID, s.StartS, c.callS, "tell the surgeon, for whom no way in is counted")
	}
	if s := c.o.Plan.find("theatre"); s != nil {
		what := "have the theatre made ready, with its team and perfusionist"
		if to != nil && to.Has("perfusionist") {
			what = "have the theatre and its team made ready"
			c.add(CallPerfusionist, to, s.ID, s.StartS+s.SlackS, c.callS, "call the perfusionist")
		}
		c.add(CallTheatre, to, s.ID, s.StartS+s.SlackS, c.callS, what)
	}
	c.shuttle("shuttle", to)
	if s := c.o.Plan.find("handover"); s != nil {
		c.add(CallReceivingTeam, to, s.ID, s.StartS, c.callS, "pre-alert the receiving team")
	}
}

// stop is the calls to the hospital of a stop on the way.
func (c *caller) stop() {
	c.shuttle("stop_shuttle", c.o.Via)
	if s := c.o.Plan.find("stop"); s != nil {
		c.add(CallReceivingTeam, c.o.Via, s.ID, s.StartS, c.callS, "pre-alert the team for the stop")
	}
}

// shuttle: the call is part of the activity's own duration.
func (c *caller) shuttle(id string, f *facilities.Facility) {
	if s := c.o.Plan.find(id); s != nil && !s.Begun {
		c.add(CallShuttle, f, id, s.StartS+s.SlackS, 0, "send the road vehicle to the pad")
	}
}

// surgicalTeam: the call is the first activity of the team's own chain.
func (c *caller) surgicalTeam() {
	if s := c.o.Plan.find("team_pre_alert"); s != nil && !s.Begun {
		what := "have the surgical team made ready to travel"
		if c.o.Plan.find("team_call_in") != nil {
			what = "call in the surgical team, which travels"
		}
		c.add(CallSurgicalTeam, c.o.TeamFrom, s.ID, s.StartS+s.SlackS, 0, what)
	}
}

// padGuards is a call to each hospital whose pad is landed on. No option lands
// twice on the same one.
func (c *caller) padGuards() {
	for _, l := range []struct {
		leg string
		at  *facilities.Facility
	}{
		{"travel_to_hospital", c.o.Destination}, {"team_travel", c.o.Destination},
		{"travel_to_stop", c.o.Via}, {"stop_travel_to_scene", c.o.Via},
		{"team_travel_to_scene", c.o.TeamFrom}, {"meeting_travel_to_scene", c.o.Meeting},
	} {
		if s := c.landing(l.leg, l.at); s != nil {
			c.add(CallPadGuard, l.at, s.ID, s.EndS, c.callS, "have the pad cleared and guarded")
		}
	}
}

// landing is the leg where it is a flight to a hospital's pad; nil otherwise.
func (c *caller) landing(leg string, at *facilities.Facility) *Scheduled {
	s := c.o.Plan.find(leg)
	if s == nil || !s.ByAir || at == nil || at.Kind != facilities.Hospital {
		return nil
	}
	return s
}

// add notes a call of some seconds that must be over at an instant.
func (c *caller) add(who Callee, f *facilities.Facility, activity string, overS, takesS float64, what string) {
	byS := overS - takesS
	call := Call{Who: who, Facility: f, For: activity, ByS: math.Max(0, byS), LateS: math.Max(0, -byS)}
	if call.LateS < criticalBelowS {
		call.LateS = 0
	}
	if call.ByS < criticalBelowS {
		call.ByS, call.Now = 0, true
	}
	call.By = c.decided.Add(seconds(call.ByS))
	name, zone := "the hospital", time.UTC
	if f != nil {
		name, zone = f.Name, cmp.Or(f.Zone, time.UTC)
	}
	switch {
	case call.LateS > 0:
		call.Sentence = fmt.Sprintf("now, and already %s late: %s (%s)", spanUp(call.LateS), what, name)
	case call.Now:
		call.Sentence = fmt.Sprintf("now: %s (%s)", what, name)
	default:
		call.Sentence = fmt.Sprintf("by %s: %s (%s)", speaker{now: c.decided, zone: zone}.clock(call.By), what, name)
	}
	c.calls = append(c.calls, call)
}
