package routing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
)

// QuestionError says everything that is wrong with a question. Pointers lead
// into the JSON form of the question.
type QuestionError struct{ Faults []strictjson.Fault }

func (e *QuestionError) Error() string {
	parts := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		parts[i] = f.Pointer + ": " + f.Detail
	}
	return "the question has faults: " + strings.Join(parts, "; ")
}

// checker collects the faults of a question against a region.
type checker struct {
	e      *Engine
	q      *Question
	faults []strictjson.Fault
}

func (c *checker) fault(pointer, format string, args ...any) {
	c.faults = append(c.faults, strictjson.Fault{Pointer: pointer, Detail: fmt.Sprintf(format, args...)})
}

// check fills in what follows from the region (a transfer's position, the
// default need) and returns every contradiction at once.
func (e *Engine) check(q *Question) []strictjson.Fault {
	c := &checker{e: e, q: q}
	if q.At.IsZero() {
		c.fault("/at", "the decision time is missing")
	}
	c.scene()
	c.patient()
	c.assets()
	if q.Limit < 0 {
		c.fault("/limit", "must be at least 0 (0: all)")
	}
	if !(q.TargetS >= 0 && q.TargetS <= facilities.MaxTiming) {
		c.fault("/target_s", "must be a time in seconds, from 0 (none) to %.0f", facilities.MaxTiming)
	}
	c.conditions()
	c.clock()
	c.facts()
	return c.faults
}

func (c *checker) conditions() {
	g := c.q.Conditions.Given
	if g.Wind != nil {
		if err := g.Wind.Check(); err != nil {
			c.fault("/conditions/wind", "%s", err)
		}
	}
	c.height("/conditions/ceiling_ft", g.CeilingM)
	c.height("/conditions/visibility_m", g.VisibilityM)
}

func (c *checker) height(pointer string, m *float64) {
	if m != nil && !(*m >= 0 && *m <= 100_000) {
		c.fault(pointer, "must be a length from 0 to 100 km")
	}
}

func (c *checker) scene() {
	s := &c.q.Scene
	if s.Facility != "" {
		f, ok := c.e.Facilities.Get(s.Facility)
		switch {
		case !ok:
			c.fault("/scene/facility", "no facility %q%s", s.Facility, c.nearest(s.Facility, c.e.hospitalIDs()))
		case f.Kind != facilities.Hospital:
			c.fault("/scene/facility", "%q is a %s: a transfer starts at a hospital", s.Facility, plain(string(f.Kind)))
		default:
			s.Position = f.Position
		}
	}
	if err := geo.Check(s.Position); err != nil {
		c.fault("/scene/position", "%s", err)
	}
	if math.IsNaN(s.UncertaintyM) || s.UncertaintyM < 0 || math.IsInf(s.UncertaintyM, 0) {
		c.fault("/scene/uncertainty_m", "must be a distance in metres, 0 or more")
	}
	landings := []string{string(LandingPossible), string(LandingImpossible), string(LandingUnknown)}
	if s.Landing == "" {
		s.Landing = LandingUnknown
	}
	if !slices.Contains(landings, string(s.Landing)) {
		c.fault("/scene/landing", "must be possible, impossible or unknown")
	}
	c.timing("/scene/carry", s.Carry)
	if !(s.CarryM >= 0 && s.CarryM <= 20_000) {
		c.fault("/scene/carry/distance_m", "must be from 0 to 20 000 m")
	}
}

func (c *checker) patient() {
	p := &c.q.Patient
	if len(p.Needs) == 0 {
		p.Needs = []string{"cardiothoracic_surgery"}
	}
	if p.AgeYears != nil && !(*p.AgeYears >= 0 && *p.AgeYears <= 130) {
		c.fault("/patient/age_years", "must be from 0 to 130 years")
	}
	known := c.e.capabilities()
	for i, n := range p.Needs {
		if !slices.Contains(known, n) {
			c.fault(fmt.Sprintf("/patient/needs/%d", i), "no capability %q is known%s", n, c.nearest(n, known))
		}
	}
	if skills := c.e.skills(c.q); p.Escort != "" && !slices.Contains(skills, p.Escort) {
		c.fault("/patient/escort", "no crew has the skill %q%s", p.Escort, c.nearest(p.Escort, skills))
	}
	c.timing("/patient/ready_in", p.ReadyIn)
	c.timing("/patient/stop", p.Stop)
}

