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

// view is the region as it is, or as it would be.
type view struct {
	files      *files
	situations []coverage.Situation
	prefix     string // of the names of its results
	plans      []coverage.Plan
	results    []*coverage.Result
	busy       []*coverage.Busy
	summaries  []Situation
}

// Coverage makes the files of a question of coverage.
func Coverage(ctx context.Context, r *region.Region, q *wire.CoverageRequest, build string, run Run, progress job.Progress) ([]job.File, error) {
	views := []*view{{files: &files{region: r, build: build}, situations: q.Situations}}
	looks, per := len(q.Situations), 1 // per: rounds over all cells of one situation
	if q.Second {
		looks *= 2
	}
	if q.Busy != nil {
		per += q.Busy.Depth
		looks += len(q.Situations) * q.Busy.Depth
	}
	rounds := len(q.Situations) * per
	if q.Change != nil {
		views[0].prefix, views[0].files.unreported = "before-", true
		views = append(views, &view{files: &files{region: q.Change.Region, build: build, unreported: true}, situations: q.Change.Situations, prefix: "after-"})
		looks = 2 * (looks + len(q.Situations)) // each is drawn too
		rounds = 2*rounds + len(q.Situations)
	}
	d, err := demand(q.Places, looks)
	if err != nil {
		return nil, err
	}
	total, cells := rounds*len(d.Cells), len(d.Cells)
	told := func(round int, words string) func(int, int) {
		return func(done, _ int) { progress(round*cells+done, total, words) }
	}
	var plans []coverage.Plan
	for _, v := range views {
		for i, situation := range v.situations {
			v.plans = append(v.plans, coverage.Plan{Engine: v.files.region.Engine, Demand: d, Situation: situation, Second: q.Second, Workers: workers,
				Progress: told((len(plans)+i)*per, "looking at "+nameOf(situation, i))})
		}
		plans = append(plans, v.plans...)
	}
	err = run(ctx, plans, func(k int, result *coverage.Result) error {
		v, i := views[k/len(q.Situations)], k%len(q.Situations)
		if q.Busy != nil {
			plan := plans[k]
			plan.Progress = told(k*per+1, "looking at those who are sent next by "+nameOf(plan.Situation, i))
			if v.files.busy, err = coverage.RunBusy(ctx, plan, result, *q.Busy); err != nil {
				return busyFault(err)
			}
			v.busy = append(v.busy, v.files.busy)
		}
		return v.add(result, i)
	})
	if err != nil {
		return nil, refused(err)
	}
	out := views[0].files
	summary := Summary{Head: wire.HeadOf(q.Situations[0].Question.At, r, build), Places: placesOf(d), Situations: views[0].summaries}
	if summary.Expected, summary.Busy, err = views[0].together(); err != nil {
		return nil, err
	}
	if q.Change != nil {
		first := len(plans) * per
		summary.Changed, err = changed(ctx, q.Change, views[0], views[1], func(i int, s coverage.Situation) func(int, int) {
			return told(first+i, "drawing what "+nameOf(s, i)+" may gain")
		})
		if err != nil {
			return nil, refused(err)
		}
	}
	return out.with(summary)
}

// add makes the files and figures of a result.
func (v *view) add(result *coverage.Result, i int) error {
	situation := v.situations[i]
	one := situationOf(result, situation, i)
	var err error
	if one.Results, err = v.files.ofResult(v.prefix+v.numbered(i), nameOf(situation, i), result, nil, nil); err != nil {
		return err
	}
	v.summaries, v.results = append(v.summaries, one), append(v.results, result)
	return nil
}

// numbered begins the names of the results of one of several situations.
func (v *view) numbered(i int) string {
	if len(v.situations) == 1 {
		return ""
	}
	return fmt.Sprintf("%d-", i+1)
}

// together is what to expect over all situations; nil where there is one, or no calls.
func (v *view) together() (expected *Expected, busy *Busy, err error) {
	if busy, err = busyOf(v.busy, v.files.name); err != nil || len(v.results) == 1 {
		return nil, busy, err
	}
	var shares []float64
	for i := range v.situations {
		shares = append(shares, v.situations[i].Share)
	}
	all, err := coverage.Expect(v.results, shares)
	if err != nil {
		return nil, nil, err
	}
	return expectedOf(all), busy, nil
}

// workers leaves the other processors to those who ask with a patient in the field.
const workers = 1

func nameOf(s coverage.Situation, i int) string {
	if s.Name != "" {
		return s.Name
	}
	return fmt.Sprintf("situation %d", i+1)
}
