package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"time"

	"surgeonward/api/region"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
	"surgeonward/routing/siting"
)

// sitingCommand says where more assets would do most.
type sitingCommand struct {
	planFlags `embed:""`

	Objective  string   `help:"What is to be best: ${enum}." enum:"max-cover,mean-time,worst-time,full-cover,expected-cover" default:"max-cover" group:"The choice:"`
	WithinMin  float64  `name:"within-min" help:"The time to a surgeon that covers." default:"45" placeholder:"MINUTES" group:"The choice:"`
	LostMin    float64  `name:"lost-min" help:"What somebody who is not reached counts as, for mean-time." default:"240" placeholder:"MINUTES" group:"The choice:"`
	Busy       float64  `help:"Share of the time that an asset is busy, for expected-cover." default:"0.3" placeholder:"SHARE" group:"The choice:"`
	Count      int      `help:"How many to put." default:"1" placeholder:"N" group:"The choice:"`
	Like       string   `help:"Which asset of the fleet the new ones are like (default: the first helicopter)." placeholder:"ASSET" group:"The choice:"`
	Move       bool     `help:"Move that asset: it is not where it is now." group:"The choice:"`
	Candidates string   `help:"CSV file of places (default: every base, airfield and landing site)." placeholder:"FILE" group:"The choice:"`
	Kind       []string `help:"Which of the region's facilities are candidates; repeat it for more: ${enum}." enum:"base,airfield,landing_site" default:"base,airfield,landing_site" placeholder:"KIND" group:"The choice:"`
	CandidKM   float64  `name:"candidates-grid-km" help:"The centres of a grid of this size instead, in kilometres." placeholder:"KM" group:"The choice:"`
	Gap        float64  `help:"Stop when no choice can be better by this share." placeholder:"SHARE" group:"The choice:"`
}

// Run times every candidate, chooses, and prints.
func (c *sitingCommand) Run(ctx context.Context, p *program) error {
	if err := errors.Join(c.check(), c.numbers()); err != nil {
		return err
	}
	r, _, err := loadRegion(c.Region)
	if err != nil {
		return err
	}
	like, err := c.like(r)
	if err != nil {
		return err
	}
	demand, words, notes, err := c.people(r)
	if err != nil {
		return err
	}
	if demand.People() == 0 {
		for i := range demand.Cells {
			demand.Cells[i].People = 1
		}
		notes = append(notes, "each cell counts one instead")
	}
	sites, err := c.candidates(r)
	if err != nil {
		return err
	}
	s, err := c.situation(r, time.Now())
	if err != nil {
		return err
	}
	today, err := coverage.Run(ctx, coverage.Plan{Engine: r.Engine, Demand: demand, Situation: s, Progress: p.progress(c.Quiet, "today")})
	if err != nil {
		return c.explain(err)
	}
	if c.Move {
		s = s.Away(like.ID)
	}
	page := terminal.SitingPage{Like: like.Name, Sites: sites, Before: today, CoveragePage: terminal.CoveragePage{
		Region: r.Name, Demonstration: r.Demonstration, Zone: r.Settings.Zone, Demand: words, Notes: append(notes,
			"the times are the engine's, one run with each candidate alone; at each cell the best of the chosen counts")}}
	if err := c.solve(ctx, p, coverage.Plan{Engine: r.Engine, Demand: demand, Situation: s}, like, &page); err != nil {
		return err
	}
	return terminal.WriteSiting(p.stdout, page, p.style(c.Width))
}

func (c *sitingCommand) numbers() error {
	for _, n := range []struct {
		flag           string
		value, low, up float64
	}{{"--within-min", c.WithinMin, 1, 2880}, {"--lost-min", c.LostMin, 1, 2880}, {"--busy", c.Busy, 0, 0.99},
		{"--count", float64(c.Count), 1, 50}, {"--gap", c.Gap, 0, 1}, {"--candidates-grid-km", c.CandidKM, 0, 200}} {
		if !(n.value >= n.low && n.value <= n.up) {
			return usageError{fmt.Errorf("%s: must be from %g to %g", n.flag, n.low, n.up)}
		}
	}
	return nil
}

// like is the asset that is put somewhere.
func (c *sitingCommand) like(r *region.Region) (routing.Asset, error) {
	for _, a := range r.Fleet.Assets() {
		if a.ID == c.Like || c.Like == "" && a.Kind == routing.Helicopter {
			return a, nil
		}
	}
	if c.Like == "" {
		return routing.Asset{}, errors.New("the fleet has no helicopter: name an asset with --like")
	}
	return routing.Asset{}, usageError{fmt.Errorf("--like: no asset %.40q in the fleet", c.Like)}
}

