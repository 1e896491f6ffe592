package main

import (
	"errors"
	"io"
	"os"

	"surgeonward/api/region"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// coverageFiles are the files that a question of coverage may write.
type coverageFiles struct {
	CSV     string `name:"csv" help:"Write every cell to a CSV file." placeholder:"FILE" group:"Files:"`
	GeoJSON string `name:"geojson" help:"Write isochrones to a GeoJSON file." placeholder:"FILE" group:"Files:"`
	SVG     string `name:"svg" help:"Write a map of minutes to an SVG file." placeholder:"FILE" group:"Files:"`
	PNG     string `name:"png" help:"Write the same map to a PNG file." placeholder:"FILE" group:"Files:"`
	HTML    string `name:"html" help:"Write a report in one HTML file, with maps, curve and tables." placeholder:"FILE" group:"Files:"`

	DifferenceCSV     string `name:"difference-csv" help:"Write what differs at every cell to a CSV file." placeholder:"FILE" group:"Files of a difference:"`
	DifferenceGeoJSON string `name:"difference-geojson" help:"Write what differs at every cell to a GeoJSON file." placeholder:"FILE" group:"Files of a difference:"`
	DifferenceSVG     string `name:"difference-svg" help:"Write a map of what differs to an SVG file." placeholder:"FILE" group:"Files of a difference:"`
	DifferencePNG     string `name:"difference-png" help:"Write the same map to a PNG file." placeholder:"FILE" group:"Files of a difference:"`
}

// some reports whether any file was asked for.
func (f *coverageFiles) some() bool { return *f != coverageFiles{} }

// fit finds what cannot be written.
func (f *coverageFiles) fit(points, compares bool) error {
	switch {
	case points && f.SVG+f.PNG+f.DifferenceSVG+f.DifferencePNG != "":
		return usageError{errors.New("--svg and --png draw areas, and --points have none: leave one out")}
	case !compares && f.DifferenceCSV+f.DifferenceGeoJSON+f.DifferenceSVG+f.DifferencePNG != "":
		return usageError{errors.New("a file of a difference needs something to compare with: give --change or --against")}
	}
	return nil
}

// files writes what was asked for; other is the region to compare with, nil where there is
// none.
func (f *coverageFiles) files(r, other *region.Region, page *terminal.CoveragePage) error {
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
	changes := &coverage.DifferenceMap{Title: title + ", against " + page.Against, Note: note, Difference: page.Difference}
	all := []wanted{{f.CSV, result.WriteCSV}, {f.GeoJSON, func(w io.Writer) error { return result.WriteGeoJSON(w, note) }},
		{f.SVG, m.WriteSVG}, {f.PNG, m.WritePNG}}
	if other != nil {
		changes.Marks = coverage.Added(m.Marks, marks(other))
		report.Title = changes.Title
		if report.Map != nil {
			report.After = &coverage.Map{Title: title + ", in " + page.Against, Note: note, Result: page.Difference.After, Marks: changes.Marks}
			report.Changes = changes
		}
		all = append(all, wanted{f.DifferenceCSV, page.Difference.WriteCSV},
			wanted{f.DifferenceGeoJSON, func(w io.Writer) error { return page.Difference.WriteGeoJSON(w, note) }},
			wanted{f.DifferenceSVG, changes.WriteSVG}, wanted{f.DifferencePNG, changes.WritePNG})
	}
	for _, one := range append(all, wanted{f.HTML, report.WriteHTML}) {
		if one.name != "" {
			if err := writeTo(one.name, one.write); err != nil {
				return err
			}
		}
	}
	return nil
}

// wanted is a file and what writes it.
type wanted struct {
	name  string
	write func(io.Writer) error
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
