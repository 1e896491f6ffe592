package routing

import (
	"context"
	"slices"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// Mission is how long one asset is taken up by the first option of an answer.
type Mission struct {
	Asset string
	// BusyS is from the call until the asset is free again, in seconds at typical durations:
	// its steps, the handover where its crew has the patient, and the way back to its base.
	// What it does there, such as taking fuel or cleaning, is not in it.
	BusyS float64
	Back  bool // the way back is in BusyS; without a base, or a way there, it is not
}

// Missions are those of the assets of the first option, the one that carries the patient first;
// none where nobody is reached. An asset whose team rides with the patient is taken up until
// the patient is handed over, and its way back begins there. Whether night or weather let it
// fly back is not asked.
func (e *Engine) Missions(ctx context.Context, q Question) ([]Mission, error) {
	p, _, err := e.problem(q)
	if err != nil {
		return nil, err
	}
	p.needs()
	p.Limit = 1
	s := p.newSearch()
	if err = s.pairs(ctx); err != nil || len(s.found) == 0 {
		return nil, err
	}
	first := slices.MinFunc(s.found, func(a, b candidate) int { return a.compare(&b, typical) })
	if s.RankBySlow {
		rank(s.found, typical)
		best, slowErr := newContest().bySlow(ctx, s, 1)
		if slowErr != nil {
			return nil, slowErr
		}
		first = best[0]
	}
	s.build(&first.way, &s.w)
	plan := s.w.plan()
	var out []Mission
	for _, id := range first.way.assets() {
		for i := range s.from {
			if s.from[i].ID == id {
				out = append(out, p.mission(s.from[i].Asset, plan))
			}
		}
	}
	return out, nil
}

// mission is the asset's steps and from the last of them to its base.
func (p *problem) mission(a *Asset, plan Plan) Mission {
	m := Mission{Asset: a.ID}
	at, door, handedS := p.place(a), orb.Point{}, 0.0
	with := false // it is at the hospital with the patient, or its team is
	for _, s := range plan {
		if s.Kind == KindHandover {
			handedS = s.EndS
		}
		if s.Kind == KindTravel && s.Lane == LanePatient {
			door = s.Path[len(s.Path)-1] // the last one's end is the hospital
		}
		if s.Asset != a.ID {
			continue
		}
		m.BusyS = max(m.BusyS, s.EndS)
		if s.Kind == KindTravel {
			at = s.Path[len(s.Path)-1]
		}
		with = with || s.ID == "unload" || s.ID == "escort_join"
	}
	if with {
		at, m.BusyS = door, max(m.BusyS, handedS)
	}
	m.Back = p.back(a, at, &m.BusyS)
	return m
}

// back adds the way to the asset's base, and reports whether there is one.
func (p *problem) back(a *Asset, from orb.Point, busyS *float64) bool {
	base, ok := p.Facilities.Get(a.Base)
	if !ok {
		return false
	}
	home := doorPlace(base)
	if a.Flies() {
		home = fuelPlace(base)
		if geo.Distance(from, home.at) <= beside {
			return true
		}
	}
	t := p.travel(leg{id: "travel_to_base", asset: a, lane: LaneVehicle, from: from, to: home, leavesS: *busyS})
	if t.lost {
		return false
	}
	*busyS += t.timing.TypicalS
	return true
}
