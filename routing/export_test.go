package routing

import (
	"cmp"
	"slices"
	"strings"

	"surgeonward/facilities"
)

// Naive answers the question the slow, obvious way: every pair from scratch,
// nothing shared between pairs, the total as the longest of all chains found
// by name, every option put into words, and only then sorted and cut.
func (e *Engine) Naive(q Question) ([]Option, error) {
	if err := e.check(&q); err != nil {
		return nil, err
	}
	var out []Option
	for i := range e.Fleet.assets {
		for j := range e.Facilities.OfKind(facilities.Hospital) {
			p := &problem{Engine: e, Question: q}
			needs, _ := p.needs()
			from := p.approaches(p.units())
			to := p.destinations(needs)
			y, reasons := p.pair(from, &from[i], &to[j])
			var w network
			if y.timed() {
				reasons = append(reasons, p.build(&y, &w)...)
			}
			if len(reasons) > 0 {
				continue
			}
			o := p.option(0, &candidate{way: y, total: w.total(), id: y.id()}, &w)
			o.Total.TypicalS = longestChain(o.Plan)
			out = append(out, o)
		}
	}
	slices.SortFunc(out, func(a, b Option) int {
		return cmp.Or(cmp.Compare(a.Total.TypicalS, b.Total.TypicalS),
			cmp.Compare(a.Transfers, b.Transfers), strings.Compare(a.ID, b.ID))
	})
	for i := range out {
		out[i].Rank = i + 1
	}
	return out[:min(len(out), q.Limit)], nil
}

// longestChain is the total without a schedule: the longest chain of
// activities, found by following every predecessor by its name.
func longestChain(p Plan) float64 {
	byID := map[string]Scheduled{}
	for _, s := range p {
		byID[s.ID] = s
	}
	var until func(id string) float64
	until = func(id string) float64 {
		s, best := byID[id], 0.0
		for _, a := range s.After {
			best = max(best, until(a))
		}
		return best + s.Timing.TypicalS
	}
	best := 0.0
	for _, s := range p {
		if s.Kind != KindWait {
			best = max(best, until(s.ID))
		}
	}
	return best
}
