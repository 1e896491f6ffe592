package coverage

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"surgeonward/routing"
)

// Preference is, at every cell, who is sent: the first asset of the desk's answer, the first
// while that one is away, and so on.
type Preference struct {
	Demand *Demand
	Units  []string // the assets that can be busy and are sent to some cell, by their ids
	Ways   [][]Way  // by cell, the first choice first; none where nobody is reached
	Depth  int      // how many ways a cell has at most
}

// Way is what is done while the units of all ways before it are away.
type Way struct {
	routing.Best
	// Unit is who is sent, by its place in Preference.Units: the first of the way's assets that
	// can be busy; -1 where none of them can, so that the way is always there.
	Unit int
}

// Prefer asks the engine for up to depth ways at every cell, over again for each set of assets
// that are away. Assets are those that can be busy; nil: all are. The plan's Second counts for
// nothing. Progress counts the cells of all ways, of which there may be fewer in the end. First is
// the plan's own result, whose ways are the first; nil: it is asked for.
func Prefer(ctx context.Context, p Plan, first *Result, assets []string, depth int) (*Preference, error) {
	p.Second = false
	cells := len(p.Demand.Cells)
	out := &Preference{Demand: p.Demand, Ways: make([][]Way, cells), Depth: depth}
	sent := make([][]string, cells) // by cell, the units of its ways so far
	done := 0
	tell := p.Progress
	for level := range depth {
		for _, set := range alike(p.Demand, sent, level) {
			if tell != nil {
				p.Progress = func(n, _ int) { tell(done+n, depth*cells) }
			}
			r := first
			if r == nil || level > 0 {
				var err error
				if r, err = Run(ctx, p.without(set)); err != nil {
					return nil, err
				}
			}
			for k, i := range set.cells {
				best := r.Outcomes[k].Best
				if !best.Reached {
					continue
				}
				out.Ways[i] = append(out.Ways[i], Way{Best: best, Unit: -1})
				if u := slices.IndexFunc(best.Assets, func(id string) bool { return assets == nil || slices.Contains(assets, id) }); u >= 0 {
					sent[i] = append(sent[i], best.Assets[u])
				}
			}
			done += len(set.cells)
		}
	}
	out.number(sent)
	return out, nil
}

// absence is the cells for which the same assets are away.
type absence struct {
	away  []string // sorted
	cells []int
}

// without is the plan for the cells, with their assets away.
func (p Plan) without(set absence) Plan {
	cells := make([]Cell, len(set.cells))
	for k, i := range set.cells {
		cells[k] = p.Demand.Cells[i]
	}
	p.Demand, p.Situation = AtPoints(cells), p.Situation.Away(set.away...)
	return p
}

// alike puts together the cells that still have a way more to be looked for: those whose last
// way has a unit that can be away.
func alike(d *Demand, sent [][]string, level int) []absence {
	at := map[string]int{}
	var out []absence
	for i := range d.Cells {
		if len(sent[i]) != level {
			continue
		}
		away := slices.Sorted(slices.Values(sent[i]))
		key := strings.Join(away, "\x00")
		k, known := at[key]
		if !known {
			k = len(out)
			at[key] = k
			out = append(out, absence{away: away})
		}
		out[k].cells = append(out[k].cells, i)
	}
	slices.SortFunc(out, func(a, b absence) int {
		return cmp.Or(cmp.Compare(len(a.away), len(b.away)), slices.Compare(a.away, b.away))
	})
	return out
}

// number gives the units that are sent anywhere their places.
func (p *Preference) number(sent [][]string) {
	for _, ids := range sent {
		p.Units = append(p.Units, ids...)
	}
	slices.Sort(p.Units)
	p.Units = slices.Compact(p.Units)
	for i, ids := range sent {
		for k, id := range ids {
			p.Ways[i][k].Unit, _ = slices.BinarySearch(p.Units, id)
		}
	}
}

// Expect is what to expect of coverage when each way is taken with its chance, given by cell
// and way as Chances makes them. What is missing of 1 is the chance that nobody is there.
func (p *Preference) Expect(chances [][]float64) *Expected {
	var times, all []float64
	return expect(p.Demand, func(i int) ([]float64, []float64) {
		times, all = times[:0], all[:0]
		left := 1.0
		for k := range p.Ways[i] {
			times, all = append(times, seconds(&p.Ways[i][k].Best)), append(all, chances[i][k])
			left -= chances[i][k]
		}
		if left > rounding {
			times, all = append(times, seconds(&routing.Best{})), append(all, left)
		}
		return times, all
	})
}

// rounding is what sums of chances may be off by.
const rounding = 1e-9

// Chances are each way's chance when units are busy for these shares of the time, by their
// places, independently of each other: the first way has what its unit is free, the second what
// the first is busy and its own is free, and so on. A way without a unit has all that is left.
func (p *Preference) Chances(busy []float64) [][]float64 {
	return p.chances(func(_, unit int, left float64) float64 { return left * (1 - busy[unit]) })
}

// chances lets share say what a unit takes of a cell's calls when so much is left by those
// before it.
func (p *Preference) chances(share func(cell, unit int, left float64) float64) [][]float64 {
	out := make([][]float64, len(p.Ways))
	for i, ways := range p.Ways {
		left := 1.0
		for _, w := range ways {
			takes := left
			if w.Unit >= 0 {
				takes = min(share(i, w.Unit, left), left)
			}
			out[i] = append(out[i], takes)
			left -= takes
		}
	}
	return out
}
