package routing

import (
	"context"
	"math"
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
// circle times the region's road factor; set Road to an estimator that knows
// the region's water and mountains where there is one.
func NewEngine(list *facilities.List, fleet *Fleet, settings *Settings) *Engine {
	return &Engine{Facilities: list, Fleet: fleet, Settings: settings,
		Road: road.GreatCircle{Factor: settings.RoadFactor}}
}

// Options works out every way from the scene to a surgeon. A question that
// contradicts the region gives a *QuestionError with all its faults; a
// question nobody can help with gives an Answer without options and with
// every reason.
func (e *Engine) Options(ctx context.Context, q Question) (Answer, error) {
	p, cautions, err := e.problem(q)
	if err != nil {
		return Answer{}, err
	}
	more := p.needs()
	ans := Answer{At: p.At, Weather: p.stationWeather(), Scene: p.Scene, Cautions: slices.Concat(cautions, more), Night: sun.IsNight(p.Scene.Position, p.At)}
	s := p.newSearch()
	for i := range s.from {
		if err := ctx.Err(); err != nil {
			return Answer{}, err
		}
		for j := range s.to {
			s.pair(&s.from[i], &s.to[j])
		}
	}
	c, err := s.contest(ctx)
	if err != nil {
		return Answer{}, err
	}
	ans.NotPossible, ans.Found, ans.Sampled = s.notPossible, len(s.found), len(c.all)
	w := &network{keep: true}
	for i := range c.all {
		o := &c.all[i]
		if i >= c.shown {
			ans.QuickestOther += o.spread.Quickest
			continue
		}
		p.build(&o.way, w)
		ans.Options = append(ans.Options, p.option(i+1, o, w))
	}
	if c.shown > 0 {
		s.outlook(&ans, c)
	}
	return ans, nil
}

// Check returns everything that is wrong with a question for this region, as
// a *QuestionError, without answering it.
func (e *Engine) Check(q Question) error {
	_, _, err := e.problem(q)
	return err
}

// problem checks the question and reads what it brings along.
func (e *Engine) problem(q Question) (*problem, []string, error) {
	faults := e.check(&q)
	w, unread, cautions := e.readWeather(&q)
	if faults = append(faults, unread...); len(faults) > 0 {
		return nil, nil, &QuestionError{Faults: faults}
	}
	if w.Empty() {
		cautions = append(cautions, "no weather was given: flights are timed in still air, and minima are not checked")
	}
	p := &problem{Engine: e, Question: q, weather: w, drives: map[driveKey]trip{}, cutS: math.Inf(1)}
	return p, append(cautions, p.factCautions()...), nil
}

// search is the work on one question: every asset against every hospital, in
// every shape.
type search struct {
	*problem
	from        []approach
	to          []destination
	teams       []destination // those whose surgeons could travel
	meets       *meetings
	w           network
	found       []candidate
	notPossible []NotPossible
	cuts        bool // only the best total is wanted
}

func (p *problem) newSearch() *search {
	var units []unit
	s := &search{problem: p}
	if p.shared != nil {
		units, s.to, s.teams = p.shared.units, p.shared.to, p.shared.teams
	} else {
		units, s.to = p.units(), p.destinations(p.wants)
		s.teams = teamsOf(s.to)
	}
	s.from = p.approaches(units)
	s.meets = p.newMeetings(units, s.from)
	return s
}

// pair looks for every shape in which the asset brings the patient to the
// hospital. The shapes that need more than the asset itself are tried only
// where neither asset nor hospital is ruled out as such: the plain shape says
// why they are.
func (s *search) pair(a *approach, d *destination) {
	s.alone(a, d)
	s.joint(a, d)
}

// alone is the shape that the asset is named after.
func (s *search) alone(a *approach, d *destination) {
	if a.Kind == Aeroplane {
		s.record(a, d, ByAeroplane, func() (candidate, []Reason) { return s.byAeroplane(a, d) })
	} else {
		s.record(a, d, shapeOf(a.Asset), func() (candidate, []Reason) { return s.direct(a, d) })
	}
}

// joint is the shapes that need another vehicle or a stop.
func (s *search) joint(a *approach, d *destination) {
	if len(a.unit.reason) > 0 || a.never || !takesPatients(d) || s.patientAt() != "" {
		return
	}
	if len(d.reasons) == 0 && d.readyS() <= s.cutS {
		if a.Kind == Helicopter && d.Pad != nil && s.Scene.Facility == "" && a.State != AtScene {
			s.record(a, d, Rendezvous, func() (candidate, []Reason) { return s.meets.rendezvous(a.unit, d, &s.w) })
		}
		if a.Kind == Ambulance || a.Kind == Helicopter && d.Pad != nil {
			s.record(a, d, ViaHospital, func() (candidate, []Reason) { return s.meets.via(a, d, s.to, &s.w) })
		}
	}
	if hosts(d.Facility) && a.Kind != Aeroplane {
		s.record(a, d, SurgeonTravels, func() (candidate, []Reason) { return s.meets.surgeonTravels(a.unit, d, s.teams, &s.w) })
	}
}

// takesPatients reports whether the hospital takes patients who need a theatre
// at all.
func takesPatients(d *destination) bool {
	return !hasReason(d.reasons, ReasonNotAccepting) && !hasReason(d.reasons, ReasonTheatreAway)
}

// teamsOf are the hospitals whose surgeons could travel: accepting patients
// there does not matter.
func teamsOf(to []destination) []destination {
	return slices.DeleteFunc(slices.Clone(to), func(d destination) bool {
		return hasReason(d.reasons, ReasonLacksCapability) || hasReason(d.reasons, ReasonSurgeonAbsent)
	})
}

func (s *search) record(a *approach, d *destination, shape Shape, find func() (candidate, []Reason)) {
	c, reasons := find()
	if len(reasons) > 0 {
		if s.brief {
			return
		}
		s.notPossible = append(s.notPossible, NotPossible{Asset: a.ID, Destination: d.ID, Shape: shape, Reasons: reasons})
		return
	}
	if c.way.dest == nil { // it was cut
		return
	}
	s.found = append(s.found, c)
	if s.cuts {
		s.cutS = min(s.cutS, c.total.TypicalS)
	}
}

// direct is the asset alone, by road or by air, with a stop for fuel where
// nothing else is in the way.
func (s *search) direct(a *approach, d *destination) (candidate, []Reason) {
	y := way{shape: shapeOf(a.Asset), carrier: a, dest: d}
	reasons := slices.Concat(a.reasons, d.reasons)
	if !a.Carries() {
		return candidate{}, append(reasons, reason(ReasonCarriesNoPatient, "a %s carries no patient", plain(string(a.Kind))))
	}
	if a.Flies() && d.Pad == nil && s.patientAt() != d.ID {
		reasons = append(reasons, reason(ReasonNoPad, "%s has no pad", d.Name))
	}
	escort, why := s.escortFor(s.from, a)
	y.escort = escort
	reasons = append(reasons, why...)
	if a.timed && (!a.Flies() || d.Pad != nil || s.patientAt() == d.ID) {
		reasons = distinct(append(reasons, s.build(&y, &s.w)...))
	}
	if len(reasons) == 1 && reasons[0].Code == ReasonBeyondEndurance {
		return s.withFuelStop(y, reasons)
	}
	if len(reasons) > 0 {
		return candidate{}, reasons
	}
	return s.candidate(&y, s.w.total()), nil
}

// byAeroplane is the aeroplane's shape; what rules asset or hospital out as
// such comes first.
func (s *search) byAeroplane(a *approach, d *destination) (candidate, []Reason) {
	reasons := slices.Concat(a.unit.reason, d.reasons)
	if s.patientAt() == d.ID {
		reasons = append(reasons, s.onBoard(s.aboard()))
	}
	if len(reasons) > 0 {
		return candidate{}, reasons
	}
	return s.meets.aeroplane(a.unit, d, &s.w)
}

// escortFor finds who rides along when the carrier's own crew lacks the skill
// the patient must be accompanied by: whoever can be at the patient soonest.
func (p *problem) escortFor(from []approach, carrier *approach) (*approach, []Reason) {
	skill := p.Patient.Escort
	if skill == "" || carrier.HasSkill(skill) || carrier.aboard { // whoever rides along is on board
		return nil, nil
	}
	var reasons []Reason
	if carrier.EscortSeats < 1 {
		reasons = append(reasons, reason(ReasonNoSeat, "no seat for the %s who must ride along", plain(skill)))
	}
	var best *approach
	for i := range from {
		a := &from[i]
		if a.unit == carrier.unit || !a.HasSkill(skill) || len(a.reasons) > 0 ||
			a.Flies() && carrier.Flies() { // one aircraft at a time
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

// shapeOf is the shape in which the asset goes alone.
func shapeOf(a *Asset) Shape {
	if a.Flies() {
		return ByAir
	}
	return ByRoad
}

// candidate is a way that works, with its total; the slow total is a bound
// until the candidate is sampled.
type candidate struct {
	way   way
	total facilities.Timing
	id    string // in brief it is left out until it is asked for
}

func (p *problem) candidate(y *way, total facilities.Timing) candidate {
	c := candidate{way: *y, total: total}
	if !p.brief {
		c.id = y.id()
	}
	return c
}

// name is the candidate's id.
func (c *candidate) name() string {
	if c.id == "" {
		return c.way.id()
	}
	return c.id
}

func sortAssets(assets []Asset) {
	slices.SortFunc(assets, func(a, b Asset) int { return strings.Compare(a.ID, b.ID) })
}
