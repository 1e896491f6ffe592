package routing

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/geo"
)

// meeting is a place where a patient can change from a road vehicle to an
// aircraft.
type meeting struct {
	id string
	place
	facility *facilities.Facility
	sceneM   float64 // great circle from the patient
	soonestS float64 // a bound of when the patient can be there by road; see meetings.roadsides
	runway   bool
}

// site is the facility the meeting is at; nil for no meeting.
func (m *meeting) site() *facilities.Facility {
	if m == nil {
		return nil
	}
	return m.facility
}

// byRoad is the place as the end of a drive: nothing lands.
func (m *meeting) byRoad() place { return place{at: m.at, zone: m.zone, name: m.name, prepared: true} }

// meetings is what the shapes with two vehicles share within one question:
// where they can meet, and when patient and vehicles can be there. Everything
// but the list itself is worked out when first asked for.
type meetings struct {
	p         *problem
	units     []unit
	from      []approach
	places    []meeting
	patientAt orb.Point  // the scene, or where the patient has been brought to on the way
	ground    []roadside // road vehicles by when they have the patient on board

	patients map[patientKey]atPlace
	others   map[otherKey]*approach
	w        network
}

// roadside is a road vehicle with the patient on board.
type roadside struct {
	carrier, escort *approach
	readyS          float64
}

// needs reports whether the unit is part of it.
func (g *roadside) needs(u *unit) bool {
	return u != nil && (g.carrier.unit == u || g.escort != nil && g.escort.unit == u)
}

// soonestS bounds when the patient can be some metres away.
func (g *roadside) soonestS(p *problem, metres float64) float64 {
	return g.readyS + max(0, p.atLeast(g.carrier.Asset, metres)-g.carrier.leftS)
}

// atPlace is the soonest the patient can be put down somewhere by road.
type atPlace struct {
	by      *roadside // nil: nobody can bring the patient there
	arriveS float64
	reasons []Reason
}

type patientKey struct {
	at      string
	without *unit
}

type otherKey struct {
	unit *unit
	at   string
}

func (p *problem) newMeetings(units []unit, from []approach) *meetings {
	m := &meetings{p: p, units: units, from: from, patients: map[patientKey]atPlace{}, others: map[otherKey]*approach{},
		patientAt: p.Scene.Position}
	for i := range from {
		if from[i].aboard {
			m.patientAt = from[i].spot.at
		}
	}
	if p.shared != nil {
		m.places = slices.Clone(p.shared.places)
	} else {
		m.places = p.meetingPlaces()
	}
	for i := range m.places {
		m.places[i].sceneM = geo.Distance(m.patientAt, m.places[i].at)
	}
	m.roadsides(nil)
	for i := range m.places {
		m.places[i].soonestS = m.soonest(m.places[i].sceneM)
	}
	return m
}

// meetingPlaces are the places where a patient can change vehicle, in the order
// of their ids.
func (p *problem) meetingPlaces() (out []meeting) {
	for _, f := range p.Facilities.All() {
		var at place
		switch {
		case f.Kind == facilities.Hospital && f.Pad != nil && f.ID != p.Scene.Facility:
			at = padPlace(f)
		case f.Kind == facilities.LandingSite && f.Ground != nil && f.Ground.RoadAccess,
			f.Kind == facilities.Airfield && f.Ground != nil:
			at = groundPlace(f)
		default:
			continue
		}
		out = append(out, meeting{id: f.ID, place: at, facility: f, runway: f.Kind == facilities.Airfield})
	}
	return out
}

// roadsides are the road vehicles that can take the patient away, of those that
// are wanted where that is said, by when they can leave.
func (m *meetings) roadsides(wanted []bool) {
	w := &m.w
	m.ground = m.ground[:0]
	for i := range m.from {
		a := &m.from[i]
		if a.Kind != Ambulance || wanted != nil && !wanted[i] || len(a.reasons) > 0 {
			continue
		}
		escort, why := m.p.escortFor(m.from, a)
		if len(why) > 0 {
			continue
		}
		y := way{carrier: a, escort: escort}
		w.reset()
		m.ground = append(m.ground, roadside{carrier: a, escort: escort, readyS: w.end(m.p.loaded(&y, w))})
	}
	slices.SortFunc(m.ground, func(a, b roadside) int {
		return cmp.Or(cmp.Compare(a.readyS, b.readyS), cmp.Compare(a.carrier.ID, b.carrier.ID))
	})
}

// patient is the soonest the patient can be put down at a place by road,
// without the given vehicle. Vehicles come in order of readiness, so that the
// search ends as soon as the next one could not be there in time even by a
// straight road.
func (m *meetings) patient(id string, at place, without *unit) atPlace {
	key := patientKey{id, without}
	if known, ok := m.patients[key]; ok {
		return known
	}
	best := atPlace{arriveS: math.Inf(1)}
	metres := geo.Distance(m.patientAt, at.at)
	for i := range m.ground {
		g := &m.ground[i]
		if g.needs(without) {
			continue
		}
		if g.soonestS(m.p, metres) >= best.arriveS {
			continue
		}
		l := g.carrier.away(leg{id: "travel_to_meeting", asset: g.carrier.Asset, lane: LanePatient, from: g.carrier.spot.at, to: at})
		l.leavesS = g.readyS - l.spentS
		t := m.p.travel(l)
		if len(t.reasons) > 0 {
			if best.by == nil {
				best.reasons = t.reasons
			}
			continue
		}
		unload := m.p.load(g.carrier.Asset, "unload", false)
		if s := g.readyS + t.timing.TypicalS + unload.timing.TypicalS; s < best.arriveS {
			best = atPlace{by: g, arriveS: s}
		}
	}
	if best.by == nil && len(best.reasons) == 0 {
		best.reasons = []Reason{reason(ReasonNoMeeting, "no ambulance can bring the patient to %s", at.name)}
	}
	m.patients[key] = best
	return best
}

// other is another vehicle's way to a place.
func (m *meetings) other(u *unit, id string, at place) *approach {
	key := otherKey{u, id}
	if known, ok := m.others[key]; ok {
		return known
	}
	if m.p.shared != nil {
		if known, ok := m.p.shared.others.Load(key); ok {
			return known.(*approach)
		}
	}
	a := m.p.approachTo(u, spot{place: at}, nil)
	if m.p.shared != nil {
		m.p.shared.others.Store(key, &a)
	}
	m.others[key] = &a
	return &a
}

// soonest is the earliest the patient could be anywhere by road: a bound.
func (m *meetings) soonest(metres float64) float64 {
	best := math.Inf(1)
	for i := range m.ground {
		best = math.Min(best, m.ground[i].soonestS(m.p, metres))
	}
	return best
}

// soonestS bounds when a unit can be some metres from where it begins.
func (u *unit) soonestS(p *problem, metres float64) float64 {
	if u.Flies() && metres <= beside {
		return u.readyS() // no flight is needed
	}
	return u.readyS() + max(0, p.atLeast(u.Asset, metres)-u.underS)
}

// readyS is when a unit can first move.
func (u *unit) readyS() float64 {
	s := 0.0
	for _, nd := range u.ready {
		s += nd.timing.TypicalS
	}
	return s
}
