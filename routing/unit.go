package routing

import (
	"slices"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/geo/sun"
)

// dutyAheadS is how far ahead an asset without a crew is still worth offering:
// half a day, after which the next shift's plan is another question.
const dutyAheadS = 12 * 3600.0

// unit is an asset with what the question says of it.
type unit struct {
	*Asset
	at     orb.Point // where its way to the scene begins
	ready  []node    // what it does before it moves, one after the other
	cold   bool      // aircraft: engines are stopped when it is first used
	reason []Reason  // what rules it out whatever the destination
	never  bool      // nobody knows when it could move: no times can be made
	known            // what the facts say of it
}

// units applies the question to the fleet: states, additions and the choice
// of assets. The order is that of the ids.
func (p *problem) units() []unit {
	assets := make([]Asset, 0, len(p.Fleet.assets)+len(p.Assets.Add))
	assets = append(assets, p.Fleet.assets...)
	assets = append(assets, p.Assets.Add...)
	sortAssets(assets)
	for _, change := range p.Assets.States {
		for i := range assets {
			if assets[i].ID == change.Asset {
				assets[i].State = change.State
				assets[i].Position = change.Position
				assets[i].FreeAt = change.FreeAt
				assets[i].Until = time.Time{} // the question knows better
				if change.FuelS != nil {
					assets[i].FuelS = change.FuelS
				}
			}
		}
	}
	out := make([]unit, len(assets))
	for i := range assets {
		assets[i].expire(p.At)
		k := p.learn(&assets[i])
		out[i] = p.unit(&assets[i])
		out[i].known = k
	}
	return out
}

// expire puts an asset whose state has ended back to its base.
func (a *Asset) expire(at time.Time) {
	if !a.Until.IsZero() && !at.Before(a.Until) {
		a.State, a.Position, a.FreeAt, a.Until = AtBase, nil, time.Time{}, time.Time{}
	}
}

func (p *problem) unit(a *Asset) unit {
	u := unit{Asset: a, at: p.place(a)}
	if len(p.Assets.Only) > 0 && !slices.Contains(p.Assets.Only, a.ID) {
		u.reason = append(u.reason, reason(ReasonNotSelected, "the question names other assets only"))
	}
	switch a.State {
	case AtScene:
		u.at = p.Scene.Position
		u.cold = a.Kind == Helicopter && !a.RotorsTurning
	case Committed:
		p.committed(&u)
	case AtBase:
		onDuty := p.onDuty(&u)
		u.ready = append(u.ready, p.mobilise(onDuty, a))
	}
	return u
}

// committed adds the rest of the other job; the asset is then free where it
// will be, or at its base, where it mobilises again.
func (p *problem) committed(u *unit) {
	if u.FreeAt.IsZero() {
		u.reason = append(u.reason, reason(ReasonCommitted, "committed, and nobody has said until when"))
		u.never = true
		return
	}
	rest := max(0, u.FreeAt.Sub(p.At).Seconds())
	if rest > facilities.MaxTiming {
		u.reason = append(u.reason, reason(ReasonCommitted, "committed until %s", clock(u.FreeAt, u.Zone)))
		u.never = true
		return
	}
	u.ready = append(u.ready, node{
		id: "committed", kind: KindCommitted, lane: LaneVehicle, asset: u.Asset, timing: facilities.Fixed(rest),
		basis: basis{text: "committed until " + clock(u.FreeAt, u.Zone)},
	})
	if u.Position == nil {
		u.ready = append(u.ready, p.mobilise(u.FreeAt, u.Asset))
	}
}

// onDuty adds the wait for the next shift, or says that there is none, and
// returns when the crew can begin.
func (p *problem) onDuty(u *unit) time.Time {
	if u.Hours == nil || isOpen(u.Hours.At(p.At, u.Zone)) {
		return p.At
	}
	next, ok := u.Hours.NextStart(p.At, u.Zone, isOpen, time.Duration(dutyAheadS)*time.Second)
	if !ok {
		u.reason = append(u.reason, reason(ReasonOffDuty, "no crew on duty at %s, nor within %s", clock(p.At, u.Zone), minutes(dutyAheadS)))
		u.never = true
		return p.At
	}
	u.ready = append(u.ready, node{
		id: "off_duty", kind: KindOffDuty, lane: LaneVehicle, asset: u.Asset,
		timing: facilities.Fixed(next.Sub(p.At).Seconds()),
		basis:  basis{text: "no crew on duty before " + clock(next, u.Zone)},
	})
	return next
}

// mobilise is the step from the call until the asset moves.
func (p *problem) mobilise(at time.Time, a *Asset) node {
	night := sun.IsNight(p.place(a), at)
	nd := node{id: "mobilise", kind: KindMobilise, lane: LaneVehicle, asset: a}
	own, when := a.MobiliseDay, "day"
	if night {
		own, when = a.MobiliseNight, "night"
	}
	if own != nil {
		nd.timing, nd.basis = *own, basis{form: fromAsset, text: "mobilisation by " + when}
		return nd
	}
	id := "mobilise_" + string(a.Kind) + "_" + when
	nd.timing, nd.basis = p.allowance(a, id)
	return nd
}

// place is where the asset stands at the decision time, unless at the scene.
func (p *problem) place(a *Asset) orb.Point {
	if a.Position != nil {
		return *a.Position
	}
	if base, ok := p.Facilities.Get(a.Base); ok {
		return base.Position
	}
	return orb.Point{}
}

// allowance is the asset's own figure for the id, or the region's.
func (p *problem) allowance(a *Asset, id string) (facilities.Timing, basis) {
	if a != nil {
		if own, ok := a.Allowances[id]; ok {
			return own, basis{form: fromAsset, text: id}
		}
	}
	return p.Settings.Allowance(id).Timing, basis{form: fromAllowance, text: id}
}

// stated is the duration that the question or a facility states, with where it
// is from, or else the region's allowance.
func (p *problem) stated(own *facilities.Timing, from basis, allowance string) (facilities.Timing, basis) {
	if own != nil {
		return *own, from
	}
	return p.allowance(nil, allowance)
}

func isOpen(o facilities.Opening) bool { return o.State == "open" }
