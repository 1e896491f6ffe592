package routing

import "surgeonward/facilities"

// openings draws when teams are with the patient and have opened the chest,
// each team in the same draws as the others.
type openings struct {
	*sampler
	done   []float64 // when the team drawn last is done
	inTime []bool    // draws in which a team has the chest open within the window
}

func newOpenings() *openings {
	s := newSampler()
	return &openings{sampler: s, done: make([]float64, s.n), inTime: make([]bool, s.n)}
}

// draw draws one team's steps, which follow one another.
func (o *openings) draw(w *network) { o.totals(o.steps(w), o.done) }

// when is the end of a step of the team drawn last; none is the decision time.
func (o *openings) when(w *network, step ref) facilities.Timing {
	if step == none {
		return facilities.Timing{}
	}
	return *o.instant(w.end(step), []ref{step})
}

// within is the chance that the team drawn last is done within the window, when
// output was lost so many seconds before the decision time.
func (o *openings) within(w Window, goneS float64) float64 {
	in := 0
	for k, s := range o.done {
		if w.Inside(w.Margin(goneS + s)) {
			in++
			o.inTime[k] = true
		}
	}
	return float64(in) / float64(o.n)
}

// chance is the share of the draws in which at least one team was within.
func (o *openings) chance() float64 {
	in := 0
	for _, yes := range o.inTime {
		if yes {
			in++
		}
	}
	return float64(in) / float64(o.n)
}
