package routing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"surgeonward/facilities"
)

// Fact is something that has happened by the decision time. It takes the place
// of an estimate. What nobody has said has happened is estimated as if it began
// at the decision time: state in Patient.ReadyIn what is left of making the
// patient ready, and by Alerted when a hospital's clock began.
//
// Of a patient who has changed vehicle only the facts about the vehicle they
// are in now are stated, with its position.
type Fact struct {
	Asset    string // empty for Alerted
	Event    Event
	At       time.Time
	Facility string // AtHospital, HandedOver, Alerted: which hospital; empty otherwise
}

// Event is a kind of fact.
type Event string

// The events, in the order in which they happen to one asset.
const (
	Lifted        Event = "lifted"         // under way to the patient; also by road
	Arrived       Event = "at_scene"       // beside the patient
	PatientLoaded Event = "patient_loaded" // on board
	LeftScene     Event = "left_scene"     // under way with the patient
	AtHospital    Event = "at_hospital"    // the vehicle stands there, and unloading has begun
	HandedOver    Event = "handed_over"    // the patient is in the hands of the hospital's team
	Alerted       Event = "alerted"        // the hospital has had the pre-alert, and gets ready since: of no asset
)

var events = []Event{Lifted, Arrived, PatientLoaded, LeftScene, AtHospital, HandedOver, Alerted}

// factMaxAge is how old a fact may be: an older one is a mistyped date.
// Common practice, no source.
const factMaxAge = 24 * time.Hour

// maxFacts bounds the work on one question: no region has as many.
const maxFacts = 500

// ofPatient reports whether the event is about an asset with the patient on board.
func (e Event) ofPatient() bool {
	return e == PatientLoaded || e == LeftScene || e == AtHospital || e == HandedOver
}

// names reports whether the event is at a hospital that must be named.
func (e Event) names() bool { return e == AtHospital || e == HandedOver || e == Alerted }

// happened is when an event happened to an asset.
func (q *Question) happened(asset string, e Event) (time.Time, bool) {
	for i := range q.Facts {
		if f := &q.Facts[i]; f.Asset == asset && f.Event == e {
			return f.At, true
		}
	}
	return time.Time{}, false
}

// sinceS is how long ago an event happened to an asset, in seconds; 0 where it
// has not.
func (q *Question) sinceS(asset string, e Event) (float64, bool) {
	at, ok := q.happened(asset, e)
	if !ok {
		return 0, false
	}
	return q.At.Sub(at).Seconds(), true
}

// alertedS is how long ago a hospital had the pre-alert, in seconds.
func (q *Question) alertedS(facility string) (float64, bool) {
	for i := range q.Facts {
		if f := &q.Facts[i]; f.Event == Alerted && f.Facility == facility {
			return q.At.Sub(f.At).Seconds(), true
		}
	}
	return 0, false
}

// aboard is the asset that the patient is or was on board of; empty: none.
func (q *Question) aboard() string {
	for i := range q.Facts {
		if q.Facts[i].Event.ofPatient() {
			return q.Facts[i].Asset
		}
	}
	return ""
}

// patientAt is the hospital the patient has been brought to; empty: none yet.
func (q *Question) patientAt() string {
	for i := range q.Facts {
		if e := q.Facts[i].Event; e == AtHospital || e == HandedOver {
			return q.Facts[i].Facility
		}
	}
	return ""
}

// at is the event that an asset has come to last; empty: none.
func (q *Question) at(asset string) Event {
	last := Event("")
	for i := range q.Facts {
		if f := &q.Facts[i]; f.Asset == asset && f.Event != Alerted && (last == "" || slices.Index(events, f.Event) > slices.Index(events, last)) {
			last = f.Event
		}
	}
	return last
}

// facts returns every contradiction among the facts and with the region.
func (c *checker) facts() {
	if len(c.q.Facts) > maxFacts {
		c.fault("/happened", "has %d, over the limit of %d: leave out what no longer matters", len(c.q.Facts), maxFacts)
		return
	}
	loaded := "" // the first asset that is said to carry the patient
	for i := range c.q.Facts {
		f := &c.q.Facts[i]
		at := fmt.Sprintf("/happened/%d", i)
		if !slices.Contains(events, f.Event) {
			c.fault(at+"/event", "must be one of lifted, at_scene, patient_loaded, left_scene, at_hospital, handed_over, alerted")
			continue
		}
		c.factTime(at+"/at", f)
		c.factPlace(at+"/facility", f)
		if f.Event == Alerted {
			if f.Asset != "" {
				c.fault(at+"/asset", "a pre-alert is of no asset: name the facility")
			}
			c.factTwice(i)
			continue
		}
		a := c.asset(f.Asset)
		switch {
		case f.Asset == "":
			c.fault(at+"/asset", "is missing: name the asset that it happened to")
			continue
		case a == nil:
			c.fault(at+"/asset", "no asset %q%s", f.Asset, c.nearest(f.Asset, c.assetIDs()))
			continue
		case f.Event.ofPatient() && !a.Carries():
			c.fault(at+"/asset", "%s carries no patient", a.Name)
		case f.Event.ofPatient() && a.Kind == Aeroplane:
			c.fault(at+"/asset", "%s is an aeroplane: ask with the patient on the road vehicle that meets it", a.Name)
		case f.Event.ofPatient() && loaded == "":
			loaded = f.Asset
		case f.Event.ofPatient() && loaded != f.Asset:
			c.fault(at+"/asset", "the patient is said to be on board %s and %s: keep the facts about the one they are in now", loaded, f.Asset)
		}
		c.factTwice(i)
		c.factState(at+"/event", f)
	}
}

