package routing

import (
	"math"
	"slices"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/routing/road"
)

// floors is what no way of a batch can beat, as far as it does not depend on the
// scene: typical seconds by unit, hospital and meeting place, and all places as
// unit vectors in columns. Distances are chords, which are shorter than arcs, and
// winds tail winds. It is read-only.
type floors struct {
	units []unitFloor
	laws  []road.Floor // of the road vehicles
	to    []destFloor
	bases vectors // of the units
	doors vectors // of the hospitals
	pads  vectors // of the hospitals; those without one stand at their doors
	sites vectors // where an aircraft can land that is no pad, for a carry
	lands []*facilities.Facility

	meets   []meetFloor
	meetAir vectors
	byRoad  vectors     // where the patient is brought to at the meeting
	toPad   [][]float64 // by meeting and hospital: chord in metres
	onward  [][]float64 // by unit and meeting: the least from loaded to the end; nil: no helicopter
	there   [][]float64 // by unit and meeting: when it can be there; nil: no helicopter
	soonest []float64   // by unit: the least of there and onward together
	team    [][]float64 // by unit and hospital: when it can have a team ready there; +Inf: never

	flights []flightFloor
}

// unitFloor is what the ways of a unit have in common.
type unitFloor struct {
	usable   bool    // nothing rules it out as such
	carries  bool    // it can bring the patient alone
	law      int     // of floors.laws; -1: it flies
	perM     float64 // flights: seconds a metre, with the strongest wind from behind
	readyS   float64
	firstS   float64 // what the way to the scene takes beyond its distance
	patientS float64 // until the patient can be put into it
	loadS    float64
	rideS    float64 // what a ride takes beyond its distance, until the patient is out
	stopS    float64 // what a stop on the way adds
	winch    bool
}

// destFloor is a hospital's side.
type destFloor struct {
	ok      bool // nothing rules it out
	takes   bool // it takes patients who need a theatre
	hosts   bool
	pad     bool
	readyS  float64
	handS   float64 // handing over at the door
	byPadS  float64 // handing over and before it the way from the pad
	helpful bool    // a stop there could do something
}

// meetFloor is a place where an aircraft can take over: a landing place, or a
// hospital where the patient has stopped.
type meetFloor struct {
	place *meeting     // nil: a stop
	stop  *destination // nil: no stop
	dest  int          // the hospital it is at; -1: none
	waitS float64      // what is done there between the two vehicles
	key   string       // of prospects
}

// flightFloor is an aeroplane's ways from one airfield.
type flightFloor struct {
	unit   int
	from   int       // of meets
	thereS float64   // when it can be there
	byTo   []float64 // by hospital: the least from loaded to the end
}

// floorM is taken off every distance: places on a barrier are moved by decimetres.
const floorM = 1.0

// floors works the bounds out. The batch has no facts and nobody at the scene.
func (p *problem) floors(s *prepared) *floors {
	f := &floors{}
	for i := range s.units {
		f.units = append(f.units, p.unitFloor(f, &s.units[i]))
		f.bases.add(geo.Unit(s.units[i].at))
	}
	for i := range s.to {
		d := &s.to[i]
		t := destFloor{ok: len(d.reasons) == 0, takes: takesPatients(d), hosts: hosts(d.Facility), pad: d.Pad != nil,
			readyS: d.readyS(), handS: d.handover.timing.TypicalS, helpful: d.helps()}
		at := d.Position
		if d.Pad != nil {
			transfer, _ := p.padTransfer(d.Facility)
			t.byPadS, at = t.handS+transfer.TypicalS, d.Pad.Position
		}
		f.to = append(f.to, t)
		f.doors.add(geo.Unit(d.Position))
		f.pads.add(geo.Unit(at))
	}
	for _, l := range p.Facilities.All() {
		if l.Ground != nil && l.Kind != facilities.Base {
			f.sites.add(geo.Unit(l.Position))
			f.lands = append(f.lands, l)
		}
	}
	p.meetFloors(f, s)
	p.flightFloors(f, s)
	p.teamFloors(f, s)
	return f
}

