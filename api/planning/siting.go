package planning

import (
	"context"
	"fmt"
	"math"
	"time"

	"surgeonward/api/job"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
	"surgeonward/routing/siting"
)

// The objectives, in the words of the schema.
const (
	MostPeople    = "most_people"
	LeastMeanTime = "least_mean_time"
	LeastWorst    = "least_worst_time"
	FewestSites   = "fewest_sites"
)

// Choice is the figures of a question of siting.
type Choice struct {
	wire.Head
	Places    Places    `json:"places"`
	Objective string    `json:"objective"`
	Unit      string    `json:"unit"` // of value, bound, adds and worse
	WithinS   *float64  `json:"within_s,omitempty"`
	Found     bool      `json:"found"` // false: no choice does what was asked for
	Chosen    []Chosen  `json:"chosen"`
	Value     *float64  `json:"value"`
	Bound     *float64  `json:"bound"`   // no choice is better
	Gap       float64   `json:"gap"`     // share of the value between the two; 0: proven the best
	Stopped   bool      `json:"stopped"` // the search ended before the gap that was asked for
	Others    []Other   `json:"alternatives"`
	Before    Situation `json:"before"`
	After     Situation `json:"after"`
	Changes   []Change  `json:"changes"`
	MeanGainS *float64  `json:"mean_gain_s"`
}

// Chosen is one chosen site, the one that counts most first.
type Chosen struct {
	Name     string     `json:"name"`
	Position [2]float64 `json:"position"`
	Facility string     `json:"facility,omitempty"`
	Asset    string     `json:"asset"` // id of the new one in the files
	Adds     *float64   `json:"adds"`  // how much worse the value is without it
}

// Other is a choice with one site elsewhere.
type Other struct {
	Instead string   `json:"instead_of"`
	Name    string   `json:"name"`
	Value   *float64 `json:"value"`
	Worse   *float64 `json:"worse"`
}

// Change is who comes within a time, and who falls out of it.
type Change struct {
	WithinS float64 `json:"within_s"`
	Before  float64 `json:"people_before"`
	After   float64 `json:"people_after"`
	Gained  float64 `json:"people_gained"`
	Lost    float64 `json:"people_lost"`
}

// The search stops after so long with the gap that is left, and lists alternatives whose
// value is worse by at most that share.
const (
	searchTime   = 2 * time.Minute
	alternatives = 5
	slack        = 0.05
)

// Siting makes the files of a question of siting: the times of each candidate by the engine, the
// choice among them, and the engine's answer with the whole choice in place.
func Siting(ctx context.Context, r *region.Region, q *wire.SitingRequest, build string, run Run, progress job.Progress) ([]job.File, error) {
	d, err := demand(q.Places, len(q.Candidates)+2)
	if err != nil {
		return nil, err
	}
	cells := len(d.Cells)
	total := cells * (len(q.Candidates) + 2)
	plan := coverage.Plan{Engine: r.Engine, Demand: d, Situation: q.Situation, Workers: workers}
	told := func(before int, word string) func(int, int) {
		return func(n, _ int) { progress(before+n, total, word) }
	}
	plan.Progress = told(0, "looking at the present")
	plans := []coverage.Plan{plan}
	for j := range q.Candidates {
		with := plan.Adding(q.Candidates[j].Asset(q.Like, j))
		with.Progress = told((j+1)*cells, "looking at each candidate")
		plans = append(plans, with)
	}
	var before *coverage.Result
	times := make([][]float64, len(q.Candidates))
	err = run(ctx, plans, func(i int, result *coverage.Result) error {
		if i == 0 {
			before = result
		} else {
			times[i-1] = result.Times()
		}
		return nil
	})
	if err != nil {
		return nil, refused(err)
	}
	done := cells * (len(q.Candidates) + 1)
	progress(done, total, "choosing")
	p := &siting.Problem{TimesS: times, Count: q.Count}
	for i := range d.Cells {
		p.Weights = append(p.Weights, d.Cells[i].People)
	}
	out := Choice{Head: wire.HeadOf(q.Situation.Question.At, r, build), Places: placesOf(d), Objective: q.Objective, Chosen: []Chosen{}, Others: []Other{}, Changes: []Change{}}
	sites, err := out.choose(ctx, p, q)
	if err != nil {
		return nil, err
	}
	var marks []coverage.Mark
	for _, j := range sites {
		c := &q.Candidates[j]
		plan = plan.Adding(c.Asset(q.Like, j))
		marks = append(marks, coverage.Mark{Name: c.Name, At: c.At, Kind: coverage.MarkChoice})
	}
	plan.Progress = told(done, "looking at the choice as a whole")
	after, err := run.one(ctx, plan)
	if err != nil {
		return nil, refused(err)
	}
	difference, err := coverage.Compare(before, after)
	if err != nil {
		return nil, err
	}
	out.Before, out.After = situationOf(before, q.Situation, 0), situationOf(after, q.Situation, 0)
	for _, c := range difference.Bands {
		out.Changes = append(out.Changes, Change{c.WithinS, thousandth(c.Before), thousandth(c.After), thousandth(c.Gained), thousandth(c.Lost)})
	}
	out.MeanGainS = whole(difference.MeanGainS())
	made := &files{region: r, build: build}
	if out.Before.Results, err = made.ofResult("before-", "at present", before, nil, nil); err != nil {
		return nil, err
	}
	if out.After.Results, err = made.ofResult("after-", fmt.Sprintf("with %d more", len(sites)), after, difference, marks); err != nil {
		return nil, err
	}
	return made.with(out)
}