// candidates are the places to choose from.
func (c *sitingCommand) candidates(r *region.Region) (out []coverage.Candidate, err error) {
	switch {
	case c.Candidates != "" && c.CandidKM > 0:
		return nil, usageError{errors.New("--candidates and --candidates-grid-km: keep one")}
	case c.Candidates != "":
		data, err := os.ReadFile(c.Candidates)
		if err != nil {
			return nil, err
		}
		cells, err := coverage.DecodeCSV(data)
		for i, at := range cells {
			name := at.Name
			if name == "" {
				name = fmt.Sprintf("candidate %d", i+1)
			}
			out = append(out, coverage.Candidate{Name: name, At: at.At})
		}
		return out, inFile(c.Candidates, err)
	case c.CandidKM > 0:
		area, _, err := c.area(r, nil)
		if err != nil {
			return nil, err
		}
		g, err := coverage.NewGrid(area, c.CandidKM*1000)
		if err != nil {
			return nil, err
		}
		for i := range g.Len() {
			at := g.Centre(i)
			out = append(out, coverage.Candidate{Name: fmt.Sprintf("%.3f, %.3f", at.Lat(), at.Lon()), At: at})
		}
		return out, nil
	}
	for _, f := range r.Facilities.All() {
		if slices.Contains(c.Kind, string(f.Kind)) {
			out = append(out, coverage.Candidate{Name: f.Name, At: f.Position, Facility: f.ID})
		}
	}
	if len(out) == 0 {
		return nil, errors.New("the region has no facility of that kind: give --candidates")
	}
	return out, nil
}

// solve makes the times, chooses, and runs the whole choice once more. Site 0 is
// the fleet as it is without the new assets; it is in every choice.
func (c *sitingCommand) solve(ctx context.Context, p *program, plan coverage.Plan, like routing.Asset, page *terminal.SitingPage) error {
	base, err := coverage.Run(ctx, plan)
	if err != nil {
		return c.explain(err)
	}
	plan.Progress = p.progress(c.Quiet, "candidates")
	times, err := coverage.SiteTimes(ctx, plan, like, page.Sites)
	if err != nil {
		return err
	}
	plan.Progress = nil
	problem := &siting.Problem{TimesS: append([][]float64{base.Times()}, times...), Keep: []int{0}, Count: c.Count + 1}
	for i := range plan.Demand.Cells {
		problem.Weights = append(problem.Weights, plan.Demand.Cells[i].People)
	}
	value, greater, err := c.choose(ctx, problem, page)
	if err != nil || !page.Solution.Found {
		return err
	}
	withToday := &siting.Problem{TimesS: [][]float64{page.Before.Times()}, Weights: problem.Weights}
	page.Today, page.Achieved = c.value(withToday)([]int{0}), value(page.Solution.Sites)
	page.Reasons = problem.Explain(page.Solution.Sites, value, greater, alternativeSlack, mostAlternatives)
	var chosen []routing.Asset
	for i, site := range page.Solution.Sites {
		if site > 0 {
			a := page.Sites[site-1].Asset(like, site-1)
			a.ID = fmt.Sprintf("%s-%d", a.ID, i) // two may stand at one site
			chosen = append(chosen, a)
		}
	}
	whole, err := coverage.Run(ctx, plan.Adding(chosen...))
	if err != nil {
		return err
	}
	page.Everything, err = coverage.Compare(page.Before, whole)
	return err
}

// What counts as nearly as good, a share of the value, and how many are listed.
const (
	alternativeSlack = 0.02
	mostAlternatives = 5
)

// value is the objective of a choice.
func (c *sitingCommand) value(p *siting.Problem) siting.Value {
	switch c.Objective {
	case "mean-time":
		return p.Seconds(c.LostMin * 60)
	case "worst-time":
		return p.Longest()
	case "expected-cover":
		return p.ExpectedCovered(c.WithinMin*60, c.Busy)
	}
	return p.Covered(c.WithinMin * 60)
}

func (c *sitingCommand) choose(ctx context.Context, p *siting.Problem, page *terminal.SitingPage) (value siting.Value, greater bool, err error) {
	effort := siting.Effort{Gap: c.Gap}
	people := func(v float64) string {
		return coverage.Count(math.Round(v)) + " people within " + coverage.Minutes(c.WithinMin*60)
	}
	total := p.Total()
	switch c.Objective {
	case "max-cover":
		page.Objective, page.Unit, greater = fmt.Sprintf("as many people as possible within %g min", c.WithinMin), people, true
		page.Solution, err = siting.MaxCover(ctx, p, c.WithinMin*60, effort)
	case "expected-cover":
		page.Objective, greater = fmt.Sprintf("as many people as possible within %g min, each asset busy %.0f %% of the time", c.WithinMin, 100*c.Busy), true
		page.Unit = people
		page.Solution, err = siting.ExpectedCover(ctx, p, c.WithinMin*60, c.Busy, effort)
	case "mean-time":
		page.Objective = fmt.Sprintf("the shortest mean time, %g min for who is not reached", c.LostMin)
		page.Unit = func(v float64) string { return fmt.Sprintf("%.2f min on average", v/total/60) }
		page.Solution, err = siting.MeanTime(ctx, p, c.LostMin*60, effort)
	case "worst-time":
		page.Objective, page.Unit = "the shortest time of who waits longest", coverage.Minutes
		page.Solution, err = siting.WorstTime(ctx, p, effort)
	case "full-cover":
		page.Objective, page.Unit, greater = fmt.Sprintf("everybody within %g min with the fewest", c.WithinMin), people, true
		page.Solution, err = siting.FullCover(ctx, p, c.WithinMin*60, effort)
		page.Bound = func(v float64) string { return fmt.Sprintf("%.0f new sites", v-1) }
	}
	if page.Bound == nil {
		page.Bound = page.Unit
	}
	return c.value(p), greater, err
}
