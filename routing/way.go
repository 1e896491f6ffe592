package routing

import (
	"strings"

	"surgeonward/facilities"
)

// way is a candidate option before it is put on the clock: which shape, which
// assets, which hospital. Building the same way twice gives the same network.
type way struct {
	shape   Shape
	carrier *approach
	escort  *approach // nil: the carrier's own crew is enough
	dest    *destination
}

// id is stable for the same shape, assets and destination.
func (y *way) id() string {
	return string(y.shape) + ":" + strings.Join(y.assets(), "+") + ":" + y.dest.ID
}

func (y *way) assets() []string {
	ids := []string{y.carrier.ID}
	if y.escort != nil {
		ids = append(ids, y.escort.ID)
	}
	return ids
}

// transfers counts how often the patient changes vehicle.
func (y *way) transfers() int {
	if y.carrier.Flies() && y.dest.Pad != nil && y.dest.Pad.VehicleNeeded {
		return 1
	}
	return 0
}

// timed reports whether the way can be put on the clock at all, be it possible
// or not: with times, every reason against it comes to light at once.
func (y *way) timed() bool {
	return y.carrier.Carries() && y.carrier.timed && (!y.carrier.Flies() || y.dest.Pad != nil)
}

// build puts the way into the network and returns what rules it out.
func (p *problem) build(y *way, w *network) []Reason {
	w.n = 0
	arrived := y.carrier.add(w)
	escort := none
	if y.escort != nil {
		escort = y.escort.addEscort(w)
		join := node{id: "escort_join", kind: KindLoad, lane: LaneVehicle, asset: y.escort.Asset}
		join.timing, join.basis = p.allowance(y.escort.Asset, "escort_join")
		escort = w.add(join, escort)
	}
	pack := w.add(p.pack())
	carried := w.add(y.carrier.spot.carry, pack)
	loaded := w.add(p.load(y.carrier.Asset), carried, arrived, escort)
	to := y.dest.Position
	if y.carrier.Flies() {
		to = y.dest.Pad.Position
	}
	leg, why := p.travel(leg{
		id: "travel_to_hospital", asset: y.carrier.Asset, lane: LanePatient,
		from: y.carrier.spot.at, to: to, cold: y.coldStart(), prepared: true,
	})
	if len(why) > 0 {
		return why
	}
	moved := w.add(leg, loaded)
	var reasons []Reason
	if y.carrier.Flies() {
		if !hasReason(y.carrier.reasons, ReasonNoNightFlying) {
			reasons = append(reasons, p.dark(y.carrier.Asset, leg, w.end(loaded))...)
		}
		reasons = append(reasons, landing(y.carrier.Asset, &y.dest.Pad.Ground, to, y.dest.Zone,
			"the pad of "+y.dest.Name, p.after(w.end(moved)))...)
	}
	p.arrive(y, w, moved)
	if w.finish(slow) > facilities.MaxTiming {
		reasons = append(reasons, reason(ReasonTooLong, "would take more than %s", minutes(facilities.MaxTiming)))
	}
	return reasons
}

// arrive adds what happens at the hospital, on both sides, until they meet.
func (p *problem) arrive(y *way, w *network, moved ref) {
	out := w.add(p.unload(y.carrier.Asset), moved)
	if y.carrier.Flies() {
		timing, b := p.padTransfer(y.dest.Facility)
		out = w.add(node{id: "pad_to_door", kind: KindPadToDoor, lane: LanePatient, timing: timing, basis: b}, out)
	}
	over := w.add(y.dest.handover, out)
	alerted := w.add(y.dest.preAlert)
	called := none
	if y.dest.callIn != nil {
		called = w.add(*y.dest.callIn, alerted)
	}
	theatre := w.add(y.dest.theatre, alerted)
	w.add(node{id: "with_surgeon", kind: KindSurgeon, lane: LaneHospital,
		basis: basis{text: "patient handed over, surgeon and theatre ready"}}, over, called, theatre)
}

// coldStart reports whether the engines were stopped while the patient was loaded.
func (y *way) coldStart() bool { return y.carrier.Flies() && !y.carrier.RotorsTurning }

func (p *problem) pack() node {
	nd := node{id: "package", kind: KindPackage, lane: LanePatient}
	if p.Patient.ReadyIn != nil {
		nd.timing, nd.basis = *p.Patient.ReadyIn, basis{text: "given in the question"}
		return nd
	}
	nd.timing, nd.basis = p.allowance(nil, "package")
	return nd
}

func (p *problem) load(a *Asset) node   { return p.ramp(a, "load", KindLoad) }
func (p *problem) unload(a *Asset) node { return p.ramp(a, "unload", KindUnload) }

// ramp is loading or unloading: by helicopter it depends on the rotors.
func (p *problem) ramp(a *Asset, verb string, kind ActivityKind) node {
	id := verb + "_" + string(a.Kind)
	if a.Flies() {
		id += "_stopped"
		if a.RotorsTurning {
			id = verb + "_" + string(a.Kind) + "_running"
		}
	}
	nd := node{id: verb, kind: kind, lane: LanePatient, asset: a}
	nd.timing, nd.basis = p.allowance(a, id)
	return nd
}
