package routing

import (
	"math"
	"strings"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// The ways of one asset to one hospital that need a second vehicle or a stop.
// Each is the best of its kind, found among bounded prospects; what is not
// possible comes with the reasons of the most promising one.

// rendezvous: the helicopter meets an ambulance at a landing place.
func (m *meetings) rendezvous(u *unit, d *destination, w *network) (candidate, []Reason) {
	p := m.p
	tail := p.tail(u.Asset, d)
	pad := d.Pad.Position
	var list []prospect
	for i := range m.places {
		at := &m.places[i]
		if at.id == d.ID || u.Kind != Helicopter {
			continue
		}
		onBoard := max(at.soonestS, u.soonestS(p, geo.Distance(u.at, at.at)))
		list = append(list, prospect{
			way:    way{shape: Rendezvous, dest: d, meet: at},
			leastS: onBoard + p.atLeast(u.Asset, geo.Distance(at.at, pad)) + tail, key: at.id,
		})
	}
	if len(list) == 0 {
		return candidate{}, []Reason{reason(ReasonNoMeeting, "no landing site, airfield or pad that a road reaches")}
	}
	return p.best(list, ofHandover, w, func(t *prospect) []Reason { return m.meetAt(&t.way, u) })
}

// meetAt completes a way with who brings the patient and who takes them on.
func (m *meetings) meetAt(y *way, u *unit) []Reason {
	brought := m.patient(y.meet.id, y.meet.byRoad(), u)
	if brought.by == nil {
		return brought.reasons
	}
	y.carrier, y.escort = brought.by.carrier, brought.by.escort
	y.onward = m.other(u, y.meet.id, y.meet.place)
	return m.p.ridesAlong(u.Asset)
}

// ridesAlong is the reason against a vehicle that takes the patient on where
// neither its own crew has the skill nor a seat is free for whoever has.
func (p *problem) ridesAlong(a *Asset) []Reason {
	if skill := p.Patient.Escort; skill != "" && !a.HasSkill(skill) && a.EscortSeats < 1 {
		return []Reason{reason(ReasonNoSeat, "%s has no seat for the %s who must ride along", a.Name, plain(skill))}
	}
	return nil
}

// tail is what no way by this aircraft to this hospital can do without once
// the patient is beside it: allowances, at typical durations.
func (p *problem) tail(a *Asset, d *destination) float64 {
	departure, _ := p.allowance(a, a.Kind.ids().departure)
	approach, _ := p.allowance(a, a.Kind.ids().approach)
	s := p.load(a, "load", false).timing.TypicalS + departure.TypicalS + approach.TypicalS + d.handover.timing.TypicalS
	return s + p.load(a, "unload", false).timing.TypicalS
}

// aeroplane: road to an airfield, flight, and the quickest ambulance from
// where it lands. One ambulance may be the quickest at both ends, so that all
// that could bring the patient are prospects.
func (m *meetings) aeroplane(u *unit, d *destination, w *network) (candidate, []Reason) {
	p := m.p
	tail := p.tail(u.Asset, d)
	var list []prospect
	for i := range m.places {
		for j := range m.places {
			from, to := &m.places[i], &m.places[j]
			if i == j || !from.runway || !to.runway {
				continue
			}
			flown := u.soonestS(p, geo.Distance(u.at, from.at))
			for k := range m.ground {
				g := &m.ground[k]
				if g.needs(u) {
					continue
				}
				brought := g.soonestS(p, from.sceneM)
				list = append(list, prospect{
					way:    way{shape: ByAeroplane, dest: d, meet: from, far: to, carrier: g.carrier, escort: g.escort},
					leastS: max(brought, flown) + p.atLeast(u.Asset, geo.Distance(from.at, to.at)) + tail,
					key:    from.id + " " + to.id + " " + g.carrier.ID,
				})
			}
		}
	}
	if len(list) == 0 {
		return candidate{}, []Reason{reason(ReasonNoMeeting, "no two airfields, or no ambulance that can bring the patient to one")}
	}
	return p.best(list, ofHandover, w, func(t *prospect) []Reason {
		y := &t.way
		y.onward = m.other(u, y.meet.id, y.meet.place)
		if y.last = m.quickest(y.far, y.carrier, y.escort); y.last == nil {
			return []Reason{reason(ReasonNoMeeting, "no ambulance can be at %s", y.far.name)}
		}
		return p.ridesAlong(u.Asset)
	})
}

// quickest is the ambulance that can be at a place soonest, the given ones
// left out.
func (m *meetings) quickest(at *meeting, carrier, escort *approach) *approach {
	var best *approach
	for i := range m.units {
		u := &m.units[i]
		if u == carrier.unit || escort != nil && u == escort.unit || u.Kind != Ambulance || len(m.p.ridesAlong(u.Asset)) > 0 {
			continue
		}
		a := m.other(u, at.id, at.byRoad())
		if len(a.reasons) == 0 && a.timed && (best == nil || a.arrives < best.arrives) {
			best = a
		}
	}
	return best
}

// via: a stop at a nearer hospital. An ambulance goes on itself; a helicopter
// does so too, or takes over from whoever brings the patient to the stop.
func (m *meetings) via(a *approach, d *destination, stops []destination, w *network) (candidate, []Reason) {
	p := m.p
	var list []prospect
	for i := range stops {
		v := &stops[i]
		if v.ID == d.ID || !v.helps() {
			continue
		}
		if t, ok := m.sameAfter(a, d, v); ok {
			list = append(list, t)
		}
		if a.Kind == Helicopter && v.Pad != nil {
			y := way{shape: ViaHospital, dest: d, via: v}
			list = append(list, prospect{way: y, key: v.ID,
				leastS: m.soonest(geo.Distance(m.patientAt, v.Position)) + p.atLeast(a.Asset, geo.Distance(stand(a.Asset, v), stand(a.Asset, d)))})
		}
	}
	if len(list) == 0 {
		return candidate{}, []Reason{reason(ReasonNoStop, "no other hospital takes patients and has blood or trauma surgery")}
	}
	return p.best(list, ofHandover, w, func(t *prospect) []Reason { return m.stopAt(&t.way, a.unit) })
}

// sameAfter is a stop after which the same vehicle goes on.
func (m *meetings) sameAfter(a *approach, d, v *destination) (prospect, bool) {
	if !a.timed || len(a.reasons) > 0 || a.Flies() && v.Pad == nil {
		return prospect{}, false
	}
	escort, why := m.p.escortFor(m.from, a)
	if len(why) > 0 {
		return prospect{}, false
	}
	onward := m.p.atLeast(a.Asset, geo.Distance(stand(a.Asset, v), stand(a.Asset, d)))
	y := way{shape: ViaHospital, dest: d, via: v, carrier: a, escort: escort, onward: a}
	return prospect{way: y, key: v.ID + " same",
		leastS: a.arrives + max(0, m.p.atLeast(a.Asset, geo.Distance(a.spot.at, stand(a.Asset, v)))-a.leftS) + onward}, true
}

// stopAt completes a way with who brings the patient to the stop and who takes them
// on, unless that is one vehicle.
func (m *meetings) stopAt(y *way, u *unit) []Reason {
	if y.carrier != nil {
		return nil
	}
	brought := m.patient("door of "+y.via.ID, doorPlace(y.via.Facility), u)
	if brought.by == nil {
		return brought.reasons
	}
	y.carrier, y.escort = brought.by.carrier, brought.by.escort
	y.onward = m.other(u, y.via.ID, padPlace(y.via.Facility))
	return m.p.ridesAlong(u.Asset)
}

// surgeonTravels: the asset carries a surgical team to the hospital the
// patient is taken to.
func (m *meetings) surgeonTravels(u *unit, d *destination, teams []destination, w *network) (candidate, []Reason) {
	p := m.p
	if u.EscortSeats < p.Settings.TeamSeats {
		return candidate{}, []Reason{reason(ReasonNoSeats, "a surgical team needs %d seats, %s has %d", p.Settings.TeamSeats, u.Name, u.EscortSeats)}
	}
	var list []prospect
	var unmet []string
	cut := false // reasons are not wanted then
	for i := range teams {
		h := &teams[i]
		if h.ID == d.ID || u.Kind == Helicopter && (h.Pad == nil || d.Pad == nil) {
			continue
		}
		if unmet = p.unmet(h, d); len(unmet) > 0 {
			continue
		}
		leastS := p.leastCarry(u, h, d)
		if p.leastTeam(u, h, leastS) > p.cutS {
			cut = true
			continue
		}
		for j := range m.from {
			if !math.IsInf(p.cutS, 1) && m.from[j].timed && p.leastRide(&m.from[j], d) > p.cutS {
				cut = true
				continue
			}
			if y, ok := m.patientTo(&m.from[j], u, d); ok {
				y.team = h
				list = append(list, prospect{way: y, leastS: leastS, key: h.ID + " " + y.carrier.ID})
			}
		}
	}
	if cut && len(list) == 0 {
		return candidate{}, nil
	}
	if len(unmet) > 0 && len(list) == 0 {
		return candidate{}, []Reason{reason(ReasonLacksCapability, "no %s, which a visiting surgeon does not bring", strings.Join(unmet, ", no "))}
	}
	if len(list) == 0 {
		return candidate{}, []Reason{reason(ReasonNoTeam, "no hospital with a surgeon whose team %s could fetch, or nobody to bring the patient", u.Name)}
	}
	return p.best(list, ofTotal, w, func(t *prospect) []Reason {
		y := &t.way
		at := doorPlace(y.team.Facility)
		if u.Kind == Helicopter {
			at = padPlace(y.team.Facility)
		}
		y.van = m.other(u, "team of "+y.team.ID, at)
		return nil
	})
}

// stand is where the asset stands at a hospital: on its pad, where it flies and
// there is one, or at its door.
func stand(a *Asset, d *destination) orb.Point {
	if a.Kind == Helicopter && d.Pad != nil {
		return d.Pad.Position
	}
	return d.Position
}

// leastCarry is what a unit's way to a team and on with it cannot beat.
func (p *problem) leastCarry(u *unit, h, d *destination) float64 {
	return u.soonestS(p, geo.Distance(u.at, stand(u.Asset, h))) + p.atLeast(u.Asset, geo.Distance(stand(u.Asset, h), stand(u.Asset, d)))
}

// leastTeam is what the team's clock cannot beat, its travels taking leastS.
func (p *problem) leastTeam(u *unit, h *destination, leastS float64) float64 {
	if math.IsInf(p.cutS, 1) || len(p.Facts) > 0 {
		return leastS // nothing is cut, or what is behind counts
	}
	return p.teamClock(u, h, leastS)
}

// teamClock is leastTeam where there are no facts.
func (p *problem) teamClock(u *unit, h *destination, leastS float64) float64 {
	step := func(a *Asset, id string) float64 {
		t, _ := p.allowance(a, id)
		return t.TypicalS
	}
	called := h.preAlert.timing.TypicalS + step(nil, "team_ready")
	if h.callIn != nil {
		called += h.callIn.timing.TypicalS
	}
	rest := step(u.Asset, "team_board") + step(u.Asset, "team_alight") + step(nil, "team_scrub")
	there := u.soonestS(p, geo.Distance(u.at, stand(u.Asset, h)))
	return (leastS + rest + max(0, called-there)) * notLess
}

// unmet are the patient's needs that neither the host has nor the team brings:
// surgeons bring their hands, not a heart-lung machine.
func (p *problem) unmet(team, host *destination) (missing []string) {
	for _, need := range p.wants {
		if _, brought := team.Surgeons[need]; !brought && !host.Has(need) {
			missing = append(missing, plain(need))
		}
	}
	return missing
}

// patientTo is a direct way for the patient to a hospital, by an asset that
// does not need the given one nor lands where it lands: one aircraft at a time.
func (m *meetings) patientTo(a *approach, without *unit, d *destination) (way, bool) {
	if a.unit == without || !a.Carries() || a.Kind == Aeroplane || !a.timed || len(a.reasons) > 0 {
		return way{}, false
	}
	if a.Flies() && (d.Pad == nil || without.Flies()) {
		return way{}, false
	}
	escort, why := m.p.escortFor(m.from, a)
	if len(why) > 0 || (escort != nil && escort.unit == without) {
		return way{}, false
	}
	return way{shape: SurgeonTravels, dest: d, carrier: a, escort: escort}, true
}
