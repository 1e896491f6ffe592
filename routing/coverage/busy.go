package coverage

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"surgeonward/routing/busy"
)

// Calls are the calls that a fleet answers, which say how busy it is. They come by themselves
// and spread over the cells as the people do.
type Calls struct {
	PerDay   float64  // over all cells, from 0 to MaxCallsPerDay
	ServiceS float64  // from a call until its asset is free again, in seconds; 0: the engine's own time of the mission
	Assets   []string // ids of those that can be busy; nil: all can. The others are always free
	Depth    int      // how many assets are looked at for a cell, from 1 to MaxDepth; 0: UsualDepth
}

// The limits on calls.
const (
	MaxCallsPerDay = 100_000.0
	MaxDepth       = 8
	UsualDepth     = 4
)

// Busy is what to expect of coverage while assets are out on other calls.
type Busy struct {
	Situation string
	Share     float64 // of all situations, as the plan's situation has it
	Calls     Calls
	Units     []Unit // by id; who is sent nowhere is not among them and never busy
	Exact     bool   // the shares and chances are the hypercube model's; else its approximation's
	Expected  *Expected
	Order     *Preference
	Chances   [][]float64 // by cell and way, as Preference.Expect takes them
}

// Unit is one asset.
type Unit struct {
	Asset    string
	Share    float64 // of the time that it is out on a call
	ServiceS float64 // the mean time from its call until it is free again, in seconds
	PerDay   float64 // calls that it takes
}

// Check says what is wrong with the calls.
func (c *Calls) Check() error {
	var faults []error
	if !(c.PerDay >= 0 && c.PerDay <= MaxCallsPerDay) {
		faults = append(faults, fmt.Errorf("%g calls per day are not from 0 to %g", c.PerDay, MaxCallsPerDay))
	}
	if !(c.ServiceS >= 0 && c.ServiceS <= busy.MaxServiceS) {
		faults = append(faults, fmt.Errorf("a service time of %g s is not from 0 to %g", c.ServiceS, busy.MaxServiceS))
	}
	if c.Depth < 0 || c.Depth > MaxDepth {
		faults = append(faults, fmt.Errorf("a depth of %d assets is not from 1 to %d", c.Depth, MaxDepth))
	}
	return errors.Join(faults...)
}

// RunBusy works out how busy the assets of the plan's situation are with the calls and what
// coverage is to be expected then: at each cell the expectation over which of its assets is
// the first that is free, by routing/busy. With busy.MaxExact units or fewer the chances are
// the hypercube model's own; with more, the units are taken to be busy independently. First is as
// for Prefer.
func RunBusy(ctx context.Context, p Plan, first *Result, calls Calls) (*Busy, error) {
	if err := errors.Join(calls.Check(), p.Demand.Check()); err != nil {
		return nil, err
	}
	people := p.Demand.People()
	if !(people > 0) {
		return nil, errors.New("calls are spread as the people are, and there are none: give people or incidents")
	}
	if calls.Depth == 0 {
		calls.Depth = UsualDepth
	}
	order, err := Prefer(ctx, p, first, calls.Assets, calls.Depth)
	if err != nil {
		return nil, err
	}
	serviceS := slices.Repeat([]float64{calls.ServiceS}, len(order.Units))
	if calls.ServiceS == 0 {
		if serviceS, err = order.missions(ctx, p); err != nil {
			return nil, err
		}
	}
	b, err := order.Solve(ctx, calls, serviceS)
	if err != nil {
		return nil, err
	}
	b.Situation, b.Share = p.Situation.Name, p.Situation.Share
	return b, nil
}

// Solve works the shares and the expectation out for units that are taken up for so many
// seconds on average by a call, by their places.
func (p *Preference) Solve(ctx context.Context, calls Calls, serviceS []float64) (*Busy, error) {
	b := &Busy{Calls: calls, Order: p, Exact: len(p.Units) <= busy.MaxExact}
	if len(p.Units) == 0 { // nobody who can be busy is sent anywhere
		b.Chances = p.Chances(nil)
		b.Expected = p.Expect(b.Chances)
		return b, nil
	}
	r, err := busy.Solve(ctx, p.System(calls.PerDay, serviceS))
	if err != nil {
		return nil, fmt.Errorf("shares of the time on calls: %w", err)
	}
	b.Chances = p.Chances(r.Busy)
	if b.Exact {
		b.Chances = p.chances(func(cell, unit int, _ float64) float64 { return r.Shares[cell][unit] })
	}
	b.Expected = p.Expect(b.Chances)
	people := p.Demand.People()
	for u, id := range p.Units {
		unit := Unit{Asset: id, Share: min(r.Busy[u], 1), ServiceS: serviceS[u]}
		for i := range p.Demand.Cells {
			unit.PerDay += calls.PerDay * p.Demand.Cells[i].People / people * r.Shares[i][u]
		}
		b.Units = append(b.Units, unit)
	}
	return b, nil
}

