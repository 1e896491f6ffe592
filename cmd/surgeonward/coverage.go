package main

import (
	"cmp"
	"context"
	"errors"
	"io"
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

	CSV     string `name:"csv" help:"Write every cell to a CSV file." placeholder:"FILE" group:"Files:"`
	GeoJSON string `name:"geojson" help:"Write isochrones to a GeoJSON file." placeholder:"FILE" group:"Files:"`
	SVG     string `name:"svg" help:"Write a map of minutes to an SVG file." placeholder:"FILE" group:"Files:"`
	HTML    string `name:"html" help:"Write a report in one HTML file, with map, curve and tables." placeholder:"FILE" group:"Files:"`
}

// Run asks the engine at every cell and prints.
func (c *coverageCommand) Run(ctx context.Context, p *program) error {
	if err := c.check(); err != nil {
		return err
	}
	if c.Mix != "" && (c.Against+c.Change != "" || c.At != "" || c.Date != "" || c.Night || len(c.Away) > 0 || c.CSV+c.GeoJSON+c.SVG+c.HTML != "") {
		return usageError{errors.New("--mix has situations of its own and prints what to expect of them: leave --at, --date, --night, --away, --against, --change and files out")}
	}
	if c.Points && c.SVG != "" {
		return usageError{errors.New("--svg draws areas, and --points have none: leave one out")}
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
	page.Busy, err = c.busy(ctx, r, coverage.Plan{Engine: r.Engine, Demand: d, Situation: s, Progress: p.progress(c.Quiet, "cells, with assets away")})
	if err != nil {
		return c.explain(err)
	}
	if c.Against+c.Change != "" {
		other, name, err := c.other(r)
		if err != nil {
			return err
		}
		if s, err = c.situation(other, now); err != nil {
			return err
		}
		after, err := coverage.Run(ctx, coverage.Plan{Engine: other.Engine, Demand: d, Situation: s, Progress: p.progress(c.Quiet, "cells")})
		if err != nil {
			return c.explain(err)
		}
		if page.Difference, err = coverage.Compare(result, after); err != nil {
			return err
		}
		page.Against = name
	}
	return c.files(r, page)
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

// files writes what was asked for.
func (c *coverageCommand) files(r *region.Region, page *terminal.CoveragePage) error {
	result := page.Results[0]
	title := r.Name + ": minutes to a surgeon, " + result.Situation
	note := routing.Caution
	if r.Demonstration {
		note = "DEMONSTRATION: nothing here is real. " + note
	}
	m := &coverage.Map{Title: title, Note: note, Result: result, Marks: marks(r)}
	report := coverage.Report{Title: title, Caution: note, Result: result, Difference: page.Difference, Busy: page.Busy, Name: page.Name,
		Method: append([]string{page.Demand, method}, page.Notes...)}
	if result.Demand.Grid != nil {
		report.Map = m
	}
	for _, f := range []struct {
		name  string
		write func(io.Writer) error
	}{{c.CSV, result.WriteCSV}, {c.GeoJSON, func(w io.Writer) error { return result.WriteGeoJSON(w, note) }},
		{c.SVG, m.WriteSVG}, {c.HTML, report.WriteHTML}} {
		if f.name != "" {
			if err := writeTo(f.name, f.write); err != nil {
				return err
			}
		}
	}
	return nil
}

// method is how the figures came about, for the report.
const method = "Every cell has the answer that the desk would get for a scene at its centre, in the situation named: the soonest of " +
	"all ways from the scene to a surgeon, at typical durations. Cells are of equal area. A cell stands for everybody in it; nothing " +
	"between cells is smoothed. Those who are not reached count as waiting longer than everybody else."

// writeTo writes a file, and says of a full disk that it is full.
func writeTo(name string, write func(io.Writer) error) (err error) {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	return write(f)
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