func (p *problem) unitFloor(f *floors, u *unit) unitFloor {
	typicalOf := func(id string) float64 {
		t, _ := p.allowance(u.Asset, id)
		return t.TypicalS
	}
	load := p.load(u.Asset, "load", false)
	out := unitFloor{usable: len(u.reason) == 0 && !u.never, readyS: u.readyS(), law: -1, loadS: load.timing.TypicalS,
		rideS: p.load(u.Asset, "unload", false).timing.TypicalS}
	pack, carry, stop := p.pack(), p.carry(0, ""), p.stop()
	out.stopS = out.loadS + stop.timing.TypicalS + out.rideS
	out.patientS = pack.timing.TypicalS + carry.timing.TypicalS
	out.carries = out.usable && u.Kind != Aeroplane && u.Carries()
	if !u.Flies() {
		floor := road.FloorOf(p.Road, p.law(u.Asset))
		if out.law = slices.Index(f.laws, floor); out.law < 0 {
			out.law = len(f.laws)
			f.laws = append(f.laws, floor)
		}
		return out
	}
	ids := u.Kind.ids()
	out.perM = 1 / (u.CruiseMS + p.fast.windMS)
	refuel := p.refuel(u.Asset, "refuel")
	out.readyS -= max(0, beside*out.perM-refuel.timing.TypicalS) // a place with fuel may stand so much nearer
	flight := typicalOf(ids.departure) + typicalOf(ids.approach)
	out.firstS, out.rideS = flight, out.rideS+flight
	if u.Kind == Helicopter {
		if p.Scene.Landing != LandingImpossible {
			out.firstS += typicalOf(ids.approachScene) - typicalOf(ids.approach)
		} else {
			out.firstS += min(0, typicalOf(ids.approachScene)-typicalOf(ids.approach))
		}
		if out.winch = p.Scene.Winch && u.HasSkill("winch"); out.winch {
			out.patientS = pack.timing.TypicalS + min(carry.timing.TypicalS, typicalOf("winch"))
			out.loadS = min(out.loadS, p.load(u.Asset, "load", true).timing.TypicalS)
		} else if !u.RotorsTurning {
			out.rideS += typicalOf("helicopter_start") // they were stopped while the patient was loaded
		}
	}
	return out
}

// flyS is the least time of a flight over a chord, allowances left out.
func (u *unitFloor) flyS(chordM float64) float64 { return max(0, chordM-floorM) * u.perM }

// meetFloors are the places where an aircraft can take over.
func (p *problem) meetFloors(f *floors, s *prepared) {
	add := func(m meetFloor, road, air geo.Vector) {
		f.meets = append(f.meets, m)
		f.byRoad.add(road)
		f.meetAir.add(air)
	}
	for i := range s.places {
		m := &s.places[i]
		at := geo.Unit(m.at)
		add(meetFloor{place: m, key: m.id, dest: slices.IndexFunc(s.to, func(d destination) bool { return d.ID == m.id })}, at, at)
	}
	for i := range s.to {
		d := &s.to[i]
		if d.Pad == nil || !f.to[i].helpful {
			continue
		}
		stop := p.stop()
		transfer, _ := p.padTransfer(d.Facility)
		add(meetFloor{stop: d, key: d.ID, dest: i, waitS: stop.timing.TypicalS + transfer.TypicalS}, geo.Unit(d.Position), geo.Unit(d.Pad.Position))
	}
	f.toPad = make([][]float64, len(f.meets))
	for m := range f.meets {
		f.toPad[m] = make([]float64, len(f.to))
		f.pads.chords(f.meetAir.at(m), f.toPad[m])
	}
	f.onward, f.there, f.soonest = make([][]float64, len(f.units)), make([][]float64, len(f.units)), make([]float64, len(f.units))
	for i := range f.units {
		u := &f.units[i]
		if !u.usable || s.units[i].Kind != Helicopter {
			continue
		}
		f.soonest[i] = math.Inf(1)
		f.onward[i], f.there[i] = make([]float64, len(f.meets)), make([]float64, len(f.meets))
		for m := range f.meets {
			least := math.Inf(1)
			for j := range f.to {
				if f.to[j].ok && f.to[j].pad && f.meets[m].dest != j {
					least = min(least, f.onwardS(i, m, j))
				}
			}
			f.onward[i][m], f.there[i][m] = least, p.thereS(f, i, &s.units[i], f.meetAir.at(m))
			f.soonest[i] = min(f.soonest[i], least+f.there[i][m])
		}
	}
}

