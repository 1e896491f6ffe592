package routing

import "surgeonward/facilities"

// buildVia is a way to a nearer hospital, a stop there for blood or control of
// bleeding, and onward by the same vehicle or by one that comes there.
func (p *problem) buildVia(y *way, w *network) []Reason {
	loaded := p.loaded(y, w)
	moved, reasons, lost := p.ride(w, y.carrier.away(leg{id: "travel_to_stop", asset: y.carrier.Asset,
		from: y.carrier.spot.at, to: p.toDoor(y.carrier.Asset, y.via.Facility), cold: y.carrier.stopped()}), loaded)
	if lost {
		return reasons
	}
	out := w.add(p.load(y.carrier.Asset, "stop_unload", false), moved)
	if y.carrier.Kind == Helicopter {
		out, _ = p.fromPad(y.via, w, "stop_", out, 0)
	}
	out = w.add(p.stop(), out)
	there := none
	if y.onward.unit != y.carrier.unit {
		if reasons = append(reasons, y.onward.reasons...); !y.onward.timed {
			return reasons
		}
		there = y.onward.add(w, "stop_")
	}
	if y.onward.Kind == Helicopter {
		nd := node{id: "stop_door_to_pad", kind: KindPadToDoor, lane: LanePatient, cause: padOf(y.via.Facility)}
		nd.timing, nd.basis = p.padTransfer(y.via.Facility)
		out = w.add(nd, out)
	}
	out = w.add(p.load(y.onward.Asset, "stop_load", false), out, there)
	moved, why, lost := p.ride(w, leg{id: "travel_to_hospital", asset: y.onward.Asset,
		from: p.toDoor(y.onward.Asset, y.via.Facility).at, to: p.toDoor(y.onward.Asset, y.dest.Facility), cold: y.onward.stopped()}, out)
	if reasons = append(reasons, why...); lost {
		return reasons
	}
	p.arrive(y, w, y.onward.Asset, moved)
	return reasons
}

func (p *problem) stop() node {
	nd := node{id: "stop", kind: KindStop, lane: LanePatient}
	nd.timing, nd.basis = p.stated(p.Patient.Stop, basis{text: "given in the question"}, "stop_at_hospital")
	return nd
}

// helps reports whether a stop at the hospital could do something: it must
// take patients and have blood or surgeons for the injured.
func (d *destination) helps() bool {
	return !hasReason(d.reasons, ReasonNotAccepting) && (d.Has("blood_bank") || d.Has("trauma_surgery"))
}

// hosts reports whether the hospital takes a visiting surgical team.
func hosts(f *facilities.Facility) bool { return f.Has("visiting_surgical_team") }
