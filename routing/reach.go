package routing

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
)

// DefaultReachSkill is the skill of a crew that can open the chest.
const DefaultReachSkill = "thoracotomy"

// ReachQuestion is what is asked beyond the Question: by when the chest must be
// open, and which skill that takes.
type ReachQuestion struct {
	OutputLostAt time.Time // when the heart's output was lost; zero: not stated, counted from the decision time
	Window       string    // id of a shipped window; empty: the default one, or WindowS
	WindowS      float64   // a window of its own in seconds; 0: a shipped one
	Skill        string    // empty: DefaultReachSkill
}

// Reach says which teams can be with the patient, when, and whether the chest
// can be open within the window. Every asset is in it once: in Teams where its
// crew has the skill, in Others where it has not. Both are in order of time,
// those that cannot come last, then by id.
type Reach struct {
	At           time.Time
	Scene        Scene
	OutputLostAt time.Time
	Window       Window
	Closes       time.Time // the end of the window
	Skill        string
	OpenChest    Allowance // the time to open it, counted in; a team's own where its asset has one
	Chance       float64   // that any of Teams has the chest open within the window, in the same draws; 0: none can
	Headline     string    // who is first and by how much, or that nobody can
	Teams        []ReachTeam
	Others       []ReachTeam
	Cautions     []string
	Weather      []StationWeather
}

// ReachTeam is one asset's crew on its way to the patient. Times, margins and
// the chance are zero where it cannot come, those of the opening also where it
// lacks the skill. Slow is what 9 in 10 draws are done by, in which whatever
// has the same cause varies together, in one team and between teams, as in
// Spread.
type ReachTeam struct {
	Asset  string
	Name   string
	Kind   AssetKind
	Skills []string

	Plan            Plan              // its activities, scheduled at their typical durations
	Arrives         facilities.Timing // with the patient, in seconds after the decision time
	WithPatient     time.Time
	WithPatientSlow time.Time

	Opens                    facilities.Timing // the chest is open, in seconds after the decision time
	Open, OpenSlow           time.Time
	MarginS, MarginSlowS     float64 // left of the window when the chest is open; negative: too late
	InWindow, InWindowIfSlow bool
	Chance                   float64 // that the chest is open within the window: the share of the draws in which it is

	Reasons  []Reason // why it cannot come; empty: it can
	Cautions []string
	Sentence string
}

// Can reports whether the team can come.
func (t *ReachTeam) Can() bool { return len(t.Reasons) == 0 }

// Reach works out when each team can be with the patient. Facts take the place
// of estimates, as in Options; with the patient under way on board a vehicle
// only its own crew is with them. A question that contradicts the region, or a
// window that is none, gives a *QuestionError with all its faults; a question
// in which nobody can come gives a Reach that says so, with every reason.
func (e *Engine) Reach(ctx context.Context, q Question, w ReachQuestion) (Reach, error) {
	r, p, cautions, err := e.reachProblem(q, w)
	if err != nil {
		return Reach{}, err
	}
	r.At, r.Scene, r.Cautions, r.Weather = p.At, p.Scene, cautions, p.stationWeather()
	r.OpenChest = e.Settings.Allowance("open_chest")
	if r.OutputLostAt.IsZero() {
		r.OutputLostAt = p.At
		r.Cautions = append(r.Cautions, "when output was lost is not stated: counted from the decision time")
	}
	if p.Scene.Carry == nil && p.Scene.CarryM == 0 {
		r.Cautions = append(r.Cautions, "no carry is stated: a vehicle at the scene is taken to stand beside the patient")
	}
	if p.underWay() {
		r.Cautions = append(r.Cautions, "who rides along on board "+p.assetName(p.aboard())+" is not known: a team that does is with the patient")
	}
	r.Closes = r.OutputLostAt.Add(seconds(r.Window.LimitS))
	units := p.units()
	d := newOpenings()
	for i := range units {
		if err := ctx.Err(); err != nil {
			return Reach{}, err
		}
		t := p.team(&units[i], &r, d)
		if units[i].HasSkill(r.Skill) {
			r.Teams = append(r.Teams, t)
		} else {
			r.Others = append(r.Others, t)
		}
	}
	sortTeams(r.Teams, p.RankBySlow)
	sortTeams(r.Others, p.RankBySlow)
	r.Chance = d.chance()
	r.Headline = r.headline(p.Settings.Zone)
	return r, nil
}

// CheckReach returns everything that is wrong with the question and with what
// is asked beyond it, as a *QuestionError, without answering it.
func (e *Engine) CheckReach(q Question, w ReachQuestion) error {
	_, _, _, err := e.reachProblem(q, w)
	return err
}

// reachProblem checks both parts of the question and begins the answer.
func (e *Engine) reachProblem(q Question, w ReachQuestion) (Reach, *problem, []string, error) {
	r := Reach{Skill: cmp.Or(w.Skill, DefaultReachSkill), OutputLostAt: w.OutputLostAt}
	faults := e.checkReach(&q, w, &r)
	p, cautions, err := e.problem(q)
	if bad := (*QuestionError)(nil); errors.As(err, &bad) {
		faults = slices.Concat(bad.Faults, faults)
	}
	if len(faults) > 0 {
		return Reach{}, nil, nil, &QuestionError{Faults: faults}
	}
	return r, p, cautions, err
}

