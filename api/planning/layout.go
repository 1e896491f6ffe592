package planning

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
	"surgeonward/routing/siting"
)

// What can be sited, in the words of the schema.
const (
	WhatBase    = "base"
	WhatPad     = "pad"
	WhatSurgeon = "surgeon"
)

// Layout is a question of siting laid out for the engine: a plan for the present, one for each
// candidate, one for what stays where something is moved, and with busy assets one for none of
// them and for each of the present ones.
type Layout struct {
	Plans      []coverage.Plan // the present is the first, then the candidates in their order
	Candidates []coverage.Candidate

	region  *region.Region
	q       *wire.SitingRequest
	base    coverage.Plan // what every candidate is added to
	present []string      // assets in place that can be busy, moved ones left out; only with busy assets
}

// LayOut makes the plans, which ask as the given one does.
func LayOut(r *region.Region, q *wire.SitingRequest, plan coverage.Plan) (*Layout, error) {
	l := &Layout{region: r, q: q, Candidates: q.Candidates, base: plan}
	l.Plans = append(l.Plans, plan)
	gone := slices.Clone(q.Move)
	if q.Objective == MostPeopleBusy {
		l.present = q.Present()
		gone = append(gone, l.present...)
	}
	l.base.Situation = plan.Situation.Away(gone...)
	for j := range l.Candidates {
		with, err := l.with(l.base, j)
		if err != nil {
			return nil, err
		}
		l.Plans = append(l.Plans, with)
	}
	if q.Objective != MostPeopleBusy {
		if len(q.Move) > 0 {
			l.Plans = append(l.Plans, l.base)
		}
		return l, nil
	}
	l.Plans = append(l.Plans, l.base)
	for _, id := range l.present {
		one := plan
		one.Situation = plan.Situation.Away(slices.DeleteFunc(slices.Clone(gone), func(other string) bool { return other == id })...)
		l.Plans = append(l.Plans, one)
	}
	return l, nil
}

// with is the plan with what is put at one of the candidates, or at several.
func (l *Layout) with(plan coverage.Plan, sites ...int) (coverage.Plan, error) {
	if l.q.What == WhatPad || l.q.What == WhatSurgeon {
		var ids []string
		for _, j := range sites {
			ids = append(ids, l.Candidates[j].Facility)
		}
		changed, err := changedRegion(l.region, l.q.What, ids)
		if err != nil {
			return plan, err
		}
		engine := *plan.Engine // with everything else shared: there may be hundreds
		engine.Facilities = changed.Facilities
		plan.Engine = &engine
		return plan, nil
	}
	return plan.Adding(l.assets(sites)...), nil
}

// assets are the new ones at the sites, each with an id of its own.
func (l *Layout) assets(sites []int) (out []routing.Asset) {
	seen := map[int]int{}
	for _, j := range sites {
		a := l.Candidates[j].Asset(l.q.Like, j)
		if seen[j]++; seen[j] > 1 {
			a.ID = fmt.Sprintf("%s-%d", a.ID, seen[j])
		}
		out = append(out, a)
	}
	return out
}

// Whole is the plan with a whole choice in place.
func (l *Layout) Whole(sites []int) (coverage.Plan, error) {
	plan := l.Plans[0]
	plan.Situation = plan.Situation.Away(l.q.Move...)
	if len(sites) == 0 {
		return plan, nil
	}
	return l.with(plan, sites...)
}

// Problem puts the times of all plans, in their order, into a problem of siting. Sites are the
// candidates, then what is in every choice: all that stays as one site or, with busy assets, each
// present one, which takes no second. Sure is the people who are within the time whoever is busy:
// they are left out of the weights, and belong to the value of every choice.
func (l *Layout) Problem(times [][]float64) (p *siting.Problem, sure float64) {
	n := len(l.Candidates)
	p = &siting.Problem{TimesS: slices.Clone(times[1 : n+1]), Count: l.q.Count}
	cells := l.base.Demand.Cells
	for i := range cells {
		p.Weights = append(p.Weights, cells[i].People)
	}
	if l.q.Objective != MostPeopleBusy {
		stays := times[0]
		if len(l.q.Move) > 0 {
			stays = times[n+1]
		}
		p.TimesS, p.Keep, p.Count = append(p.TimesS, stays), []int{n}, p.Count+1
		return p, 0
	}
	for i, t := range times[n+1] {
		if t <= l.q.WithinS {
			sure += p.Weights[i]
			p.Weights[i] = 0
		}
	}
	for k := range l.present {
		p.TimesS = append(p.TimesS, times[n+2+k])
		p.Keep = append(p.Keep, n+k)
	}
	p.Full, p.Count = p.Keep, p.Count+len(l.present)
	return p, sure
}

// chosen is the candidates among the sites of a solution.
func (l *Layout) chosen(sites []int) (out []int) {
	for _, j := range sites {
		if j < len(l.Candidates) {
			out = append(out, j)
		}
	}
	return out
}

// word says what a plan looks at.
func (l *Layout) word(plan int) string {
	switch {
	case plan == 0:
		return "looking at the present"
	case plan <= len(l.Candidates):
		return "looking at each candidate"
	case l.q.Objective != MostPeopleBusy:
		return "looking at what stays"
	}
	return "looking at each asset in place"
}

