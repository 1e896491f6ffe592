package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"time"

	"surgeonward/api/planning"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
	"surgeonward/routing/siting"
)

// sitingCommand says where more assets would do most.
type sitingCommand struct {
	planFlags `embed:""`

	What       string   `help:"What is put: ${enum}." enum:"base,pad,surgeon" default:"base" group:"The choice:"`
	Objective  string   `help:"What is to be best: ${enum}." enum:"max-cover,mean-time,worst-time,full-cover,expected-cover" default:"max-cover" group:"The choice:"`
	WithinMin  float64  `name:"within-min" help:"The time to a surgeon that covers." default:"45" placeholder:"MINUTES" group:"The choice:"`
	LostMin    float64  `name:"lost-min" help:"What somebody who is not reached counts as, for mean-time." default:"240" placeholder:"MINUTES" group:"The choice:"`
	Busy       float64  `help:"Share of the time that each asset of the kind of --like is busy, for expected-cover; all others are always free." default:"0.3" placeholder:"SHARE" group:"The choice:"`
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
	s, err := c.situation(r, time.Now())
	if err != nil {
		return err
	}
	q, put, err := c.question(r, s)
	if err != nil {
		return err
	}
	page := terminal.SitingPage{Put: put, Sites: q.Candidates, CoveragePage: terminal.CoveragePage{
		Region: r.Name, Demonstration: r.Demonstration, Zone: r.Settings.Zone, Demand: words, Notes: append(notes,
			"the times are the engine's, one run with each candidate alone; at each cell the best of the chosen counts")}}
	if q.Objective == planning.MostPeopleBusy {
		page.Notes[len(page.Notes)-1] = "the times are the engine's, one run with each asset of that kind alone, in place or new, and one without any; " +
			"assets are taken to be busy independently of each other"
	}
	if note := putNotes[c.What]; note != "" {
		page.Notes = append(page.Notes, note)
	}
	l, err := planning.LayOut(r, q, coverage.Plan{Engine: r.Engine, Demand: demand, Situation: s})
	if err != nil {
		return err
	}
	if err := c.solve(ctx, p, l, q, &page); err != nil {
		return err
	}
	return terminal.WriteSiting(p.stdout, page, p.style(c.Width))
}

// putNotes say what is taken for granted of what is put.
var putNotes = map[string]string{
	planning.WhatPad:     "a pad is taken to be lit, at the door, open at all hours and for every size",
	planning.WhatSurgeon: "a surgeon is taken to be resident at all hours, and the hospital to have all else that surgery in the chest takes",
}

// question is the choice as the interface asks for it, and what is put, in words.
func (c *sitingCommand) question(r *region.Region, s coverage.Situation) (*wire.SitingRequest, string, error) {
	q := &wire.SitingRequest{Situation: s, What: c.What, Count: c.Count, WithinS: c.WithinMin * 60, LostS: c.LostMin * 60}
	if c.What != planning.WhatBase {
		switch {
		case c.Objective == "expected-cover":
			return nil, "", usageError{fmt.Errorf("--objective: expected-cover is about assets, and what is put is a %s", c.What)}
		case c.Like != "" || c.Move || c.Candidates != "" || c.CandidKM > 0:
			return nil, "", usageError{fmt.Errorf("--what %s: leave --like, --move, --candidates and --candidates-grid-km out", c.What)}
		}
		if q.Candidates = wire.HospitalsWithout(r, c.What, s.Question.At); len(q.Candidates) == 0 {
			return nil, "", fmt.Errorf("every hospital has a %s already", c.What)
		}
		return q, map[string]string{planning.WhatPad: "a pad", planning.WhatSurgeon: "a resident surgeon"}[c.What], nil
	}
	var err error
	if q.Like, err = c.like(r); err != nil {
		return nil, "", err
	}
	if c.Move {
		q.Move = []string{q.Like.ID}
	}
	if c.Objective == "expected-cover" {
		q.Objective, q.BusyShare = planning.MostPeopleBusy, c.Busy
		for _, a := range r.Fleet.Assets() {
			if a.Kind == q.Like.Kind {
				q.Units = append(q.Units, a.ID)
			}
		}
	}
	q.Candidates, err = c.candidates(r)
	return q, "another " + q.Like.Name, err
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

// solve makes the times, chooses, and runs the whole choice once more.
func (c *sitingCommand) solve(ctx context.Context, p *program, l *planning.Layout, q *wire.SitingRequest, page *terminal.SitingPage) error {
	times := make([][]float64, len(l.Plans))
	for i, plan := range l.Plans {
		plan.Progress = p.progress(c.Quiet, fmt.Sprintf("run %d of %d", i+1, len(l.Plans)))
		result, err := coverage.Run(ctx, plan)
		if err != nil {
			return c.explain(err)
		}
		times[i] = result.Times()
		if i == 0 {
			page.Before = result
		}
	}
	problem, sure := l.Problem(times)
	of, greater, err := c.choose(ctx, problem, page)
	if err != nil || !page.Solution.Found {
		return err
	}
	value := func(sites []int) float64 { return sure + of(sites) }
	page.Solution.Value, page.Solution.Bound = page.Solution.Value+sure, page.Solution.Bound+sure
	if q.Objective == planning.MostPeopleBusy {
		page.Today = value(problem.Keep)
	} else {
		page.Today = c.value(&siting.Problem{TimesS: times[:1], Weights: problem.Weights})([]int{0})
	}
	page.Achieved = value(page.Solution.Sites)
	page.Reasons = problem.Explain(page.Solution.Sites, value, greater, alternativeSlack, mostAlternatives)
	for _, j := range page.Solution.Sites {
		if j < len(page.Sites) {
			page.Chosen = append(page.Chosen, j)
		}
	}
	plan, err := l.Whole(page.Chosen)
	if err != nil {
		return err
	}
	whole, err := coverage.Run(ctx, plan)
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
		page.Objective, greater = fmt.Sprintf("as many people as possible within %g min, each asset of that kind busy %.0f %% of the time", c.WithinMin, 100*c.Busy), true
		page.Unit = func(v float64) string {
			return coverage.Count(math.Round(v)) + " people expected within " + coverage.Minutes(c.WithinMin*60)
		}
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
