package planning

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"

	"surgeonward/api/job"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// The media types of results.
const (
	TypeJSON    = "application/json"
	TypeGeoJSON = "application/geo+json"
	TypeCSV     = "text/csv"
	TypeSVG     = "image/svg+xml"
	TypePNG     = "image/png"
	TypeHTML    = "text/html; charset=utf-8"
)

// files are the results of a job as they are made.
type files struct {
	region *region.Region
	build  string
	all    []job.File
	busy   *coverage.Busy // of the next result; nil: not asked for

	unreported bool // a result gets no page of its own
}

// ofResult adds the files of one result and returns their names.
func (f *files) ofResult(prefix, title string, r *coverage.Result, difference *coverage.Difference, choices []coverage.Mark) ([]string, error) {
	caution := wire.CautionOf(f.region)
	made := []product{{"cells.csv", TypeCSV, r.WriteCSV},
		{"within.geojson", TypeGeoJSON, func(w io.Writer) error { return r.WriteGeoJSON(w, caution) }}}
	if f.busy != nil {
		made = append(made, product{"busy.csv", TypeCSV, f.busy.WriteCSV})
	}
	title = f.region.Name + ": " + title
	picture := f.picture(title, r, choices)
	if picture != nil {
		made = append(made, product{"map.svg", TypeSVG, picture.WriteSVG}, product{"map.png", TypePNG, picture.WritePNG})
	}
	if !f.unreported {
		page := coverage.Report{Title: title, Caution: caution, Method: f.method(r), Result: r, Map: picture, Difference: difference, Busy: f.busy, Name: f.name}
		made = append(made, product{"report.html", TypeHTML, page.WriteHTML})
	}
	return f.add(prefix, made)
}

// product is a file to be made.
type product struct {
	name, media string
	write       func(io.Writer) error
}

// add makes files and returns their names.
func (f *files) add(prefix string, made []product) (names []string, err error) {
	for _, p := range made {
		var out bytes.Buffer
		if err := p.write(&out); err != nil {
			return nil, err
		}
		f.all = append(f.all, job.File{Name: prefix + p.name, Media: p.media, Content: out.Bytes()})
		names = append(names, prefix+p.name)
	}
	return names, nil
}

// picture is the map of a result; nil where points have none.
func (f *files) picture(title string, r *coverage.Result, choices []coverage.Mark) *coverage.Map {
	if r.Demand.Grid == nil {
		return nil
	}
	return &coverage.Map{Title: title, Note: wire.CautionOf(f.region), Result: r, Marks: slices.Concat(f.marks(), choices)}
}

// with puts the figures before the other files.
func (f *files) with(summary any) ([]job.File, error) {
	text, err := wire.JSON(summary)
	if err != nil {
		return nil, err
	}
	return append([]job.File{{Name: "summary.json", Media: TypeJSON, Content: text}}, f.all...), nil
}

// marks are the hospitals with surgeons and the bases.
func (f *files) marks() (out []coverage.Mark) {
	for _, h := range f.region.Facilities.OfKind(facilities.Hospital) {
		out = append(out, coverage.Mark{Name: h.Name, At: h.Position, Kind: coverage.MarkHospital})
	}
	for _, b := range f.region.Facilities.OfKind(facilities.Base) {
		out = append(out, coverage.Mark{Name: b.Name, At: b.Position, Kind: coverage.MarkBase})
	}
	return out
}

// name is what people call an asset or a facility; empty: nobody knows.
func (f *files) name(id string) string {
	if place, ok := f.region.Facilities.Get(id); ok {
		return place.Name
	}
	for _, a := range f.region.Fleet.Assets() {
		if a.ID == id {
			return a.Name
		}
	}
	return ""
}

// method says how the figures came about.
func (f *files) method(r *coverage.Result) []string {
	versions := wire.VersionsOf(f.region, f.build)
	where := fmt.Sprintf("Each of %d points was looked at.", len(r.Demand.Cells))
	if g := r.Demand.Grid; g != nil {
		where = fmt.Sprintf("The area was cut into %d cells of %.0f m by %.0f m, all of equal area; everybody in a cell is counted at its centre.", g.Len(), g.CellM, g.CellM)
	}
	return []string{
		where + " The time there is that of the first option that the desk would be offered for a scene at the same place and hour.",
		fmt.Sprintf("The hour is %s. Times are typical times (half of all missions are quicker), except where slow times are named (nine in ten are quicker).", r.Question.At.Format("2006-01-02 15:04 UTC")),
		fmt.Sprintf("Engine %s, parameters %s, facilities %s, fleet %s, roads %s.", versions["engine"], versions["parameters"], versions["facilities"], versions["fleet"], cmp.Or(versions["roads"], "none")),
	}
}

// refused makes what contradicts the region a fault in words.
func refused(err error) error {
	var question *routing.QuestionError
	if errors.As(err, &question) {
		return &job.Fault{Detail: err.Error()}
	}
	return err
}