func (c *checker) factTime(pointer string, f *Fact) {
	switch age := c.q.At.Sub(f.At); {
	case f.At.IsZero():
		c.fault(pointer, "the time is missing")
	case age < 0:
		c.fault(pointer, "is after the decision time: only what has happened is a fact")
	case age > factMaxAge:
		c.fault(pointer, "is more than %s before the decision time", minutes(factMaxAge.Seconds()))
	}
	if f.Event == Alerted {
		return
	}
	for i := range c.q.Facts {
		e := &c.q.Facts[i]
		if e.Asset == f.Asset && slices.Index(events, e.Event) < slices.Index(events, f.Event) && f.At.Before(e.At) {
			c.fault(pointer, "%s is %s before %s, which comes first", f.Event, spanUp(e.At.Sub(f.At).Seconds()), e.Event)
			return
		}
	}
}

func (c *checker) factPlace(pointer string, f *Fact) {
	if !f.Event.names() {
		if f.Facility != "" {
			c.fault(pointer, "%s is at no hospital: leave it out", f.Event)
		}
		return
	}
	at, ok := c.e.Facilities.Get(f.Facility)
	switch {
	case f.Facility == "":
		c.fault(pointer, "%s needs the id of the hospital", f.Event)
	case !ok:
		c.fault(pointer, "no facility %q%s", f.Facility, c.nearest(f.Facility, c.e.hospitalIDs()))
	case at.Kind != facilities.Hospital:
		c.fault(pointer, "%q is a %s, no hospital", f.Facility, plain(string(at.Kind)))
	case f.Facility == c.q.Scene.Facility:
		c.fault(pointer, "the transfer starts there")
	case f.Event != Alerted && f.Facility != c.q.patientAt():
		c.fault(pointer, "the patient is said to be at %s and at %s", c.q.patientAt(), f.Facility)
	}
}

func (c *checker) factTwice(i int) {
	f := &c.q.Facts[i]
	for k := range i {
		e := &c.q.Facts[k]
		if e.Event == f.Event && e.Asset == f.Asset && (f.Event != Alerted || e.Facility == f.Facility) {
			c.fault(fmt.Sprintf("/happened/%d/event", i), "is given twice, at /happened/%d already", k)
			return
		}
	}
}

// factState compares with the state that the question gives the asset.
func (c *checker) factState(pointer string, f *Fact) {
	for _, s := range c.q.Assets.States {
		if s.Asset != f.Asset {
			continue
		}
		switch {
		case s.State == AtBase || s.State == Committed:
			c.fault(pointer, "assets.states says that %s is %s: leave one out", f.Asset, plain(string(s.State)))
		case s.State == AtScene && slices.Contains([]Event{LeftScene, AtHospital, HandedOver}, f.Event):
			c.fault(pointer, "assets.states says that %s is at the scene: leave one out", f.Asset)
		case s.State == Moving && f.Event == Arrived && c.q.at(f.Asset) == Arrived:
			c.fault(pointer, "assets.states says that %s is moving: leave one out", f.Asset)
		}
	}
}

func (c *checker) asset(id string) *Asset {
	for _, assets := range [][]Asset{c.e.Fleet.assets, c.q.Assets.Add} {
		for i := range assets {
			if assets[i].ID == id {
				return &assets[i]
			}
		}
	}
	return nil
}

func (c *checker) assetIDs() (ids []string) {
	for _, assets := range [][]Asset{c.e.Fleet.assets, c.q.Assets.Add} {
		for i := range assets {
			ids = append(ids, assets[i].ID)
		}
	}
	return ids
}

// known is what the facts say of one asset.
type known struct {
	under   bool    // under way to the patient
	underS  float64 // since when; 0 where its position is known instead
	flownS  float64 // aircraft: flown since it lifted, where the fuel left is not stated
	aboard  bool    // the patient is on board
	left    bool    // under way with the patient
	leftS   float64 // since when; 0 where its position is known instead
	located bool    // the question says where it is now, moving
}

