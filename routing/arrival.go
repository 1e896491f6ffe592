package routing

import (
	"slices"

	"surgeonward/facilities"
)

// arrivals fills in when the contender's patient is at the door and on the
// pad, from the draws whose totals have just been made: the slow time is the
// instant that 9 in 10 draws are there by, as that of the total is. Neither is
// below the typical one, for the reason that sampler.spread gives.
func (s *sampler) arrivals(o *contender, w *network) {
	o.atDoor, o.lands = nil, nil
	for i := range w.n {
		switch nd := &w.nodes[i]; {
		case nd.id == "handover":
			o.atDoor = s.instant(nd.startS, nd.after[:nd.nAfter])
		case nd.id == "travel_to_hospital" && nd.byAir:
			o.lands = s.instant(nd.endS, []ref{ref(i)})
		}
	}
}

// instant is when all of some steps have ended, in seconds after the decision
// time: as given at typical durations, and in 9 of 10 of the last draws.
func (s *sampler) instant(typicalS float64, ended []ref) *facilities.Timing {
	s.sorted = append(s.sorted[:0], make([]float64, s.n)...)
	for _, i := range ended {
		if s.moves[i] {
			later(s.sorted, s.ends[i])
			continue
		}
		for k := range s.sorted {
			s.sorted[k] = max(s.sorted[k], s.fixed[i])
		}
	}
	slices.Sort(s.sorted)
	return &facilities.Timing{TypicalS: typicalS, SlowS: max(typicalS, percentile(s.sorted, 0.9))}
}