// checkReach fills in the window and returns what is wrong with the question's
// second part.
func (e *Engine) checkReach(q *Question, w ReachQuestion, r *Reach) []strictjson.Fault {
	c := &checker{e: e, q: q}
	switch age := q.At.Sub(w.OutputLostAt).Seconds(); {
	case w.OutputLostAt.IsZero():
	case age < 0:
		c.fault("/output_lost_at", "is after the decision time: leave it out to count from the decision time")
	case age > facilities.MaxTiming:
		c.fault("/output_lost_at", "is more than %s before the decision time", minutes(facilities.MaxTiming))
	}
	r.Window = e.reachWindow(c, w)
	for i := range q.Facts {
		if f := &q.Facts[i]; f.Event == AtHospital || f.Event == HandedOver {
			c.fault(fmt.Sprintf("/happened/%d/event", i), "the patient is at a hospital, which opens the chest itself: ask who can reach them before that")
		}
	}
	known := slices.Concat(knownSkills, e.skills(q))
	if !slices.Contains(known, r.Skill) {
		c.fault("/skill", "no crew has the skill %s%s", strictjson.Quote(r.Skill), c.nearest(r.Skill, known))
	}
	return c.faults
}

func (e *Engine) reachWindow(c *checker, w ReachQuestion) Window {
	if w.WindowS != 0 {
		if w.Window != "" {
			c.fault("/window_s", "is given beside window: keep one")
		}
		if !(w.WindowS > 0 && w.WindowS <= facilities.MaxTiming) {
			c.fault("/window_s", "must be a duration in seconds, more than 0 and at most %.0f", facilities.MaxTiming)
		}
		return Window{ID: ownWindow, What: "stated in the question", LimitS: w.WindowS, AtLimit: LimitInside,
			Source: "the question", Date: c.q.At.UTC().Format(time.DateOnly), Mark: MarkAssumption,
			Note: "exactly the limit is inside"}
	}
	found, ok := window(cmp.Or(w.Window, DefaultWindow))
	if !ok {
		c.fault("/window", "no window %s%s: use one of %s, or window_s", strictjson.Quote(w.Window),
			c.nearest(w.Window, windowIDs()), strings.Join(windowIDs(), ", "))
	}
	return found
}

// ready is when the team has done what it can: the chest open, or with the
// patient where it lacks the skill.
func (t *ReachTeam) ready() facilities.Timing {
	if t.Opens.SlowS > 0 {
		return t.Opens
	}
	return t.Arrives
}

// sortTeams orders by when the teams are ready, those that cannot come last,
// then by id.
func sortTeams(teams []ReachTeam, bySlow bool) {
	key, other := typical, slow
	if bySlow {
		key, other = slow, typical
	}
	slices.SortFunc(teams, func(a, b ReachTeam) int {
		return cmp.Or(cmp.Compare(min(len(a.Reasons), 1), min(len(b.Reasons), 1)),
			cmp.Compare(key(a.ready()), key(b.ready())), cmp.Compare(other(a.ready()), other(b.ready())),
			strings.Compare(a.Asset, b.Asset))
	})
}

// headline says who is first and by how much, or that nobody can be in time.
func (r *Reach) headline(zone *time.Location) string {
	first := soonest(r.Teams)
	if first == nil {
		why := "no team has the skill " + plain(r.Skill)
		if len(r.Teams) > 0 {
			why = "no team with the skill " + plain(r.Skill) + " can be with the patient"
		}
		return "nobody can open the chest: " + why + r.firstThere(nil, zone)
	}
	within := "the window of " + spanDown(r.Window.LimitS)
	if !first.InWindow {
		can := "nobody can open"
		if r.Chance > 0 {
			can = "nobody is expected to open"
		}
		return fmt.Sprintf("%s the chest within %s: the first could, %s, at %s, %s%s%s",
			can, within, first.Name, timeOfDay(first.Open, zone), marginWords(first.MarginS, r.Window), r.chanceWords(first), r.firstThere(first, zone))
	}
	return fmt.Sprintf("%s is first: chest open at %s, %s of %s, %s if slow%s%s", first.Name, timeOfDay(first.Open, zone),
		marginWords(first.MarginS, r.Window), spanDown(r.Window.LimitS), marginWords(first.MarginSlowS, r.Window),
		r.chanceWords(first), r.firstThere(first, zone))
}

// chanceWords is the chance that the first team is in time, and that any team
// is where that is more; empty where nobody has a chance.
func (r *Reach) chanceWords(first *ReachTeam) string {
	if r.Chance == 0 {
		return ""
	}
	words := ", chance to be in time " + Percent(first.Chance)
	if all := Percent(r.Chance); all != Percent(first.Chance) {
		words += ", " + all + " with all who can come"
	}
	return words
}

// firstThere names a team that is with the patient before anybody who can open
// the chest.
func (r *Reach) firstThere(opener *ReachTeam, zone *time.Location) string {
	other := soonest(r.Others)
	if other == nil || opener != nil && other.Arrives.TypicalS >= opener.Arrives.TypicalS {
		return ""
	}
	return fmt.Sprintf("; first with the patient: %s at %s, which cannot open the chest", other.Name, timeOfDay(other.WithPatient, zone))
}

// soonest is the team that is typically ready first; nil: none can come.
func soonest(teams []ReachTeam) *ReachTeam {
	var best *ReachTeam
	for i := range teams {
		t := &teams[i]
		if t.Can() && (best == nil || t.ready().TypicalS < best.ready().TypicalS) {
			best = t
		}
	}
	return best
}
