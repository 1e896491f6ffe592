package planning

import (
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"surgeonward/api/job"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/routing/coverage"
)

// MaxLooks is how many looks at a cell one job may take: cells times situations, twice
// where the second best is asked for, and times candidates in siting.
const MaxLooks = 1_000_000

// maxBox is how many cells the box around an area may have, most of them maybe sea.
const maxBox = 2_000_000

// maxPairs bounds the work of counting points in cells: one that lies in none is set
// against each.
const maxPairs = 2_000_000_000

// demand lays the grid, or takes the points. It is a *job.Fault where that is too much.
func demand(p wire.Places, looks int) (*coverage.Demand, error) {
	d := coverage.AtPoints(p.Points)
	if why := CheckPlaces(p); why != "" {
		return nil, &job.Fault{Detail: why}
	}
	if p.CellM > 0 {
		g, err := coverage.NewGrid(p.Area, p.CellM)
		if err != nil {
			return nil, &job.Fault{Detail: err.Error()}
		}
		switch {
		case g.Len()*looks > MaxLooks:
			return nil, tooManyLooks(g.Len(), looks)
		case g.Len()*len(p.Points) > maxPairs:
			return nil, &job.Fault{Detail: fmt.Sprintf("%d points and %d cells are more than can be brought together: join points or choose larger cells", len(p.Points), g.Len())}
		}
		d = coverage.OnGrid(g, p.Points)
	}
	if len(d.Cells)*looks > MaxLooks {
		return nil, tooManyLooks(len(d.Cells), looks)
	}
	if err := d.Check(); err != nil {
		return nil, &job.Fault{Detail: err.Error()}
	}
	return d, nil
}

func tooManyLooks(cells, looks int) error {
	return &job.Fault{Detail: fmt.Sprintf("%d cells are to be looked at %d times each, more than %d looks in all: choose larger cells, fewer points, situations or candidates", cells, looks, MaxLooks)}
}

// boxCells is about how many cells the box around an area has, without laying any.
// Polygons beyond the antimeridian count on this side, as the grid has them.
func boxCells(area coverage.Area, cellM float64) (width, height float64) {
	const degreeM = 111_195.0
	var box orb.Bound
	for i, p := range area {
		b := p.Bound()
		if i == 0 {
			box = b
		}
		turn := 360 * math.Round((box.Min.Lon()-b.Min.Lon())/360)
		b.Min[0], b.Max[0] = b.Min[0]+turn, b.Max[0]+turn
		box = box.Union(b)
	}
	cell := cellM / degreeM // degrees
	return (box.Max.Lon() - box.Min.Lon()) / cell * math.Cos(box.Center().Lat()*math.Pi/180), (box.Max.Lat() - box.Min.Lat()) / cell
}

// maxCrossings bounds the work of laying a grid: positions of the area times rows.
const maxCrossings = 200_000_000

// CheckPlaces says what is too much about where to look, before any grid is laid; empty:
// nothing is.
func CheckPlaces(p wire.Places) string {
	if p.CellM == 0 {
		return ""
	}
	width, height := boxCells(p.Area, p.CellM)
	if !(width*height <= maxBox) {
		return fmt.Sprintf("cells of %g m over this area are some %.0f by %.0f with what lies around it, more than %d: choose larger cells or a smaller area", p.CellM, width, height, maxBox)
	}
	positions := 0
	for _, polygon := range p.Area {
		for _, ring := range polygon {
			positions += len(ring)
		}
	}
	if float64(positions)*height > maxCrossings {
		return fmt.Sprintf("the area has %d positions over %.0f rows of cells: simplify its borders or choose larger cells", positions, height)
	}
	return ""
}

// Coverage makes the files of a question of coverage.
func Coverage(ctx context.Context, r *region.Region, q *wire.CoverageRequest, build string, run Run, progress job.Progress) ([]job.File, error) {
	looks, per := len(q.Situations), 1 // per: rounds over all cells of one situation
	if q.Second {
		looks *= 2
	}
	if q.Busy != nil {
		per += q.Busy.Depth
		looks += len(q.Situations) * q.Busy.Depth
	}
	d, err := demand(q.Places, looks)
	if err != nil {
		return nil, err
	}
	out := &files{region: r, build: build}
	summary := Summary{Head: wire.HeadOf(q.Situations[0].Question.At, r, build), Places: placesOf(d), Situations: []Situation{}}
	var plans []coverage.Plan
	var shares []float64
	for i, situation := range q.Situations {
		plans = append(plans, coverage.Plan{Engine: r.Engine, Demand: d, Situation: situation, Second: q.Second, Workers: workers,
			Progress: func(done, of int) {
				progress(i*per*of+done, len(q.Situations)*per*of, "looking at "+nameOf(situation, i))
			}})
		shares = append(shares, situation.Share)
	}
	var results []*coverage.Result
	var busy []*coverage.Busy
	err = run(ctx, plans, func(i int, result *coverage.Result) error {
		situation, prefix := q.Situations[i], ""
		if len(q.Situations) > 1 {
			prefix = fmt.Sprintf("%d-", i+1)
		}
		if q.Busy != nil {
			rounds, cells := len(q.Situations)*per, len(d.Cells)
			plan := plans[i]
			plan.Progress = func(done, _ int) {
				progress((i*per+1)*cells+done, rounds*cells, "looking at those who are sent next by "+nameOf(situation, i))
			}
			if out.busy, err = coverage.RunBusy(ctx, plan, *q.Busy); err != nil {
				return busyFault(err)
			}
			busy = append(busy, out.busy)
		}
		one := situationOf(result, situation, i)
		if one.Results, err = out.ofResult(prefix, nameOf(situation, i), result, nil, nil); err != nil {
			return err
		}
		summary.Situations = append(summary.Situations, one)
		results = append(results, result)
		return nil
	})
	if err != nil {
		return nil, refused(err)
	}
	if summary.Busy, err = busyOf(busy, out.name); err != nil {
		return nil, err
	}
	if len(results) > 1 {
		expected, err := coverage.Expect(results, shares)
		if err != nil {
			return nil, err
		}
		summary.Expected = expectedOf(expected)
	}
	return out.with(summary)
}

// workers leaves the other processors to those who ask with a patient in the field.
const workers = 1

func nameOf(s coverage.Situation, i int) string {
	if s.Name != "" {
		return s.Name
	}
	return fmt.Sprintf("situation %d", i+1)
}
