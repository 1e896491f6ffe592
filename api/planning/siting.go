package planning

import (
	"context"
	"math"
	"time"

	"surgeonward/api/job"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/routing/coverage"
	"surgeonward/routing/siting"
)

// The objectives, in the words of the schema.
const (
	MostPeople    = "most_people"
	LeastMeanTime = "least_mean_time"
	LeastWorst    = "least_worst_time"
	FewestSites   = "fewest_sites"
	// MostPeopleBusy counts each person by the chance that somebody within the time is free.
	MostPeopleBusy = "most_people_busy"
)

// Choice is the figures of a question of siting.
type Choice struct {
	wire.Head
	Places    Places    `json:"places"`
	What      string    `json:"what"`
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
	BusyShare *float64  `json:"busy_share,omitempty"` // that was reckoned with
	Sure      *float64  `json:"sure,omitempty"`       // people within the time whoever is busy, in the value of every choice
	Busy      *Busy     `json:"busy,omitempty"`       // with the choice in place, by the calls that were given
}

// Chosen is one chosen site, the one that counts most first.
type Chosen struct {
	Name     string     `json:"name"`
	Position [2]float64 `json:"position"`
	Facility string     `json:"facility,omitempty"`
	Asset    string     `json:"asset,omitempty"` // id of the new one in the files
	Units    int        `json:"units"`           // how many stand there
	Stays    string     `json:"stays,omitempty"` // id of the asset that moves which has its base there now
	Adds     *float64   `json:"adds"`            // how much worse the value is without it
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
	d, err := demand(q.Places, roundsOf(q))
	if err != nil {
		return nil, err
	}
	begun, all := 0, roundsOf(q)*len(d.Cells)
	told := func(rounds int, word string) func(int, int) { // of the next rounds over all cells
		before := begun
		begun += rounds * len(d.Cells)
		return func(n, _ int) { progress(before+n, all, word) }
	}
	plan := coverage.Plan{Engine: r.Engine, Demand: d, Situation: q.Situation, Workers: workers}
	l, err := LayOut(r, q, plan)
	if err != nil {
		return nil, &job.Fault{Detail: err.Error()}
	}
	for i := range l.Plans {
		l.Plans[i].Progress = told(1, l.word(i))
	}
	var before *coverage.Result
	times := make([][]float64, len(l.Plans))
	err = run(ctx, l.Plans, func(i int, result *coverage.Result) error {
		if i == 0 {
			before = result
		}
		times[i] = result.Times()
		return nil
	})
	if err != nil {
		return nil, refused(err)
	}
	share := q.BusyShare
	if q.Busy != nil {
		plan.Progress = told(q.Busy.Depth, "looking at who is sent next")
		if share, err = l.share(ctx, plan, before); err != nil {
			return nil, refused(busyFault(err))
		}
	}
	progress(begun, all, "choosing")
	p, sure := l.Problem(times)
	out := Choice{Head: wire.HeadOf(q.Situation.Question.At, r, build), Places: placesOf(d), What: q.What, Objective: q.Objective,
		Chosen: []Chosen{}, Others: []Other{}, Changes: []Change{}}
	sites, err := out.choose(ctx, l, p, share, sure)
	if err != nil {
		return nil, err
	}
	whole, err := l.Whole(sites)
	if err != nil {
		return nil, &job.Fault{Detail: err.Error()}
	}
	whole.Progress = told(1, "looking at the choice as a whole")
	after, err := run.one(ctx, whole)
	if err != nil {
		return nil, refused(err)
	}
	difference, err := coverage.Compare(before, after)
	if err != nil {
		return nil, err
	}
	out.changes(difference, q)
	made := &files{region: r, build: build}
	if out.Before.Results, err = made.ofResult("before-", "at present", before, nil, nil); err != nil {
		return nil, err
	}
	if q.Busy != nil {
		whole.Progress = told(q.Busy.Depth, "looking at who is sent next then")
		calls := *q.Busy
		calls.Assets = l.busyThen(sites)
		if made.busy, err = coverage.RunBusy(ctx, whole, after, calls); err != nil {
			return nil, refused(busyFault(err))
		}
		if out.Busy, err = busyOf([]*coverage.Busy{made.busy}, made.name); err != nil {
			return nil, err
		}
	}
	if out.After.Results, err = made.ofResult("after-", l.title(len(sites)), after, difference, l.marks(sites)); err != nil {
		return nil, err
	}
	return made.with(out)
}

