package routing

import (
	"strings"

	"surgeonward/facilities"
)

// way is a candidate option before it is put on the clock: which shape, which
// assets, which places. Building the same way twice gives the same network.
type way struct {
	shape   Shape
	carrier *approach // takes the patient from the scene
	escort  *approach // a team that comes beside it; nil: the carrier's own crew is enough
	dest    *destination

	meet   *meeting  // where the patient changes from the carrier to onward; nil: nowhere
	onward *approach // takes the patient from there; the carrier itself after a stop
	far    *meeting  // by aeroplane: where it lands
	last   *approach // by aeroplane: takes the patient from there to the door
	via    *destination
	team   *destination // the surgeon travels: the hospital the team comes from
	van    *approach    // the surgeon travels: the asset that carries the team
	fuel   *place       // a stop for fuel with the patient on board
}

// id is stable for the same shape, assets and places.
func (y *way) id() string { return string(y.appendID(nil)) }

// appendID appends the id to b.
func (y *way) appendID(b []byte) []byte {
	b = append(append(b, y.shape...), ':')
	b = append(b, y.carrier.ID...)
	for _, a := range [...]*approach{y.escort, y.onward, y.last, y.van} {
		if a != nil && a.unit != y.carrier.unit {
			b = append(append(b, '+'), a.ID...)
		}
	}
	if y.meet != nil {
		b = append(append(b, ':'), y.meet.id...)
	}
	if y.far != nil {
		b = append(append(b, ':'), y.far.id...)
	}
	if y.via != nil {
		b = append(append(b, ':'), y.via.ID...)
	}
	if y.team != nil {
		b = append(append(b, ':'), y.team.ID...)
	}
	return append(append(b, ':'), y.dest.ID...)
}

// assets are the ids of all assets the way uses, the carrier first.
func (y *way) assets() []string {
	ids := []string{y.carrier.ID}
	for _, a := range []*approach{y.escort, y.onward, y.last, y.van} {
		if a != nil && a.unit != y.carrier.unit {
			ids = append(ids, a.ID)
		}
	}
	return ids
}

// arrivesBy is the asset that brings the patient to the last hospital.
func (y *way) arrivesBy() *approach {
	for _, a := range []*approach{y.last, y.onward} {
		if a != nil {
			return a
		}
	}
	return y.carrier
}

// transfers counts how often the patient changes vehicle.
func (y *way) transfers() int {
	n := 0
	if y.onward != nil && y.onward.unit != y.carrier.unit {
		n++
	}
	if y.last != nil {
		n++
	}
	if y.arrivesBy().Kind == Helicopter && y.dest.Pad != nil && y.dest.Pad.VehicleNeeded {
		n++
	}
	return n
}

// build puts the way into the network and returns what rules it out.
func (p *problem) build(y *way, w *network) (reasons []Reason) {
	w.reset()
	switch y.shape {
	case Rendezvous:
		reasons = p.buildRendezvous(y, w)
	case ByAeroplane:
		reasons = p.buildAeroplane(y, w)
	case ViaHospital:
		reasons = p.buildVia(y, w)
	case SurgeonTravels:
		reasons = p.buildTeam(y, w)
	default:
		reasons = p.buildDirect(y, w)
	}
	if w.n == 0 || w.nodes[w.n-1].kind != KindSurgeon {
		return reasons // not to be put on the clock, and the reasons say why
	}
	for _, a := range []*approach{y.carrier, y.escort, y.onward, y.van} {
		if a != nil && a.Flies() && (a == y.carrier || a.unit != y.carrier.unit) {
			reasons = append(reasons, p.endurance(a, w)...)
		}
	}
	if w.finish(slow) > facilities.MaxTiming {
		reasons = append(reasons, reason(ReasonTooLong, "would take more than %s", minutes(facilities.MaxTiming)))
	}
	w.of = *y
	return distinct(reasons)
}

// loaded adds everything until the patient is in the vehicle that leaves the
// scene, and returns that instant; none where the patient is on board.
func (p *problem) loaded(y *way, w *network) ref {
	if y.carrier.aboard {
		return none
	}
	arrived := y.carrier.add(w, "")
	escort := none
	if y.escort != nil {
		escort = y.escort.add(w, "escort_")
		join := node{id: "escort_join", kind: KindLoad, lane: LaneVehicle, asset: y.escort.Asset, cause: cause{"escort_join", y.escort.ID}}
		join.timing, join.basis = p.allowance(y.escort.Asset, "escort_join")
		escort = w.add(join, escort)
	}
	pack := w.add(p.pack())
	there := none
	if y.carrier.spot.winch {
		there = arrived
	}
	carried := w.add(y.carrier.spot.carry, pack, there)
	return w.add(p.load(y.carrier.Asset, "load", y.carrier.spot.winch), carried, arrived, escort)
}

// ride adds a leg with the patient on board. lost says that it cannot be timed.
func (p *problem) ride(w *network, l leg, after ref) (moved ref, reasons []Reason, lost bool) {
	l.lane, l.leavesS = LanePatient, w.end(after)-l.spentS
	t := p.travel(l)
	w.beware(t.cautions...)
	if t.lost {
		return none, t.reasons, true
	}
	return w.add(t.node, after), t.reasons, false
}

// toDoor is where the asset brings the patient at a hospital.
func (p *problem) toDoor(a *Asset, f *facilities.Facility) place {
	if a.Kind != Helicopter {
		return doorPlace(f)
	}
	if known, ok := p.pads[f]; ok {
		return known
	}
	return padPlace(f)
}

