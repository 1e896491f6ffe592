package wire

import (
	"errors"
	"slices"
	"strconv"
	"strings"
	"time"

	"surgeonward/api/region"
	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// DefaultLostS is how many seconds count for somebody whom nobody reaches, or only
// later, where the question of siting does not say.
const DefaultLostS = 4 * 3600

// MainNeed is the capability that a question asks for which names no need.
const MainNeed = "cardiothoracic_surgery"

// SitingRequest is a question of siting as it was understood.
type SitingRequest struct {
	Situation  coverage.Situation
	Places     Places
	What       string // base, pad or surgeon
	Candidates []coverage.Candidate
	GridM      float64       // the cells whose centres are candidates; 0: they are listed
	Like       routing.Asset // without an id for pads and surgeons
	Move       []string      // assets that are not where they are now, but maybe among those that are put
	Count      int
	Objective  string          // one of the words of the schema
	BusyShare  float64         // of the time that each asset is busy, for most_people_busy
	Busy       *coverage.Calls // the calls that say so instead
	Units      []string        // present assets that can be busy
	WithinS    float64
	LostS      float64
	Gap        float64
}

// Present is the assets in place that can be busy: those that stay.
func (q *SitingRequest) Present() []string {
	return slices.DeleteFunc(slices.Clone(q.Units), func(id string) bool { return slices.Contains(q.Move, id) })
}

// DecodeSiting reads the body of POST /v1/siting as DecodeCoverage does. Candidates of a grid
// are left to the caller.
func DecodeSiting(schema *strictjson.Schema, body []byte, r *region.Region, now time.Time) (SitingRequest, error) {
	b, m, err := beginPlanning(schema, body, r)
	if err != nil {
		return SitingRequest{}, err
	}
	q := SitingRequest{Situation: b.situation(m.get("situation"), now), Places: b.places(m), What: m.get("what").text(), Objective: m.get("objective").text()}
	if q.What == "" {
		q.What = "base"
	}
	count, _ := m.get("count").number()
	q.Count = int(min(max(count, 0), maxCandidates))
	q.WithinS, _ = m.get("within_s").number()
	if needs := slices.Contains([]string{"most_people", "most_people_busy", "fewest_sites"}, q.Objective); needs && !m.get("within_s").given() {
		b.fault(m, "the objective %s needs within_s: the seconds that people are counted within", q.Objective)
	}
	if q.LostS, _ = m.get("lost_s").number(); q.LostS == 0 {
		q.LostS = DefaultLostS
	}
	q.Gap, _ = m.get("gap").number()
	for i, item := range first(m.get("candidates").items(), maxCandidates) {
		q.Candidates = append(q.Candidates, b.candidate(item, i))
	}
	if q.What == "base" {
		b.baseSiting(m, &q)
	} else {
		b.hospitalSiting(m, &q)
	}
	b.busySiting(m, &q)
	if most := len(q.Candidates); most > 0 && q.Count > most && q.Objective != "most_people_busy" {
		b.fault(m.get("count"), "count %d is more than the %d candidates", q.Count, most)
	}
	if len(b.faults) == 0 && q.What == "base" {
		b.candidates(m.get("candidates"), &q)
	}
	return q, b.planningError()
}

// baseSiting reads what assets are put where.
func (b *builder) baseSiting(m member, q *SitingRequest) {
	for _, item := range first(m.get("move").items(), maxCandidates) {
		if a := b.like(item); a.ID != "" {
			q.Move = append(q.Move, a.ID)
			b.baseOf(&a, q)
		}
	}
	q.Like = b.like(m.get("like"))
	switch {
	case !m.get("like").given() && len(q.Move) > 0:
		q.Like = b.like(m.get("move").items()[0])
	case !m.get("like").given():
		b.fault(m, "what is a base: needs like, the asset that the new ones are like")
	}
	for i, id := range q.Move {
		for _, a := range b.region.Fleet.Assets() {
			if a.ID == id && q.Like.ID != "" && a.Kind != q.Like.Kind {
				b.fault(m.get("move").items()[i], "%s is no %s as %s is: those that move are put like it", id, plainWord(string(q.Like.Kind)), q.Like.ID)
			}
		}
	}
	grid := m.get("candidates_from").text() == "grid"
	size, sized := m.get("candidate_cell_m").number()
	switch {
	case grid && m.get("candidates").given():
		b.fault(m.get("candidates_from"), "candidates are listed and from a grid: keep one")
	case grid && !sized:
		b.fault(m, "candidates from a grid need candidate_cell_m: the size of its cells")
	case grid:
		q.GridM = size
		if len(q.Places.Area) == 0 {
			if q.Places.Area = coverage.Land(b.region.RoadMap()); len(q.Places.Area) == 0 {
				b.fault(m.get("candidates_from"), "a grid needs an area: the region's roads have no coast, so give polygons in demand")
			}
		}
	case sized:
		b.fault(m.get("candidate_cell_m"), "is the size of a grid's cells: give candidates_from too")
	case !m.get("candidates").given():
		b.fault(m, "names nowhere to put anything: give candidates, or candidates_from")
	}
}

func plainWord(s string) string { return strings.ReplaceAll(s, "_", " ") }

// baseOf makes the present base of an asset that moves a candidate, where it is none yet.
func (b *builder) baseOf(a *routing.Asset, q *SitingRequest) {
	f, ok := b.region.Facilities.Get(a.Base)
	if !ok || slices.ContainsFunc(q.Candidates, func(c coverage.Candidate) bool { return c.Facility == f.ID }) {
		return
	}
	q.Candidates = append(q.Candidates, coverage.Candidate{Name: f.Name, At: f.Position, Facility: f.ID})
}

// hospitalSiting reads at which hospitals a pad or a resident surgeon may be put: those named, or
// all that lack one.
func (b *builder) hospitalSiting(m member, q *SitingRequest) {
	for _, name := range []string{"like", "move", "candidates_from", "candidate_cell_m", "busy", "busy_share"} {
		if m.get(name).given() {
			b.fault(m.get(name), "is about assets, and what is put is a %s: leave it out", q.What)
		}
	}
	for i, c := range q.Candidates {
		f, _ := b.region.Facilities.Get(c.Facility)
		switch {
		case f == nil || f.Kind != facilities.Hospital:
			b.fault(m.get("candidates").items()[i], "must be a hospital, by its facility: a %s is put at hospitals", q.What)
		case !lacks(f, q.What, q.Situation.Question.At):
			b.fault(m.get("candidates").items()[i], "%s has a %s already", f.Name, q.What)
		}
	}
	if m.get("candidates").given() {
		return
	}
	q.Candidates = first(HospitalsWithout(b.region, q.What, q.Situation.Question.At), maxCandidates)
	if len(q.Candidates) == 0 {
		b.fault(m.get("what"), "every hospital has a %s already", q.What)
	}
}

// HospitalsWithout are those that lack a pad, or a resident surgeon at an hour.
func HospitalsWithout(r *region.Region, what string, at time.Time) (out []coverage.Candidate) {
	for _, f := range r.Facilities.OfKind(facilities.Hospital) {
		if lacks(f, what, at) {
			out = append(out, coverage.Candidate{Name: f.Name, At: f.Position, Facility: f.ID})
		}
	}
	return out
}

func lacks(f *facilities.Facility, what string, at time.Time) bool {
	if what == "pad" {
		return f.Pad == nil
	}
	presence, _ := f.PresenceAt(MainNeed, at)
	return !f.Has(MainNeed) || presence.Attendance != facilities.Resident
}

// busySiting reads how busy assets are.
func (b *builder) busySiting(m member, q *SitingRequest) {
	share, shared := m.get("busy_share").number()
	q.BusyShare, q.Busy = share, b.calls(m.get("busy"))
	switch {
	case q.Objective != "most_people_busy" && (shared || q.Busy != nil):
		b.fault(m.get("objective"), "must be most_people_busy where busy or busy_share is given")
	case q.Objective != "most_people_busy":
		return
	case q.What != "base":
		b.fault(m.get("objective"), "is about assets, and what is put is a %s: choose another", q.What)
	case shared == (q.Busy != nil):
		b.fault(m, "the objective most_people_busy needs either busy_share or busy: how busy each asset is, or the calls that say so")
	}
	if q.Busy != nil && q.Busy.Assets != nil {
		q.Units = q.Busy.Assets
		return
	}
	for _, a := range b.region.Fleet.Assets() {
		if a.Kind == q.Like.Kind {
			q.Units = append(q.Units, a.ID)
		}
	}
	if q.Busy != nil && len(q.Units) == 0 {
		b.fault(m.get("busy"), "no asset in place is like the new ones, so none says how busy they are: give busy_share")
	}
}

// candidate reads a place where an asset may be put: a facility or a position.
func (b *builder) candidate(m member, n int) coverage.Candidate {
	c := coverage.Candidate{Name: m.get("name").text(), Facility: m.get("facility").text()}
	if p := b.position(m.get("position")); p != nil {
		c.At = *p
	}
	if c.Facility != "" {
		f, ok := b.region.Facilities.Get(c.Facility)
		if !ok {
			b.fault(m.get("facility"), "no facility has the id %q: GET /v1/facilities lists them", c.Facility)
			return c
		}
		c.At = f.Position
		if c.Name == "" {
			c.Name = f.Name
		}
	}
	if c.Name == "" {
		c.Name = "candidate " + letters(n)
	}
	return c
}

// candidates asks the engine what contradicts the region with an asset at each candidate.
func (b *builder) candidates(m member, q *SitingRequest) {
	plan := coverage.Plan{Situation: q.Situation}
	for i := range q.Candidates {
		plan = plan.Adding(q.Candidates[i].Asset(q.Like, i))
	}
	var refused *routing.QuestionError
	if _, err := b.region.Engine.Batch(plan.Situation.Question); !errors.As(err, &refused) {
		return
	}
	before := len(q.Situation.Question.Assets.Add)
	items := m.items()
	for _, f := range refused.Faults {
		pointer := m.pointer
		if rest, ok := strings.CutPrefix(f.Pointer, "/assets/add/"); ok {
			number, _, _ := strings.Cut(rest, "/")
			if i, err := strconv.Atoi(number); err == nil && i >= before && i-before < len(items) {
				pointer = items[i-before].pointer
			}
		}
		b.faults = append(b.faults, strictjson.Fault{Pointer: pointer, Detail: f.Detail})
	}
}

// letters numbers as columns of a table are: A to Z, then AA.
func letters(n int) string {
	if n >= 26 {
		return letters(n/26-1) + letters(n%26)
	}
	return string(rune('A' + n))
}

// like is the asset that new ones are like.
func (b *builder) like(m member) routing.Asset {
	for _, a := range b.region.Fleet.Assets() {
		if a.ID == m.text() {
			return a
		}
	}
	if m.text() != "" {
		b.fault(m, "no asset has the id %q: GET /v1/assets lists them", m.text())
	}
	return routing.Asset{}
}
