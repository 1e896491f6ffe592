package routing

// buildRendezvous is a road leg and a flight that meet: whoever is first waits.
func (p *problem) buildRendezvous(y *way, w *network) []Reason {
	out, reasons, lost := p.toMeeting(y, w)
	if lost {
		return reasons
	}
	moved, why, lost := p.ride(w, leg{id: "travel_to_hospital", asset: y.onward.Asset,
		from: y.meet.at, to: p.toDoor(y.onward.Asset, y.dest.Facility), cold: y.onward.stopped()}, out)
	if reasons = append(reasons, why...); lost {
		return reasons
	}
	p.arrive(y, w, y.onward.Asset, moved)
	return reasons
}

// toMeeting adds the road leg to the meeting place, the other vehicle's way
// there, and the change from one to the other.
func (p *problem) toMeeting(y *way, w *network) (changed ref, reasons []Reason, lost bool) {
	moved, reasons, lost := p.ride(w, y.carrier.away(leg{id: "travel_to_meeting", asset: y.carrier.Asset,
		from: y.carrier.spot.at, to: y.meet.byRoad()}), p.loaded(y, w))
	if lost || !y.onward.timed {
		return none, append(reasons, y.onward.reasons...), true
	}
	out := w.add(p.load(y.carrier.Asset, "meeting_unload", false), moved)
	there := y.onward.add(w, "meeting_")
	return w.add(p.load(y.onward.Asset, "meeting_load", false), out, there), append(reasons, y.onward.reasons...), false
}