// learn applies the facts to an asset, whose state the question has set.
func (p *problem) learn(a *Asset) known {
	var k known
	last := p.at(a.ID)
	if last == "" {
		return k
	}
	i := slices.IndexFunc(p.Assets.States, func(s StateChange) bool { return s.Asset == a.ID })
	k.located = i >= 0 && p.Assets.States[i].State == Moving
	if i < 0 || p.Assets.States[i].FuelS == nil {
		k.flownS = p.flownS(a.ID)
	}
	k.aboard = last.ofPatient()
	if last == Lifted {
		k.under = true
		if a.State != Moving {
			k.underS, _ = p.sinceS(a.ID, Lifted)
		}
		a.State = Moving
		return k
	}
	if k.aboard && (last != PatientLoaded || k.located) {
		k.left = true
		if !k.located {
			k.leftS, _ = p.sinceS(a.ID, LeftScene)
		}
	}
	a.State = AtScene
	return k
}

// flownS is how long an aircraft has flown since it lifted, as far as the
// facts say.
func (p *problem) flownS(asset string) (s float64) {
	until := func(from Event, to ...Event) {
		began, ok := p.happened(asset, from)
		if !ok {
			return
		}
		ended := p.At
		for _, e := range to {
			if at, ok := p.happened(asset, e); ok && at.Before(ended) {
				ended = at
			}
		}
		s += ended.Sub(began).Seconds()
	}
	until(Lifted, Arrived, PatientLoaded, LeftScene, AtHospital, HandedOver)
	until(LeftScene, AtHospital, HandedOver)
	return s
}

// spend takes what is behind it off a node that has begun, and says so. The
// spread of what is left is that of the whole: how far it has come is known by
// the clock and not by its position.
func (nd *node) spend(s float64) {
	nd.begun = true
	if s <= 0 {
		return
	}
	nd.whole, nd.spentS = nd.timing, s
	nd.timing = facilities.Timing{TypicalS: math.Max(0, nd.whole.TypicalS-s), SlowS: math.Max(0, nd.whole.SlowS-s)}
	if nd.whole.TypicalS > 0 {
		nd.windS *= nd.timing.TypicalS / nd.whole.TypicalS
	}
	nd.basis.spentS = s
}

// pass is spend for steps one after the other: it returns what is behind them
// beyond this one.
func (nd *node) pass(s float64) float64 {
	rest := math.Max(0, s-nd.timing.TypicalS)
	nd.spend(s)
	return rest
}

// holding is the asset's place with the patient on board: nothing comes before
// it leaves.
func (p *problem) holding(u *unit, spots []spot) approach {
	if len(spots) == 0 {
		spots = []spot{p.roadSpot()}
	}
	var a approach
	p.approach(&a, u, spots, nil)
	a.chain, a.arrives, a.reasons, a.cautions, a.timed = nil, 0, u.reason, nil, true
	if u.located {
		a.spot = spot{place: place{at: *u.Position, name: "where it is"}}
	}
	return a
}

// onBoard is the reason against every vehicle but the one with the patient.
func (p *problem) onBoard(asset string) Reason {
	return reason(ReasonPatientOnBoard, "the patient is on board %s", p.assetName(asset))
}

// brought is the reason against every hospital but the one with the patient.
func (p *problem) brought(facility string) Reason {
	name := facility
	if f, ok := p.Facilities.Get(facility); ok {
		name = f.Name
	}
	return reason(ReasonPatientAtHospital, "the patient is at %s: ask for a transfer from there", name)
}

// assetName is the asset's name, or its id where it has none.
func (p *problem) assetName(id string) string {
	if a := (&checker{e: p.Engine, q: &p.Question}).asset(id); a != nil {
		return cmp.Or(a.Name, id)
	}
	return id
}

// away completes a leg from where the patient was taken on board.
func (a *approach) away(l leg) leg {
	if a.left {
		l.begun, l.spentS, l.cold = true, a.leftS, false
	}
	return l
}

// factCautions are what the facts leave open.
func (p *problem) factCautions() (out []string) {
	for i := range p.Facts {
		f := &p.Facts[i]
		if last := p.at(f.Asset); f.Event != last || last != Lifted && last != LeftScene {
			continue
		}
		if i := slices.IndexFunc(p.Assets.States, func(s StateChange) bool { return s.Asset == f.Asset && s.State == Moving }); i >= 0 {
			continue
		}
		out = append(out, fmt.Sprintf("%s has been under way since %s and its position is not given: every way is counted as if it had headed there",
			p.assetName(f.Asset), p.minute(f.At)))
	}
	return out
}