// roundsOf is how often all cells are looked at.
func roundsOf(q *wire.SitingRequest) int {
	rounds := len(q.Candidates) + 2
	if q.Objective == MostPeopleBusy {
		rounds += 1 + len(q.Present())
	} else if len(q.Move) > 0 {
		rounds++
	}
	if q.Busy != nil {
		rounds += 2 * q.Busy.Depth
	}
	return rounds
}

// changes fills in the figures of the present, of the choice, and of what is between them.
func (c *Choice) changes(d *coverage.Difference, q *wire.SitingRequest) {
	c.Before, c.After = situationOf(d.Before, q.Situation, 0), situationOf(d.After, q.Situation, 0)
	for _, b := range d.Bands {
		c.Changes = append(c.Changes, Change{b.WithinS, thousandth(b.Before), thousandth(b.After), thousandth(b.Gained), thousandth(b.Lost)})
	}
	c.MeanGainS = whole(d.MeanGainS())
}

// choose finds the candidates and says how good they are and why; each stands as often as it
// has units.
func (c *Choice) choose(ctx context.Context, l *Layout, p *siting.Problem, share, sure float64) ([]int, error) {
	searching, cancel := context.WithTimeout(ctx, searchTime)
	defer cancel()
	q, effort := l.q, siting.Effort{Gap: l.q.Gap}
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
	case MostPeopleBusy:
		s, err = siting.ExpectedCover(searching, p, q.WithinS, share, effort)
		s.Value, s.Bound = s.Value+sure, s.Bound+sure
		of := p.ExpectedCovered(q.WithinS, share)
		value, greater, c.Unit = func(sites []int) float64 { return sure + of(sites) }, true, "people"
		c.BusyShare, c.Sure = &share, finite(sure)
	case FewestSites:
		s, err = siting.FullCover(searching, p, q.WithinS, effort)
		s.Value, s.Bound = s.Value-float64(len(p.Keep)), s.Bound-float64(len(p.Keep)) // what stays is no site
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
	if err = ctx.Err(); err != nil {
		return nil, err
	}
	c.Found, c.Gap, c.Stopped = s.Found, s.Gap(), searching.Err() != nil && s.Gap() > q.Gap
	if !s.Found {
		return nil, nil
	}
	c.Value, c.Bound = finite(s.Value*scale), finite(s.Bound*scale)
	c.explain(l, p, s.Sites, value, greater, scale)
	return l.chosen(s.Sites), nil
}

// explain names the sites. How many are needed has no gains: without one, somebody is left out.
func (c *Choice) explain(l *Layout, p *siting.Problem, sites []int, value siting.Value, greater bool, scale float64) {
	if value == nil {
		for _, j := range l.chosen(sites) {
			c.Chosen = append(c.Chosen, l.describe(j, sites, nil))
		}
		return
	}
	why := p.Explain(sites, value, greater, slack, alternatives)
	for _, g := range why.Gains {
		if g.Site < len(l.Candidates) {
			c.Chosen = append(c.Chosen, l.describe(g.Site, sites, finite(g.Adds*scale)))
		}
	}
	for _, o := range why.Alternatives {
		c.Others = append(c.Others, Other{l.Candidates[o.Out].Name, l.Candidates[o.In].Name, finite(o.Value * scale), finite(o.Worse * scale)})
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