// share is the mean share of the time that the present assets are busy with the calls, where
// the plan is of the present and has the result before.
func (l *Layout) share(ctx context.Context, plan coverage.Plan, before *coverage.Result) (float64, error) {
	calls := *l.q.Busy
	calls.Assets = l.q.Units
	b, err := coverage.RunBusy(ctx, plan, before, calls)
	if err != nil {
		return 0, err
	}
	var sum float64
	for _, u := range b.Units {
		sum += u.Share
	}
	return min(sum/float64(len(l.q.Units)), mostBusy), nil
}

// mostBusy is under 1, where nothing could be covered by anybody.
const mostBusy = 0.999

// busyThen is who can be busy with a choice in place: those who stay and the new ones.
func (l *Layout) busyThen(sites []int) []string {
	ids := l.q.Present()
	for _, a := range l.assets(sites) {
		ids = append(ids, a.ID)
	}
	return ids
}

// describe is a chosen candidate among the sites of a solution.
func (l *Layout) describe(j int, sites []int, adds *float64) Chosen {
	at := &l.Candidates[j]
	out := Chosen{Name: at.Name, Position: [2]float64{at.At.Lon(), at.At.Lat()}, Facility: at.Facility, Adds: adds}
	for _, site := range sites {
		if site == j {
			out.Units++
		}
	}
	if l.q.What != WhatBase {
		return out
	}
	out.Asset = at.Asset(l.q.Like, j).ID
	for _, a := range l.region.Fleet.Assets() {
		if at.Facility != "" && a.Base == at.Facility && slices.Contains(l.q.Move, a.ID) {
			out.Stays = a.ID
			break
		}
	}
	return out
}

// title says what a choice is, above its map.
func (l *Layout) title(sites int) string {
	switch {
	case l.q.What == WhatPad:
		return fmt.Sprintf("with a pad at %d more hospitals", sites)
	case l.q.What == WhatSurgeon:
		return fmt.Sprintf("with a resident surgeon at %d more hospitals", sites)
	case len(l.q.Move) > 0:
		return fmt.Sprintf("with %d put anew in place of %d", sites, len(l.q.Move))
	}
	return fmt.Sprintf("with %d more", sites)
}

// marks are the chosen candidates on the map.
func (l *Layout) marks(sites []int) (out []coverage.Mark) {
	for i, j := range sites {
		if i == 0 || sites[i-1] != j {
			out = append(out, coverage.Mark{Name: l.Candidates[j].Name, At: l.Candidates[j].At, Kind: coverage.MarkChoice})
		}
	}
	return out
}

// GridCandidates are the centres of a grid's cells over an area, for those that the question lists.
// Why says what is too much; empty: nothing is.
func GridCandidates(q *wire.SitingRequest) (out []coverage.Candidate, why string) {
	if why = CheckPlaces(wire.Places{Area: q.Places.Area, CellM: q.GridM}); why != "" {
		return nil, why
	}
	if width, height := boxCells(q.Places.Area, q.GridM); width*height > 1000*MaxCandidates { // mostly sea, or too many anyway
		return nil, fmt.Sprintf("a grid of %g m has %.0f by %.0f cells with what lies around this area, and %d may be candidates: choose larger cells",
			q.GridM, width, height, MaxCandidates)
	}
	g, err := coverage.NewGrid(q.Places.Area, q.GridM)
	if err != nil {
		return nil, err.Error()
	}
	if g.Len() > MaxCandidates {
		return nil, fmt.Sprintf("a grid of %g m has %d cells in this area, more than %d candidates: choose larger cells", q.GridM, g.Len(), MaxCandidates)
	}
	for i := range g.Len() {
		at := g.Centre(i)
		out = append(out, coverage.Candidate{Name: fmt.Sprintf("%.3f, %.3f", at.Lat(), at.Lon()), At: at})
	}
	return out, ""
}

// MaxCandidates is how many places there may be to choose from.
const MaxCandidates = 200

// changeAt is the change of the region's files for a pad or a resident surgeon at hospitals. A
// pad is lit, at the door, open at all hours and large enough for everybody; a surgeon is there at
// all hours, and the hospital has all else that surgery in the chest takes.
func changeAt(r *region.Region, what string, ids []string) ([]byte, error) {
	hospitals := map[string]any{}
	for _, id := range ids {
		f, ok := r.Facilities.Get(id)
		if !ok {
			return nil, fmt.Errorf("no facility has the id %q", id)
		}
		properties := map[string]any{"pad": map[string]any{"lit": true}}
		if what == WhatSurgeon {
			capabilities := slices.Clone(f.Capabilities)
			if !f.Has(wire.MainNeed) {
				capabilities = append(capabilities, wire.MainNeed)
			}
			properties = map[string]any{"capabilities": capabilities, "surgeons": map[string]any{wire.MainNeed: map[string]any{
				"otherwise": map[string]any{"presence": string(facilities.Resident), "call_in": nil}, "weekly": nil, "exceptions": nil}}}
		}
		hospitals[id] = map[string]any{"properties": properties}
	}
	return json.Marshal(map[string]any{region.FacilitiesFile: hospitals})
}

// changedRegion is the region with a pad or a resident surgeon at some of its hospitals.
func changedRegion(r *region.Region, what string, ids []string) (*region.Region, error) {
	text, err := changeAt(r, what, ids)
	if err != nil {
		return nil, err
	}
	changed, _, report := r.With(text)
	if changed == nil {
		var faults []error
		for _, f := range report.Faults {
			faults = append(faults, errors.New(f.String()))
		}
		return nil, errors.Join(faults...)
	}
	return changed, nil
}
