package routing

import (
	"fmt"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/geo/sun"
)

// spot is where a vehicle takes the patient: beside them, or somewhere they
// are carried to first.
type spot struct {
	at       orb.Point
	carry    node               // from the patient to the vehicle
	ground   *facilities.Ground // nil: unprepared ground at the scene
	zone     *time.Location
	name     string
	prepared bool
}

// roadSpot is the roadside next to the patient, or a hospital's door.
func (p *problem) roadSpot() spot {
	return spot{at: p.Scene.Position, carry: p.carry(), name: "the scene"}
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
		if f.Ground == nil {
			continue
		}
		if d := geo.Distance(p.Scene.Position, f.Position); d <= p.Settings.CarryMaxM {
			out = append(out, spot{
				at: f.Position, carry: p.carryTo(f.Name, d), ground: f.Ground,
				zone: f.Zone, name: f.Name, prepared: true,
			})
		}
	}
	if len(out) == 0 {
		return nil, []Reason{reason(ReasonNoLanding,
			"landing at the scene is impossible, and no landing site lies within %.0f m for a carry", p.Settings.CarryMaxM)}
	}
	return out, nil
}

// padSpot is the pad of the hospital a transfer starts from.
func (p *problem) padSpot() ([]spot, []Reason) {
	f, ok := p.Facilities.Get(p.Scene.Facility)
	if !ok || f.Pad == nil {
		return nil, []Reason{reason(ReasonNoLanding, "the hospital the patient is in has no pad")}
	}
	timing, b := p.padTransfer(f)
	nd := node{id: "door_to_pad", kind: KindCarry, lane: LanePatient, timing: timing, basis: b,
		metres: geo.Distance(f.Position, f.Pad.Position)}
	return []spot{{at: f.Pad.Position, carry: nd, ground: &f.Pad.Ground, zone: f.Zone, name: "the pad of " + f.Name, prepared: true}}, nil
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

func (p *problem) carry() node {
	nd := node{id: "carry", kind: KindCarry, lane: LanePatient}
	if p.Scene.Carry != nil {
		nd.timing, nd.basis = *p.Scene.Carry, basis{text: "given in the question"}
		return nd
	}
	nd.timing, nd.basis = p.allowance(nil, "carry")
	return nd
}

// carryTo is the carry from the patient on to a place a distance away.
func (p *problem) carryTo(name string, metres float64) node {
	nd := p.carry()
	nd.metres = metres
	nd.timing = nd.timing.Add(facilities.Fixed(metres / p.Settings.CarryMS))
	nd.basis = basis{text: fmt.Sprintf("carried %.0f m to %s at %.1f m/s, after %s", metres, name, p.Settings.CarryMS, nd.basis)}
	return nd
}

// landing lists what forbids the aircraft to land on the ground at t.
func landing(a *Asset, g *facilities.Ground, at orb.Point, zone *time.Location, name string, t time.Time) (out []Reason) {
	if g == nil {
		return nil
	}
	if g.Hours != nil && !isOpen(g.Hours.At(t, zone)) {
		out = append(out, reason(ReasonLandingClosed, "%s is closed at %s", name, clock(t, zone)))
	}
	if !g.Lit && sun.IsNight(at, t) {
		out = append(out, reason(ReasonLandingUnlit, "%s has no lights, and it is night there at %s", name, clock(t, zone)))
	}
	if g.MaxDValueM != nil && a.DValueM > *g.MaxDValueM {
		out = append(out, reason(ReasonTooLarge, "D-value %.1f m, %s takes %.1f m", a.DValueM, name, *g.MaxDValueM))
	}
	if g.MaxMassKg != nil && a.MassKg > *g.MaxMassKg {
		out = append(out, reason(ReasonTooHeavy, "mass %.0f kg, %s takes %.0f kg", a.MassKg, name, *g.MaxMassKg))
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
