package routing

import "surgeonward/facilities"

// buildTeam carries a surgical team to the hospital the patient is taken to:
// both clocks in one network.
func (p *problem) buildTeam(y *way, w *network) []Reason {
	loaded := p.loaded(y, w)
	moved, reasons, lost := p.ride(w, y.carrier.away(leg{id: "travel_to_hospital", asset: y.carrier.Asset,
		from: y.carrier.spot.at, to: p.toDoor(y.carrier.Asset, y.dest.Facility), cold: y.carrier.stopped()}), loaded)
	if lost || !y.van.timed {
		return append(reasons, y.van.reasons...)
	}
	reasons = append(reasons, y.van.reasons...)
	over := p.handOver(y.dest, w, y.carrier.Asset, moved)
	ready, why, lost := p.teamArrives(y, w)
	if reasons = append(reasons, why...); lost {
		return reasons
	}
	theatre := w.add(y.dest.theatre, w.add(y.dest.preAlert))
	w.add(meets(), over, ready, theatre)
	return reasons
}

// teamArrives is the surgeon's clock: called in, made ready, carried over,
// and at the table.
func (p *problem) teamArrives(y *way, w *network) (ready ref, reasons []Reason, lost bool) {
	from, a := y.team, y.van.Asset
	asked := from.preAlert
	asked.id = "team_pre_alert"
	out := w.add(asked)
	if from.callIn != nil {
		called := *from.callIn
		called.id = "team_call_in"
		out = w.add(called, out)
	}
	out = w.add(p.teamStep(from, nil, "team_ready"), out)
	if a.Kind == Helicopter {
		out = w.add(p.teamWalk(from.Facility, "team_to_pad"), out)
	}
	there := y.van.add(w, "team_")
	out = w.add(p.teamStep(from, a, "team_board"), out, there)
	t := p.travel(leg{id: "team_travel", asset: a, lane: LaneVehicle, leavesS: w.end(out),
		from: p.toDoor(a, from.Facility).at, to: p.toDoor(a, y.dest.Facility), cold: a.Kind == Helicopter && !a.RotorsTurning})
	w.beware(t.cautions...)
	if t.lost {
		return none, t.reasons, true
	}
	out = w.add(p.teamStep(from, a, "team_alight"), w.add(t.node, out))
	if a.Kind == Helicopter {
		out = w.add(p.teamWalk(y.dest.Facility, "team_to_door"), out)
	}
	return w.add(p.teamStep(from, nil, "team_scrub"), out), t.reasons, false
}

// teamStep is something the team of a hospital does, by itself or with the
// asset that carries it.
func (p *problem) teamStep(from *destination, a *Asset, id string) node {
	nd := node{id: id, kind: KindTeam, lane: LaneHospital, asset: a, cause: cause{id, from.ID}}
	nd.timing, nd.basis = p.allowance(a, id)
	return nd
}

// teamWalk is the team's way between pad and door, as long as a patient's.
func (p *problem) teamWalk(f *facilities.Facility, id string) node {
	nd := node{id: id, kind: KindTeam, lane: LaneHospital, cause: padOf(f)}
	nd.timing, nd.basis = p.padTransfer(f)
	return nd
}