// onwardS is the least from the patient loaded at a meeting until handed over.
func (f *floors) onwardS(i, m, j int) float64 {
	u := &f.units[i]
	return u.loadS + u.flyS(f.toPad[m][j]) + u.rideS + f.to[j].byPadS
}

// thereS is the least until an aircraft is at a prepared landing place, which it
// need not fly to where it stands beside it.
func (p *problem) thereS(f *floors, i int, a *unit, at geo.Vector) float64 {
	u := &f.units[i]
	chordM := geo.MeanRadius * math.Sqrt(f.bases.chord2(i, at))
	if chordM <= beside+floorM {
		return u.readyS
	}
	departure, _ := p.allowance(a.Asset, a.Kind.ids().departure)
	approach, _ := p.allowance(a.Asset, a.Kind.ids().approach)
	return u.readyS + u.flyS(chordM) + departure.TypicalS + approach.TypicalS
}

// flightFloors are the aeroplanes' ways: from an airfield to another, and on by
// the quickest ambulance.
func (p *problem) flightFloors(f *floors, s *prepared) {
	offS := math.Inf(1) // what an ambulance takes to load and to unload, at least
	for i := range s.units {
		if u := &s.units[i]; u.Kind == Ambulance {
			offS = min(offS, f.units[i].loadS+f.units[i].rideS)
		}
	}
	for i := range s.units {
		if u := &f.units[i]; s.units[i].Kind != Aeroplane || !u.usable {
			continue
		}
		for m := range f.meets {
			if f.meets[m].place == nil || !f.meets[m].place.runway {
				continue
			}
			w := flightFloor{unit: i, from: m, thereS: p.thereS(f, i, &s.units[i], f.meetAir.at(m)), byTo: make([]float64, len(f.to))}
			for j := range f.to {
				w.byTo[j] = math.Inf(1)
				for far := range f.meets {
					if far == m || f.meets[far].place == nil || !f.meets[far].place.runway {
						continue
					}
					chordM := geo.MeanRadius * math.Sqrt(f.meetAir.chord2(far, f.meetAir.at(m)))
					doorM := geo.MeanRadius * math.Sqrt(f.meetAir.chord2(far, f.doors.at(j)))
					u := &f.units[i]
					w.byTo[j] = min(w.byTo[j], u.loadS+u.flyS(chordM)+u.rideS+offS+f.leastRoadS(doorM)+f.to[j].handS)
				}
			}
			f.flights = append(f.flights, w)
		}
	}
}

// leastRoadS is the least time by road over a chord, whatever the law.
func (f *floors) leastRoadS(chordM float64) float64 {
	least := math.Inf(1)
	for k := range f.laws {
		least = min(least, f.laws[k].S(max(0, chordM-floorM)))
	}
	return least
}

// teamFloors are when each unit can have a surgical team at each hospital that
// takes one.
func (p *problem) teamFloors(f *floors, s *prepared) {
	f.team = make([][]float64, len(f.units))
	for i := range s.units {
		u := &s.units[i]
		f.team[i] = make([]float64, len(s.to))
		for j := range s.to {
			d := &s.to[j]
			f.team[i][j] = math.Inf(1)
			if !f.units[i].usable || u.Kind == Aeroplane || !f.to[j].takes || !f.to[j].hosts || u.EscortSeats < p.Settings.TeamSeats {
				continue
			}
			for k := range s.teams {
				h := &s.teams[k]
				if h.ID == d.ID || u.Kind == Helicopter && (h.Pad == nil || d.Pad == nil) {
					continue
				}
				f.team[i][j] = min(f.team[i][j], p.teamClock(u, h, p.leastCarry(u, h, d)))
			}
		}
	}
}
