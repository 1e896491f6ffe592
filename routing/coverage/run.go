package coverage

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"surgeonward/routing"
)

// Situation is a question about many scenes: the hour, which says who is on duty,
// where the surgeons are and whether it is night; the weather; what assets are
// doing. The scene's position counts for nothing.
type Situation struct {
	Name     string
	Share    float64 // of all situations, for an expectation; any positive weight
	Question routing.Question
}

// Plan is what is to be run.
type Plan struct {
	Engine    *routing.Engine
	Demand    *Demand
	Situation Situation
	Second    bool // also what is best while the first asset is away; about twice the work
	Workers   int  // 0: one for each processor
	// Progress, where it is set, is called now and then, by one goroutine at a time
	// and with rising numbers.
	Progress func(done, of int)

	typical bool // only typical totals are wanted: the slow ones are 0
}

// Outcome is what the desk would get for a scene at a cell.
type Outcome struct {
	routing.Best
	// Second is what is best while the first asset is away, its slow total left out; nil
	// where Plan.Second does not ask for it, or nobody is reached then.
	Second *routing.Best
}

// Seconds is the typical time to a surgeon; +Inf where nobody is reached.
func (o *Outcome) Seconds() float64 { return seconds(&o.Best) }

// SlowSeconds is what 9 in 10 stay under; +Inf where nobody is reached.
func (o *Outcome) SlowSeconds() float64 {
	if !o.Reached {
		return math.Inf(1)
	}
	return o.Total.SlowS
}

// LostS is how much longer it takes while the first asset is away, in seconds:
// +Inf where nobody is reached then; 0 where nobody is reached at all.
func (o *Outcome) LostS() float64 {
	if !o.Reached {
		return 0
	}
	if o.Second == nil {
		return math.Inf(1)
	}
	return seconds(o.Second) - o.Total.TypicalS
}

// Asset is the id of the first asset; empty: nobody.
func (o *Outcome) Asset() string {
	if len(o.Assets) == 0 {
		return ""
	}
	return o.Assets[0]
}

func seconds(b *routing.Best) float64 {
	if !b.Reached {
		return math.Inf(1)
	}
	return b.Total.TypicalS
}

// Result is the outcome at every cell, in the order of the demand's.
type Result struct {
	Situation string
	Question  routing.Question // with its defaults filled in
	Demand    *Demand
	Outcomes  []Outcome
	Second    bool
}

// progressEvery is how many cells are looked at between two reports.
const progressEvery = 64

// Run asks the engine at every cell. A question that contradicts the region is a
// *routing.QuestionError. When the context ends, so does Run, with its error.
func Run(ctx context.Context, p Plan) (*Result, error) {
	if err := p.Demand.Check(); err != nil {
		return nil, err
	}
	batch, err := p.Engine.Batch(p.Situation.Question)
	if err != nil {
		return nil, err
	}
	r := &Result{Situation: p.Situation.Name, Question: batch.Question(), Demand: p.Demand, Second: p.Second,
		Outcomes: make([]Outcome, len(p.Demand.Cells))}
	err = p.each(ctx, batch, r)
	if err != nil {
		return nil, err
	}
	return r, nil
}

// stretch is how many cells a worker takes at a time: those beside each other have
// mostly the same ways, which the engine makes use of; and enough stretches are left
// for the workers to end together.
func stretch(cells, workers int) int { return max(1, min(cells/(workers*16), 8192)) }

// each shares the cells among the workers: each takes the next stretch.
func (p *Plan) each(ctx context.Context, batch *routing.Batch, r *Result) error {
	workers := p.workers()
	away := &absences{batch: batch, of: map[string]*routing.Batch{}}
	report := reporter{to: p.Progress, of: len(r.Outcomes)}
	every := stretch(len(r.Outcomes), workers)
	var next atomic.Int64
	group, ctx := errgroup.WithContext(ctx)
	for range min(workers, len(r.Outcomes)) {
		group.Go(func() error {
			for {
				to := int(next.Add(int64(every)))
				from := to - every
				if from >= len(r.Outcomes) {
					return nil
				}
				for i := from; i < min(to, len(r.Outcomes)); i++ {
					if err := ctx.Err(); err != nil {
						return err
					}
					if err := p.cell(ctx, batch, away, r, i); err != nil {
						return fmt.Errorf("cell %d at %v: %w", i, r.Demand.Cells[i].At, err)
					}
					report.done()
				}
			}
		})
	}
	return group.Wait()
}

func (p *Plan) workers() int {
	if p.Workers < 1 {
		return runtime.GOMAXPROCS(0)
	}
	return p.Workers
}

func (p *Plan) cell(ctx context.Context, batch *routing.Batch, away *absences, r *Result, i int) error {
	out, at := &r.Outcomes[i], r.Demand.Cells[i].At
	best := batch.Best
	if p.typical {
		best = batch.Typical
	}
	var err error
	if out.Best, err = best(ctx, at); err != nil || !p.Second || !out.Reached {
		return err
	}
	without, err := away.without(out.Asset())
	if err != nil {
		return err
	}
	second, err := without.Typical(ctx, at)
	if err == nil && second.Reached {
		out.Second = &second
	}
	return err
}

// absences are the batches with one asset away, made when first asked for.
type absences struct {
	sync.Mutex
	batch *routing.Batch
	of    map[string]*routing.Batch
}

func (a *absences) without(asset string) (*routing.Batch, error) {
	a.Lock()
	defer a.Unlock()
	if known := a.of[asset]; known != nil {
		return known, nil
	}
	made, err := a.batch.Without(asset)
	if err != nil {
		return nil, err
	}
	a.of[asset] = made
	return made, nil
}

// reporter counts cells and tells.
type reporter struct {
	sync.Mutex
	to       func(done, of int)
	n, of    int
	reported int
}

func (r *reporter) done() {
	if r.to == nil {
		return
	}
	r.Lock()
	defer r.Unlock()
	r.n++
	if r.n == r.of || r.n-r.reported >= progressEvery {
		r.reported = r.n
		r.to(r.n, r.of)
	}
}