// System is the queueing model of the order: every cell's calls, who is sent to them, and how
// long each unit is then taken up.
func (p *Preference) System(callsPerDay float64, serviceS []float64) *busy.System {
	people := p.Demand.People()
	s := &busy.System{}
	for _, v := range serviceS {
		s.ServiceS = append(s.ServiceS, []float64{v})
	}
	for i, ways := range p.Ways {
		order := []int{}
		for _, w := range ways {
			if w.Unit >= 0 {
				order = append(order, w.Unit)
			}
		}
		s.Orders = append(s.Orders, order)
		s.PerHour = append(s.PerHour, callsPerDay/24*p.Demand.Cells[i].People/people)
	}
	return s
}

// missionScenes is how many scenes of a unit its mean time on a mission is taken from.
const missionScenes = 24

// missions is each unit's mean time from call until free again, by the engine: over the scenes
// where it is sent first or, where it never is, next. Scenes are drawn as often as they have
// people, at equal steps through them (systematic sampling with probability proportional to
// size; Madow 1949), so that there is no chance in it.
func (p *Preference) missions(ctx context.Context, plan Plan) ([]float64, error) {
	out := make([]float64, len(p.Units))
	for u := range out {
		cells, rank := p.sentTo(u)
		away := func(cell int) (ids []string) {
			for _, w := range p.Ways[cell][:rank] {
				ids = append(ids, p.Units[w.Unit])
			}
			return ids
		}
		drawn := p.draw(cells)
		for _, i := range drawn {
			q := plan.Situation.Away(away(i)...).Question
			q.Scene.Position = p.Demand.Cells[i].At
			missions, err := plan.Engine.Missions(ctx, q)
			if err != nil {
				return nil, err
			}
			for _, m := range missions {
				if m.Asset == p.Units[u] {
					out[u] += m.BusyS / float64(len(drawn))
				}
			}
		}
		out[u] = max(out[u], shortestS)
	}
	return out, nil
}

// shortestS keeps a mission of no time, as where every duration is set to none, from being no
// mission.
const shortestS = 1

// sentTo is the cells where the unit stands first of all its places in their orders.
func (p *Preference) sentTo(unit int) (cells []int, rank int) {
	rank = math.MaxInt
	for i, ways := range p.Ways {
		for k, w := range ways {
			if w.Unit != unit {
				continue
			}
			if k < rank {
				rank, cells = k, nil
			}
			if k == rank {
				cells = append(cells, i)
			}
		}
	}
	return cells, rank
}

// draw takes missionScenes of the cells at equal steps through their people; each cell where
// they have none.
func (p *Preference) draw(cells []int) []int {
	var people float64
	for _, i := range cells {
		people += p.Demand.Cells[i].People
	}
	if people == 0 {
		return cells[:min(len(cells), missionScenes)]
	}
	var out []int
	var passed float64
	for _, i := range cells {
		passed += p.Demand.Cells[i].People / people
		for len(out) < missionScenes && passed*missionScenes >= float64(len(out))+0.5 {
			out = append(out, i)
		}
	}
	return out
}

// ExpectBusy is what to expect over several situations by their shares: units' shares of the
// time, their calls and the expectation are those of the situations, weighed. It has no
// order of its own.
func ExpectBusy(all []*Busy) (*Busy, error) {
	var total float64
	for _, b := range all {
		if len(b.Order.Ways) != len(all[0].Order.Ways) {
			return nil, errors.New("the situations have other cells: run them over the same demand")
		}
		total += b.Share
	}
	if !(total > 0) || math.IsInf(total, 1) {
		return nil, errors.New("the shares of the situations add up to nothing")
	}
	out := &Busy{Situation: "all situations", Share: total, Calls: all[0].Calls, Exact: true}
	units := map[string]*Unit{}
	for _, b := range all {
		out.Exact = out.Exact && b.Exact
		for _, u := range b.Units {
			sum := units[u.Asset]
			if sum == nil {
				sum = &Unit{Asset: u.Asset}
				units[u.Asset] = sum
			}
			part := b.Share / total
			sum.Share += u.Share * part
			sum.PerDay += u.PerDay * part
			sum.ServiceS += u.ServiceS * u.PerDay * part // over its calls
		}
	}
	for _, id := range slices.Sorted(maps.Keys(units)) {
		u := units[id]
		if u.PerDay > 0 {
			u.ServiceS /= u.PerDay
		}
		out.Units = append(out.Units, *u)
	}
	var times, chances []float64
	out.Expected = expect(all[0].Order.Demand, func(i int) ([]float64, []float64) {
		times, chances = times[:0], chances[:0]
		for _, b := range all {
			left := 1.0
			for k := range b.Order.Ways[i] {
				times, chances = append(times, seconds(&b.Order.Ways[i][k].Best)), append(chances, b.Chances[i][k]*b.Share/total)
				left -= b.Chances[i][k]
			}
			if left > rounding {
				times, chances = append(times, math.Inf(1)), append(chances, left*b.Share/total)
			}
		}
		return times, chances
	})
	return out, nil
}

// Unanswered is the share of the people for whom, at the time of a call, nobody of their
// order is free or nobody ever is.
func (b *Busy) Unanswered() float64 {
	if b.Expected.People == 0 {
		return 0
	}
	return max(0, 1-b.Expected.Reached.People/b.Expected.People)
}
