package main

import (
	"cmp"
	"context"
	"errors"
	"os"
	"path/filepath"
	"time"

	"surgeonward/api/region"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// coverageCommand says who is how far from a surgeon.
type coverageCommand struct {
	planFlags `embed:""`
	busyFlags `embed:""`

	Mix     string `help:"JSON file of situations with their shares, in place of one situation." placeholder:"FILE" group:"The situation:"`
	Second  bool   `help:"Also what is best while the first asset is away."`
	Against string `help:"A second region folder, a change of the first, to compare with." placeholder:"DIR" xor:"other"`
	Change  string `help:"JSON file of changes to the region's files, to compare with what they would make of it." placeholder:"FILE" xor:"other"`

	coverageFiles `embed:""`
}

// Run asks the engine at every cell and prints.
func (c *coverageCommand) Run(ctx context.Context, p *program) error {
	if err := c.check(); err != nil {
		return err
	}
	if c.Mix != "" && (c.Against+c.Change != "" || c.At != "" || c.Date != "" || c.Night || len(c.Away) > 0 || c.some()) {
		return usageError{errors.New("--mix has situations of its own and prints what to expect of them: leave --at, --date, --night, --away, --against, --change and files out")}
	}
	if err := c.fit(c.Points, c.Against+c.Change != ""); err != nil {
		return err
	}
	r, _, err := loadRegion(c.Region)
	if err != nil {
		return err
	}
	if _, err = c.calls(r); err != nil {
		return err
	}
	demand, words, notes, err := c.people(r)
	if err != nil {
		return err
	}
	page := terminal.CoveragePage{Region: r.Name, Demonstration: r.Demonstration, Zone: r.Settings.Zone, Demand: words, Name: nameOf(r), Notes: notes}
	if c.Mix != "" {
		err = c.mix(ctx, p, r, demand, &page)
	} else {
		err = c.one(ctx, p, r, demand, &page)
	}
	if err != nil {
		return err
	}
	return terminal.WriteCoverage(p.stdout, page, p.style(c.Width))
}

// one is one situation, and the same in the region to compare with.
func (c *coverageCommand) one(ctx context.Context, p *program, r *region.Region, d *coverage.Demand, page *terminal.CoveragePage) error {
	now := time.Now()
	s, err := c.situation(r, now)
	if err != nil {
		return err
	}
	result, err := coverage.Run(ctx, coverage.Plan{Engine: r.Engine, Demand: d, Situation: s, Second: c.Second, Progress: p.progress(c.Quiet, "cells")})
	if err != nil {
		return c.explain(err)
	}
	page.Results = []*coverage.Result{result}
	page.Busy, err = c.busy(ctx, r, coverage.Plan{Engine: r.Engine, Demand: d, Situation: s, Progress: p.progress(c.Quiet, "cells, with assets away")}, result)
	if err != nil {
		return c.explain(err)
	}
	if c.Against+c.Change == "" {
		return c.files(r, nil, page)
	}
	other, name, err := c.other(r)
	if err != nil {
		return err
	}
	page.Against = name
	there, err := c.situation(other, now)
	if err != nil {
		return err
	}
	before := coverage.Plan{Engine: r.Engine, Demand: d, Situation: s, Progress: p.progress(c.Quiet, "cells, drawn")}
	page.Difference, err = against(ctx, result, before, coverage.Plan{Engine: other.Engine, Demand: d, Situation: there, Progress: p.progress(c.Quiet, "cells")})
	if err != nil {
		return c.explain(err)
	}
	return c.files(r, other, page)
}

// against runs the situation in the region to compare with, and draws how sure what differs
// is.
func against(ctx context.Context, result *coverage.Result, before, after coverage.Plan) (*coverage.Difference, error) {
	there, err := coverage.Run(ctx, after)
	if err != nil {
		return nil, err
	}
	d, err := coverage.Compare(result, there)
	if err != nil {
		return nil, err
	}
	return d, d.Draw(ctx, before, after)
}

// other is the region to compare with, and what it is called.
func (c *coverageCommand) other(r *region.Region) (*region.Region, string, error) {
	if c.Change == "" {
		other, _, err := loadRegion(c.Against)
		return other, filepath.Base(c.Against), err
	}
	data, err := os.ReadFile(c.Change)
	if err != nil {
		return nil, "", err
	}
	other, name, report := r.With(data)
	return other, cmp.Or(name, filepath.Base(c.Change)), faults(report)
}

// marks are the hospitals with surgeons and the bases of helicopters.
func marks(r *region.Region) (out []coverage.Mark) {
	for _, f := range r.Facilities.OfKind(facilities.Hospital) {
		if f.Has(mainNeed) {
			out = append(out, coverage.Mark{Name: f.Name, At: f.Position, Kind: coverage.MarkHospital})
		}
	}
	seen := map[string]bool{}
	for _, a := range r.Fleet.Assets() {
		if f, ok := r.Facilities.Get(a.Base); ok && a.Kind == routing.Helicopter && !seen[f.ID] {
			seen[f.ID] = true
			out = append(out, coverage.Mark{Name: f.Name, At: f.Position, Kind: coverage.MarkBase})
		}
	}
	return out
}

// mainNeed is what a question asks for that names no need.
const mainNeed = "cardiothoracic_surgery"
