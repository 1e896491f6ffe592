package routing

// buildAeroplane is road to an airfield, flight, and road at the far end.
func (p *problem) buildAeroplane(y *way, w *network) []Reason {
	out, reasons, lost := p.toMeeting(y, w)
	if lost {
		return reasons
	}
	landed, why, lost := p.ride(w, leg{id: "travel_to_airfield", asset: y.onward.Asset, from: y.meet.at, to: y.far.place}, out)
	if reasons = append(reasons, why...); lost {
		return reasons
	}
	off := w.add(p.load(y.onward.Asset, "airfield_unload", false), landed)
	there := y.last.add(w, "airfield_")
	on := w.add(p.load(y.last.Asset, "airfield_load", false), off, there)
	moved, why, lost := p.ride(w, leg{id: "travel_to_hospital", asset: y.last.Asset,
		from: y.far.at, to: doorPlace(y.dest.Facility)}, on)
	if reasons = append(reasons, why...); lost {
		return reasons
	}
	p.arrive(y, w, y.last.Asset, moved)
	return reasons
}