// choose finds the sites and says how good they are and why.
func (c *Choice) choose(ctx context.Context, p *siting.Problem, q *wire.SitingRequest) ([]int, error) {
	searching, cancel := context.WithTimeout(ctx, searchTime)
	defer cancel()
	effort := siting.Effort{Gap: q.Gap}
	var s siting.Solution
	var value siting.Value
	var err error
	scale, greater := 1.0, false
	if q.WithinS > 0 {
		c.WithinS = &q.WithinS
	}
	switch q.Objective {
	case MostPeople:
		s, err = siting.MaxCover(searching, p, q.WithinS, effort)
		value, greater, c.Unit = p.Covered(q.WithinS), true, "people"
	case FewestSites:
		s, err = siting.FullCover(searching, p, q.WithinS, effort)
		c.Unit = "sites"
	case LeastWorst:
		s, err = siting.WorstTime(searching, p, effort)
		value, c.Unit = p.Longest(), "seconds"
	default:
		s, err = siting.MeanTime(searching, p, q.LostS, effort)
		value, c.Unit = p.Seconds(q.LostS), "seconds"
		if total := p.Total(); total > 0 {
			scale = 1 / total // a mean
		}
	}
	if err != nil {
		return nil, &job.Fault{Detail: err.Error()}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	c.Found, c.Gap, c.Stopped = s.Found, s.Gap(), searching.Err() != nil && s.Gap() > q.Gap
	if !s.Found {
		return nil, nil
	}
	c.Value, c.Bound = finite(s.Value*scale), finite(s.Bound*scale)
	c.explain(p, s.Sites, value, greater, scale, q.Candidates)
	return s.Sites, nil
}

// explain names the sites. How many are needed has no gains: without one, somebody is left out.
func (c *Choice) explain(p *siting.Problem, sites []int, value siting.Value, greater bool, scale float64, at []coverage.Candidate) {
	name := func(j int, adds *float64) Chosen {
		return Chosen{at[j].Name, [2]float64{at[j].At.Lon(), at[j].At.Lat()}, at[j].Facility, at[j].Asset(routing.Asset{}, j).ID, adds}
	}
	if value == nil {
		for _, j := range sites {
			c.Chosen = append(c.Chosen, name(j, nil))
		}
		return
	}
	why := p.Explain(sites, value, greater, slack, alternatives)
	for _, g := range why.Gains {
		c.Chosen = append(c.Chosen, name(g.Site, finite(g.Adds*scale)))
	}
	for _, o := range why.Alternatives {
		c.Others = append(c.Others, Other{at[o.Out].Name, at[o.In].Name, finite(o.Value * scale), finite(o.Worse * scale)})
	}
}

// finite is a number to a thousandth; nil where it is none.
func finite(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	v = thousandth(v)
	return &v
}