// buildDirect is one vehicle from the scene to the hospital, by road or by
// air, with a stop for fuel where one is given.
func (p *problem) buildDirect(y *way, w *network) []Reason {
	if p.patientAt() != "" {
		p.arrive(y, w, y.carrier.Asset, none)
		return nil
	}
	out := p.loaded(y, w)
	reasons := []Reason{}
	from, cold := y.carrier.spot.at, y.carrier.stopped()
	if y.fuel != nil {
		moved, why, lost := p.ride(w, y.carrier.away(leg{id: "travel_to_fuel_with_patient", asset: y.carrier.Asset, from: from, to: *y.fuel, cold: cold}), out)
		if reasons = append(reasons, why...); lost {
			return reasons
		}
		stop := p.refuel(y.carrier.Asset, "refuel_with_patient")
		stop.lane = LanePatient
		out, from, cold = w.add(stop, moved), y.fuel.at, false
	}
	l := leg{id: "travel_to_hospital", asset: y.carrier.Asset, from: from, to: p.toDoor(y.carrier.Asset, y.dest.Facility), cold: cold}
	if y.fuel == nil {
		l = y.carrier.away(l)
	}
	moved, why, lost := p.ride(w, l, out)
	if reasons = append(reasons, why...); lost {
		return reasons
	}
	p.arrive(y, w, y.carrier.Asset, moved)
	return reasons
}

// arrive adds what happens at the last hospital, on both sides, until they meet.
func (p *problem) arrive(y *way, w *network, a *Asset, moved ref) {
	over := p.handOver(y.dest, w, a, moved)
	alerted := w.add(y.dest.preAlert)
	called := none
	if y.dest.callIn != nil {
		called = w.add(*y.dest.callIn, alerted)
	}
	theatre := w.add(y.dest.theatre, alerted)
	w.add(meets(), over, called, theatre)
}

func meets() node {
	return node{id: "with_surgeon", kind: KindSurgeon, lane: LaneHospital,
		basis: basis{text: "patient handed over, surgeon and theatre ready"}}
}

// handOver adds the way from the vehicle to the hands of the hospital's team.
// What has been going on since the vehicle arrived is taken off one step after
// the other.
func (p *problem) handOver(d *destination, w *network, a *Asset, moved ref) ref {
	if _, done := p.happened(a.ID, HandedOver); done {
		return none
	}
	sinceS, there := p.sinceS(a.ID, AtHospital)
	unload := p.load(a, "unload", false)
	if there {
		sinceS = unload.pass(sinceS)
	}
	out := w.add(unload, moved)
	if a.Kind == Helicopter && d.Pad != nil {
		out, sinceS = p.fromPad(d, w, "", out, sinceS)
	}
	over := d.handover
	if sinceS > 0 {
		over.spend(sinceS)
	}
	last := w.add(over, out)
	w.handedS = w.end(last)
	return last
}

// fromPad adds the way from pad to door, with a road vehicle that is called
// with the pre-alert where one is needed. sinceS is how long ago the patient
// was out of the aircraft, and restS what is left of that beyond this way.
func (p *problem) fromPad(d *destination, w *network, prefix string, out ref, sinceS float64) (door ref, restS float64) {
	shuttle := none
	if d.Pad.VehicleNeeded {
		nd := node{id: prefix + "shuttle", kind: KindShuttle, lane: LaneHospital, cause: cause{"shuttle", d.ID}}
		nd.timing, nd.basis = p.stated(d.Pad.ShuttleCall, basis{form: fromFacility, text: "road vehicle to the pad"}, "shuttle_call")
		nd.timing = nd.timing.Add(d.preAlert.timing)
		if d.alerted {
			sinceS = min(sinceS, nd.pass(d.preparedS))
		} else {
			sinceS = 0
		}
		shuttle = w.add(nd)
	}
	nd := node{id: prefix + "pad_to_door", kind: KindPadToDoor, lane: LanePatient, cause: padOf(d.Facility)}
	nd.timing, nd.basis = p.padTransfer(d.Facility)
	if sinceS > 0 {
		sinceS = nd.pass(sinceS)
	}
	return w.add(nd, out, shuttle), sinceS
}

// stopped reports whether the engines were shut down while the patient was loaded.
func (a *approach) stopped() bool {
	return a.Kind == Helicopter && !a.RotorsTurning && !a.spot.winch
}

func (p *problem) pack() node {
	nd := node{id: "package", kind: KindPackage, lane: LanePatient}
	nd.timing, nd.basis = p.stated(p.Patient.ReadyIn, basis{text: "given in the question"}, "package")
	return nd
}

// load is loading or unloading, told apart by the id's last word; by
// helicopter it depends on the rotors, which turn through a hoist.
func (p *problem) load(a *Asset, id string, winch bool) node {
	ids, kind := a.Kind.ids(), KindLoad
	allowance, running, stopped := ids.load, ids.loadRunning, ids.loadStopped
	if strings.HasSuffix(id, "unload") {
		kind, allowance, running, stopped = KindUnload, ids.unload, ids.unloadRunning, ids.unloadStopped
	}
	if a.Kind == Helicopter {
		allowance = stopped
		if a.RotorsTurning || winch {
			allowance = running
		}
	}
	nd := node{id: id, kind: kind, lane: LanePatient, asset: a}
	nd.timing, nd.basis = p.allowance(a, allowance)
	return nd
}
