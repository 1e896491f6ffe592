package routing

import (
	"strings"
	"time"

	"surgeonward/facilities"
)

// destination is a hospital with what the question asks of it: what rules it
// out, and its side of the network, which runs from the pre-alert.
type destination struct {
	*facilities.Facility
	reasons  []Reason
	preAlert node
	callIn   *node // nil: the surgeon is there, or none is needed
	theatre  node
	handover node

	alerted   bool    // a fact: it has had the pre-alert
	preparedS float64 // how long it has been getting ready since, in seconds
}

func (p *problem) destinations(needs []string) []destination {
	var out []destination
	for _, f := range p.Facilities.OfKind(facilities.Hospital) {
		if f.ID == p.Scene.Facility {
			continue
		}
		out = append(out, p.destination(f, needs))
	}
	return out
}

func (p *problem) destination(f *facilities.Facility, needs []string) destination {
	d := destination{Facility: f}
	there := p.patientAt()
	if state := f.Accepting.At(p.At); state != facilities.Open && there != f.ID {
		d.reasons = append(d.reasons, notAccepting(f, state))
	}
	if missing := lacking(f, needs); len(missing) > 0 {
		d.reasons = append(d.reasons, reason(ReasonLacksCapability, "no %s", strings.Join(missing, ", no ")))
	}
	d.preAlert = node{id: "pre_alert", kind: KindPreAlert, lane: LaneHospital, cause: cause{"pre_alert", f.ID}}
	if there != "" && there != f.ID {
		d.reasons = append(d.reasons, p.brought(there))
	}
	d.preAlert.timing, d.preAlert.basis = p.allowance(nil, "pre_alert")
	if d.preparedS, d.alerted = p.alertedS(f.ID); d.alerted {
		d.preAlert.timing, d.preAlert.basis, d.preAlert.begun = facilities.Timing{}, basis{text: "given"}, true
	}
	var closed []Reason
	d.theatre, closed = p.theatre(f, d.preAlert.timing.TypicalS)
	d.reasons = append(d.reasons, closed...)
	if d.alerted && f.TheatreAwayAt(p.At) == nil { // what cannot be used is not made ready either
		d.theatre.spend(d.preparedS)
	}
	d.callIn = p.surgeon(f, needs, &d)
	d.handover = node{id: "handover", kind: KindHandover, lane: LanePatient, cause: cause{"handover", f.ID}}
	d.handover.timing, d.handover.basis = p.stated(f.Handover, basis{form: fromFacility, text: "handover"}, "handover")
	return d
}

func notAccepting(f *facilities.Facility, state facilities.AcceptState) Reason {
	text := "on divert"
	if state == facilities.Closed {
		text = "closed"
	}
	if f.Accepting.Reason != "" {
		text += ": " + f.Accepting.Reason
	}
	if !f.Accepting.Until.IsZero() {
		text += ", until " + clock(f.Accepting.Until, f.Zone)
	}
	return Reason{Code: ReasonNotAccepting, Detail: text}
}

func lacking(f *facilities.Facility, needs []string) (missing []string) {
	for _, n := range needs {
		if !f.Has(n) {
			missing = append(missing, plain(n))
		}
	}
	return missing
}

// theatre is the step until a theatre is ready, after a pre-alert that takes
// calledS. One that cannot be used yet is made ready when it can.
func (p *problem) theatre(f *facilities.Facility, calledS float64) (node, []Reason) {
	nd := node{id: "theatre", kind: KindTheatre, lane: LaneHospital, cause: cause{"theatre", f.ID}}
	away := f.TheatreAwayAt(p.At)
	if away == nil {
		nd.timing, nd.basis = p.stated(f.TheatreAt(p.At).Ready, basis{form: fromFacility, text: "theatre readiness"}, "theatre_ready")
		return nd, nil
	}
	if waitS := away.Until.Sub(p.At).Seconds(); !away.Until.IsZero() && waitS <= surgeonAheadS {
		nd.timing, _ = p.stated(f.TheatreAt(away.Until).Ready, basis{}, "theatre_ready")
		nd.timing = nd.timing.Add(facilities.Fixed(max(0, waitS-calledS)))
		nd.basis = basis{text: "theatre can be used from " + clock(away.Until, f.Zone)}
		return nd, nil
	}
	text := "no theatre"
	if away.Reason != "" {
		text += ": " + away.Reason
	}
	if !away.Until.IsZero() {
		text += ", until " + clock(away.Until, f.Zone)
	}
	return nd, []Reason{{Code: ReasonTheatreAway, Detail: text}}
}

// surgeonAheadS is how far ahead an uncovered hospital whose surgeon's hours
// are about to begin, or whose theatre is about to be free, is still offered.
const surgeonAheadS = 2 * 3600.0

// surgeon is the call-in that the needs cause, the longest where several
// surgeons are needed; an absent surgeon is a reason against the destination.
func (p *problem) surgeon(f *facilities.Facility, needs []string, d *destination) *node {
	var longest *node
	for _, need := range needs {
		presence, ok := f.PresenceAt(need, p.At)
		if !ok || presence.Attendance == facilities.Resident {
			continue
		}
		called := d.preAlert.timing.TypicalS
		nd := p.callIn(presence)
		if d.alerted {
			nd.spend(d.preparedS)
		}
		if presence.Attendance == facilities.Absent {
			from, there := nextPresence(f, need, p.At, surgeonAheadS, notAbsent)
			if from.IsZero() {
				d.reasons = append(d.reasons, reason(ReasonSurgeonAbsent, "no surgeon for %s at %s",
					plain(need), clock(p.At, f.Zone)))
				continue
			}
			nd = p.callIn(there)
			wait := facilities.Fixed(max(0, from.Sub(p.At).Seconds()-called))
			nd.basis = basis{text: "covered from " + clock(from, f.Zone)}
			if there.Attendance == facilities.Resident {
				nd.timing = wait
			} else {
				nd.timing = nd.timing.Add(wait)
			}
		}
		// A surgeon whose hours in the hospital begin sooner than they could
		// come in is there by then.
		if from, _ := nextPresence(f, need, p.At, nd.timing.TypicalS+called, resident); !from.IsZero() {
			nd = node{id: nd.id, kind: nd.kind, lane: nd.lane}
			nd.timing = facilities.Fixed(max(0, from.Sub(p.At).Seconds()-called))
			nd.basis = basis{text: "in the hospital from " + clock(from, f.Zone)}
		}
		if longest == nil || nd.timing.TypicalS > longest.timing.TypicalS {
			longest = &nd
		}
	}
	if longest != nil {
		longest.cause = cause{"call_in", f.ID}
	}
	return longest
}

func resident(p facilities.Presence) bool  { return p.Attendance == facilities.Resident }
func notAbsent(p facilities.Presence) bool { return p.Attendance != facilities.Absent }

// nextPresence is the first instant within the span at which the surgeon's
// presence matches, and that presence; the zero time if there is none.
func nextPresence(f *facilities.Facility, need string, at time.Time, withinS float64, match func(facilities.Presence) bool) (time.Time, facilities.Presence) {
	return f.NextPresence(need, at, match, time.Duration(withinS*float64(time.Second)))
}

func (p *problem) callIn(there facilities.Presence) node {
	nd := node{id: "call_in", kind: KindCallIn, lane: LaneHospital}
	nd.timing, nd.basis = p.stated(there.CallIn, basis{form: fromFacility, text: "call-in of the surgeon"}, "call_in")
	return nd
}

// plain writes a vocabulary word as people say it.
func plain(word string) string { return strings.ReplaceAll(word, "_", " ") }
