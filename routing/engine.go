package routing

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"surgeonward/facilities"
	"surgeonward/geo/sun"
	"surgeonward/routing/road"
)

// Engine answers questions about one region. It holds snapshots only, so one
// Engine serves any number of goroutines.
type Engine struct {
	Facilities *facilities.List
	Fleet      *Fleet
	Settings   *Settings
	Road       road.Estimator
}

// NewEngine returns an engine for the region. Roads are estimated as the great
// circle times the region's road factor.
func NewEngine(list *facilities.List, fleet *Fleet, settings *Settings) *Engine {
	return &Engine{Facilities: list, Fleet: fleet, Settings: settings,
		Road: road.GreatCircle{Factor: settings.RoadFactor}}
}

// Options works out every way from the scene to a surgeon. A question that
// contradicts the region gives a *QuestionError with all its faults; a
// question nobody can help with gives an Answer without options and with
// every reason.
func (e *Engine) Options(ctx context.Context, q Question) (Answer, error) {
	if err := e.check(&q); err != nil {
		return Answer{}, err
	}
	p := &problem{Engine: e, Question: q}
	needs, cautions := p.needs()
	from := p.approaches(p.units())
	to := p.destinations(needs)

	ans := Answer{At: p.At, Scene: p.Scene, Cautions: cautions, Night: sun.IsNight(p.Scene.Position, p.At)}
	var found []candidate
	var w network
	for i := range from {
		if err := ctx.Err(); err != nil {
			return Answer{}, err
		}
		for j := range to {
			y, reasons := p.pair(from, &from[i], &to[j])
			if y.timed() {
				reasons = append(reasons, p.build(&y, &w)...)
			}
			if len(reasons) > 0 {
				ans.NotPossible = append(ans.NotPossible, NotPossible{
					Asset: from[i].ID, Destination: to[j].ID, Shape: shapeOf(from[i].Asset), Reasons: reasons,
				})
				continue
			}
			found = append(found, candidate{way: y, total: w.total(), id: y.id()})
		}
	}
	rank(found, p.RankBySlow)
	ans.Found = len(found)
	if p.Limit > 0 && len(found) > p.Limit {
		found = found[:p.Limit]
	}
	for i := range found {
		p.build(&found[i].way, &w)
		ans.Options = append(ans.Options, p.option(i+1, &found[i], &w))
	}
	return ans, nil
}

// pair chooses the escort for an asset and a hospital, and collects every
// reason that is known before the way is put on the clock.
func (p *problem) pair(from []approach, a *approach, d *destination) (way, []Reason) {
	y := way{shape: shapeOf(a.Asset), carrier: a, dest: d}
	reasons := slices.Concat(a.reasons, d.reasons)
	if !a.Carries() {
		return y, append(reasons, reason(ReasonCarriesNoPatient, "a %s carries no patient", plain(string(a.Kind))))
	}
	if a.Flies() && d.Pad == nil {
		reasons = append(reasons, reason(ReasonNoPad, "%s has no pad", d.Name))
	}
	escort, why := p.escortFor(from, a)
	y.escort = escort
	return y, append(reasons, why...)
}

// escortFor finds who rides along when the carrier's own crew lacks the skill
// the patient must be accompanied by: whoever can be at the patient soonest.
func (p *problem) escortFor(from []approach, carrier *approach) (*approach, []Reason) {
	skill := p.Patient.Escort
	if skill == "" || carrier.HasSkill(skill) {
		return nil, nil
	}
	var reasons []Reason
	if carrier.EscortSeats < 1 {
		reasons = append(reasons, reason(ReasonNoSeat, "no seat for the %s who must ride along", plain(skill)))
	}
	var best *approach
	for i := range from {
		a := &from[i]
		if a.unit == carrier.unit || !a.HasSkill(skill) || len(a.reasons) > 0 {
			continue
		}
		if best == nil || a.arrives < best.arrives {
			best = a
		}
	}
	if best == nil {
		reasons = append(reasons, reason(ReasonNoEscort, "the crew has no %s, and no other team with one can be at the scene", plain(skill)))
	}
	return best, reasons
}

func shapeOf(a *Asset) Shape {
	if a.Flies() {
		return ByAir
	}
	return ByRoad
}

// candidate is a way that works, with its total.
type candidate struct {
	way   way
	total facilities.Timing
	id    string
}

// rank orders by total time, then by fewer changes of vehicle, then by id.
func rank(found []candidate, bySlow bool) {
	key := typical
	if bySlow {
		key = slow
	}
	slices.SortFunc(found, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(key(a.total), key(b.total)),
			cmp.Compare(a.way.transfers(), b.way.transfers()), strings.Compare(a.id, b.id))
	})
}

func sortAssets(assets []Asset) {
	slices.SortFunc(assets, func(a, b Asset) int { return strings.Compare(a.ID, b.ID) })
}
