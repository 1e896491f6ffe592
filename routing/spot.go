package routing

import (
	"time"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/geo/sun"
)

// spot is where a vehicle takes the patient: beside them, or somewhere they
// are carried to first.
type spot struct {
	place
	carry node // from the patient to the vehicle
	winch bool // the carry is a hoist, for which the aircraft must be there
}

// roadSpot is the roadside next to the patient, or a hospital's door.
func (p *problem) roadSpot() spot {
	return spot{place: place{at: p.Scene.Position, name: "the scene"}, carry: p.carry(0, "")}
}

// airSpots are the places a helicopter can pick the patient up, the scene
// first; none comes with the reason.
func (p *problem) airSpots() ([]spot, []Reason) {
	if p.Scene.Facility != "" {
		return p.padSpot()
	}
	if p.Scene.Landing != LandingImpossible {
		return []spot{p.roadSpot()}, nil
	}
	var out []spot
	for _, f := range p.Facilities.All() {
		if f.Ground == nil || f.Kind == facilities.Base {
			continue
		}
		if d := geo.Distance(p.Scene.Position, f.Position); d <= p.Settings.CarryMaxM {
			out = append(out, spot{place: groundPlace(f), carry: p.carry(d, " to "+f.Name)})
		}
	}
	if len(out) == 0 {
		return nil, []Reason{reason(ReasonNoLanding,
			"landing at the scene is impossible, and no landing site lies within %.0f m for a carry", p.Settings.CarryMaxM)}
	}
	return out, nil
}

// winchSpot is the scene from the air: the hoist replaces the carry.
func (p *problem) winchSpot(a *Asset) spot {
	s := p.roadSpot()
	s.winch, s.name = true, "the scene, by winch"
	s.carry = node{id: "winch", kind: KindCarry, lane: LanePatient, asset: a, cause: cause{"winch", a.ID}}
	s.carry.timing, s.carry.basis = p.allowance(a, "winch")
	return s
}

// padSpot is the pad of the hospital a transfer starts from.
func (p *problem) padSpot() ([]spot, []Reason) {
	f, ok := p.Facilities.Get(p.Scene.Facility)
	if !ok || f.Pad == nil {
		return nil, []Reason{reason(ReasonNoLanding, "the hospital the patient is in has no pad")}
	}
	timing, b := p.padTransfer(f)
	nd := node{id: "door_to_pad", kind: KindCarry, lane: LanePatient, timing: timing, basis: b,
		cause: padOf(f), metres: geo.Distance(f.Position, f.Pad.Position)}
	return []spot{{place: padPlace(f), carry: nd}}, nil
}

// padPlace is a hospital's pad as the end of a flight.
func padPlace(f *facilities.Facility) place {
	return place{at: f.Pad.Position, ground: &f.Pad.Ground, zone: f.Zone, name: "the pad of " + f.Name, prepared: true}
}

// groundPlace is a landing site or an airfield as the end of a flight or drive.
func groundPlace(f *facilities.Facility) place {
	return place{at: f.Position, ground: f.Ground, zone: f.Zone, name: f.Name, prepared: true}
}

// doorPlace is a hospital's door as the end of a drive.
func doorPlace(f *facilities.Facility) place {
	return place{at: f.Position, zone: f.Zone, name: f.Name, prepared: true}
}

// padTransfer is the way between a hospital's pad and its door, the same in
// both directions.
func (p *problem) padTransfer(f *facilities.Facility) (facilities.Timing, basis) {
	if f.Pad.ToDoor != nil {
		return *f.Pad.ToDoor, basis{form: fromFacility, text: "pad to door"}
	}
	if f.Pad.VehicleNeeded {
		return p.allowance(nil, "pad_to_door_vehicle")
	}
	return p.allowance(nil, "pad_to_door")
}

// padOf is the cause of the time between a hospital's pad and its door.
func padOf(f *facilities.Facility) cause { return cause{"pad", f.ID} }

// carry is the way from where the patient lies to the vehicle, and on by hand
// to a place some metres farther.
func (p *problem) carry(metres float64, to string) node {
	nd := node{id: "carry", kind: KindCarry, lane: LanePatient, metres: metres + p.Scene.CarryM}
	byHand := facilities.Fixed(nd.metres / p.Settings.CarryMS)
	switch {
	case p.Scene.Carry != nil:
		nd.timing = p.Scene.Carry.Add(byHand)
		nd.basis = basis{text: "given in the question"}
	case p.Scene.CarryM > 0:
		nd.timing = byHand
	default:
		nd.timing, nd.basis = p.allowance(nil, "carry")
		nd.timing = nd.timing.Add(byHand)
	}
	if nd.metres > 0 {
		after := nd.basis.String()
		nd.basis = basis{form: fromCarry, a: nd.metres, b: p.Settings.CarryMS, text: to}
		if after != "" {
			nd.basis.text += " (and before it: " + after + ")"
		}
	}
	return nd
}

// landing lists what forbids the aircraft to land at the place at t.
func landing(a *Asset, at place, t time.Time) (out []Reason) {
	g := at.ground
	if g == nil {
		return nil
	}
	if g.Hours != nil && !isOpen(g.Hours.At(t, at.zone)) {
		out = append(out, reason(ReasonLandingClosed, "%s is closed at %s", at.name, clock(t, at.zone)))
	}
	if t.Before(g.Occupied) {
		out = append(out, reason(ReasonLandingOccupied, "another aircraft stands at %s until %s, and there is room for one", at.name, clock(g.Occupied, at.zone)))
	}
	if !g.Lit && sun.IsNight(at.at, t) {
		out = append(out, reason(ReasonLandingUnlit, "%s has no lights, and it is night there at %s", at.name, clock(t, at.zone)))
	}
	if a.Kind == Aeroplane {
		switch {
		case g.RunwayM == nil:
			out = append(out, reason(ReasonRunway, "%s has no runway", at.name))
		case *g.RunwayM < a.RunwayM:
			out = append(out, reason(ReasonRunway, "needs %.0f m of runway, %s has %.0f m", a.RunwayM, at.name, *g.RunwayM))
		}
		return out
	}
	if g.Clear != nil {
		if night := sun.IsNight(at.at, t); !g.Clear.Takes(a.DValueM, night) {
			long := 2 * a.DValueM
			if night && !g.Clear.Surveyed {
				long *= 2
			}
			out = append(out, reason(ReasonTooLarge, "needs %.0f m by %.0f m of clear ground, %s has %.0f m by %.0f m",
				long, 2*a.DValueM, at.name, g.Clear.LengthM, g.Clear.WidthM))
		}
	}
	if g.MaxDValueM != nil && a.DValueM > *g.MaxDValueM {
		out = append(out, reason(ReasonTooLarge, "D-value %.1f m, %s takes %.1f m", a.DValueM, at.name, *g.MaxDValueM))
	}
	if g.MaxMassKg != nil && a.MassKg > *g.MaxMassKg {
		out = append(out, reason(ReasonTooHeavy, "mass %.0f kg, %s takes %.0f kg", a.MassKg, at.name, *g.MaxMassKg))
	}
	return out
}

// clock writes a time of day in the zone with its offset.
func clock(t time.Time, zone *time.Location) string {
	if zone == nil {
		zone = time.UTC
	}
	return t.In(zone).Format("2006-01-02 15:04 -07:00")
}