func (c *checker) assets() {
	ids := make([]string, 0, len(c.e.Fleet.assets))
	for i := range c.e.Fleet.assets {
		ids = append(ids, c.e.Fleet.assets[i].ID)
	}
	for i := range c.q.Assets.Add {
		a := &c.q.Assets.Add[i]
		at := fmt.Sprintf("/assets/add/%d", i)
		if slices.Contains(ids, a.ID) {
			c.fault(at+"/id", "there is already an asset %q: use assets.states to change it", a.ID)
		}
		ids = append(ids, a.ID)
		if _, ok := c.e.Facilities.Get(a.Base); a.Base != "" && !ok {
			c.fault(at+"/base", "no facility %q", a.Base)
		}
		if a.Base == "" && a.Position == nil && a.State != AtScene {
			c.fault(at, "needs a base or a position")
		}
	}
	for i, id := range c.q.Assets.Only {
		if !slices.Contains(ids, id) {
			c.fault(fmt.Sprintf("/assets/only/%d", i), "no asset %q%s", id, c.nearest(id, ids))
		}
	}
	seen := map[string]bool{}
	for i, s := range c.q.Assets.States {
		at := fmt.Sprintf("/assets/states/%d", i)
		if !slices.Contains(ids, s.Asset) {
			c.fault(at+"/asset", "no asset %q%s", s.Asset, c.nearest(s.Asset, ids))
		}
		if seen[s.Asset] {
			c.fault(at+"/asset", "the state of %q is given twice", s.Asset)
		}
		seen[s.Asset] = true
		if s.FuelS != nil && !(*s.FuelS >= 0 && *s.FuelS <= facilities.MaxTiming) {
			c.fault(at+"/fuel_s", "must be a flying time in seconds, from 0 to %.0f", facilities.MaxTiming)
		}
		if i := slices.IndexFunc(c.e.Fleet.assets, func(a Asset) bool { return a.ID == s.Asset }); i >= 0 && s.FuelS != nil {
			if a := &c.e.Fleet.assets[i]; *s.FuelS > a.EnduranceS {
				c.fault(at+"/fuel_s", "%s has an endurance of %.0f s: state that in the fleet file, or less fuel", a.Name, a.EnduranceS)
			}
		}
		if s.State == Moving && s.Position == nil {
			c.fault(at+"/position", "a moving asset needs its position")
		}
		if s.Position != nil {
			if err := geo.Check(*s.Position); err != nil {
				c.fault(at+"/position", "%s", err)
			}
		}
	}
}

func (c *checker) timing(pointer string, t *facilities.Timing) {
	if t != nil && !t.Valid() {
		c.fault(pointer, "needs 0 <= typical_s <= slow_s <= %.0f", facilities.MaxTiming)
	}
}

func (c *checker) nearest(word string, known []string) string {
	if near, ok := strictjson.Nearest(word, known); ok {
		return fmt.Sprintf(": did you mean %q?", near)
	}
	return ""
}

func (e *Engine) hospitalIDs() (ids []string) {
	for _, f := range e.Facilities.OfKind(facilities.Hospital) {
		ids = append(ids, f.ID)
	}
	return ids
}

// capabilities are the words a patient's needs may use: the vocabulary, and
// whatever a hospital of the region lists.
func (e *Engine) capabilities() []string {
	words := vocabulary()
	for _, f := range e.Facilities.OfKind(facilities.Hospital) {
		words = append(words, f.Capabilities...)
	}
	slices.Sort(words)
	return slices.Compact(words)
}

func (e *Engine) skills(q *Question) (words []string) {
	for _, assets := range [][]Asset{e.Fleet.assets, q.Assets.Add} {
		for i := range assets {
			words = append(words, assets[i].Skills...)
		}
	}
	slices.Sort(words)
	return slices.Compact(words)
}
