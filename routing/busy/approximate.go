package busy

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// Approximate solves the equations of Larson 1975 and Jarvis 1985, one for each unit, for
// fleets of any size. Where every order has every unit its error is 1 or 2 percent
// (Larson & Odoni 1981, section 5.5); against Exact on random fleets of 3 to 10 units it
// was under 1 percent of the mean share on average, and for single units up to 5. Where
// orders leave units out, which the publications do not treat, the fleet's mean follows
// from the units instead of from Erlang's formula; there it was within 0.03 of a unit's share.
// ErrUnsettled comes only where service times are far apart, a thousand times or more.
func Approximate(ctx context.Context, s *System) (*Result, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	g := groupAtoms(s)
	a := &approximation{grouped: g, line: s.Line, whole: true, serviceH: slices.Clone(g.usualH)}
	for i := range g.groups {
		a.whole = a.whole && len(g.groups[i].order) == g.units
		a.shares = append(a.shares, make([]float64, g.units))
	}
	if err := a.begin(); err != nil {
		return nil, err
	}
	for round := range maxSteps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		a.part = math.Pow(2, -1-float64(round)/stepsToHalve)
		change := a.step()
		if err := a.like(); err != nil {
			return nil, err
		}
		if change <= repeated {
			return a.result(), nil
		}
	}
	return nil, ErrUnsettled
}

// Steps go part of the way, which gets shorter: large loads and service times far apart
// swing.
const (
	maxSteps     = 3000
	stepsToHalve = 400
)

// approximation is one that goes on.
type approximation struct {
	*grouped
	part     float64 // of the way to what a step gives
	load     float64 // erlangs, of the system of like units
	line     bool
	whole    bool // every order has every unit
	serviceH []float64
	random   sampling
	busy     []float64   // by unit
	shares   [][]float64 // by group, then unit: of calls that are served at once
}

func (a *approximation) begin() error {
	var load float64
	for i := range a.groups {
		for k := range a.groups[i].order {
			load += a.groups[i].work[k] / float64(len(a.groups[i].order))
		}
	}
	a.busy = make([]float64, a.units)
	if err := a.sampleAt(load); err != nil {
		return err
	}
	for u := range a.busy {
		a.busy[u] = a.random.busy
	}
	return nil
}

func (a *approximation) sampleAt(load float64) error {
	if a.line && load >= float64(a.units) {
		return fmt.Errorf("%w: the calls need %.4g units at a time and there are %d", ErrOverloaded, load, a.units)
	}
	a.load = load
	a.random = sample(a.units, load, a.line)
	return nil
}

// like makes the system of like units that the next step draws from.
func (a *approximation) like() error {
	a.serviceH = a.grouped.serviceH(a.shares)
	if !a.whole {
		return a.sampleAt(loadFor(a.units, min(mean(a.busy), 1-1e-9)))
	}
	var calls, work float64
	for i := range a.groups {
		group := &a.groups[i]
		for k, u := range group.order {
			calls += a.shares[i][u] * group.rate
			work += a.shares[i][u] * group.work[k]
		}
	}
	if calls == 0 {
		return nil
	}
	return a.sampleAt(a.load + (a.rate*work/calls-a.load)*a.part)
}

// step makes units' shares of the time and of calls from those before, and returns by how
// much a unit's changed.
func (a *approximation) step() float64 {
	chance := make([]float64, a.units)
	wanted := make([]float64, a.units) // load that a unit takes for each share of the time that it is free
	for i := range a.groups {
		group := &a.groups[i]
		a.chances(group, chance)
		for k, u := range group.order {
			wanted[u] += group.work[k] * chance[k]
			a.shares[i][u] = chance[k] * (1 - a.busy[u])
		}
		if a.whole {
			scale(a.shares[i], 1-a.random.full)
		} else {
			atMost(a.shares[i], 1)
		}
	}
	// A call that has waited goes to whichever unit is free first: as often to each as
	// its service is short, which keeps each as busy.
	delayed := 0.0
	if a.line {
		delayed = a.rate * a.random.full / a.most()
	}
	next := make([]float64, a.units)
	for u := range next {
		next[u] = (wanted[u] + delayed) / (1 + wanted[u])
	}
	if a.whole {
		scale(next, a.random.busy*float64(a.units))
	}
	var change float64
	for u, v := range next {
		v = min(v, 1)
		change = max(change, math.Abs(v-a.busy[u]))
		a.busy[u] += (v - a.busy[u]) * a.part
	}
	return change
}

// chances puts, by place in the order, the chance that those before are busy and this one
// is drawn while free, over the share that it is free.
func (a *approximation) chances(group *group, out []float64) {
	before := 1.0
	for k, u := range group.order {
		out[k] = a.random.at[k] / (1 - a.random.busy) * before
		if a.random.busy > 0 {
			before *= a.busy[u] / a.random.busy
		} else {
			before = 0
		}
	}
}

// most is the calls per hour that all units could take.
func (a *approximation) most() float64 {
	var sum float64
	for _, h := range a.serviceH {
		sum += 1 / h
	}
	return sum
}

func (a *approximation) result() *Result {
	r := &Result{Busy: a.busy}
	if a.line {
		most, load := a.most(), a.random.busy*float64(a.units)
		r.WaitShare = a.random.full
		r.InLine = r.WaitShare * load / (float64(a.units) - load)
		if a.rate > 0 {
			r.MeanWaitS = r.InLine / a.rate * hourS
		}
		for i := range a.shares {
			for u, h := range a.serviceH {
				a.shares[i][u] += r.WaitShare / h / most
			}
		}
	}
	r.fill(a.grouped, a.shares, a.line)
	return r
}

func mean(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// scale makes the sum of positive values what it should be.
func scale(v []float64, to float64) {
	if sum := mean(v) * float64(len(v)); sum > 0 {
		for i := range v {
			v[i] *= to / sum
		}
	}
}

// atMost makes the sum of positive values no more than most.
func atMost(v []float64, most float64) {
	if mean(v)*float64(len(v)) > most {
		scale(v, most)
	}
}
