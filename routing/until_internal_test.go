package routing

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// DeadlinesHold puts every deadline to the test by the networks of all
// options: the activity that starts late is made so much longer instead, in
// the first option and wherever it is used. Just before the deadline the first
// option is still the first; just after it the named one is. It returns how
// many deadlines there were.
func (e *Engine) DeadlinesHold(t assert.TestingT, q Question) int {
	const aroundS = 0.5
	s, err := e.everyWay(q)
	if err != nil || len(s.found) == 0 {
		return 0
	}
	rank(s.found, typical)
	first := &network{}
	s.build(&s.found[0].way, first)
	deadlines := s.until(&s.found[0], first)
	for _, d := range deadlines {
		uses, late := first.uses(), use{}
		for i := range first.n {
			if first.nodes[i].id == d.Activity {
				late = uses[i]
			}
		}
		totals := func(byS float64) map[string]float64 {
			out := map[string]float64{}
			for i := range s.found {
				s.build(&s.found[i].way, &s.w)
				uses := s.w.uses()
				for j := range s.w.n {
					if uses[j] == late {
						s.w.nodes[j].timing.TypicalS += byS
					}
				}
				out[s.found[i].id] = s.w.finish(typical)
			}
			return out
		}
		before, after := totals(d.DelayS-aroundS), totals(d.DelayS+aroundS)
		for id := range before {
			assert.LessOrEqual(t, before[s.found[0].id], before[id]+clearS, "%s %.1f s late: %s is before the first", d.Activity, d.DelayS, id)
			assert.LessOrEqual(t, after[d.Overtaker], after[id]+clearS, "%s later than %.1f s: %s is before the overtaker", d.Activity, d.DelayS, id)
		}
		assert.Less(t, after[d.Overtaker], after[s.found[0].id], "%s later than %.1f s", d.Activity, d.DelayS)
	}
	return len(deadlines)
}

func TestStartable(t *testing.T) {
	busy := node{kind: KindCommitted}
	busy.timing.TypicalS = 60
	assert.False(t, busy.startable(), "nobody can start the rest of another job")
	busy.kind = KindMobilise
	assert.True(t, busy.startable())
	busy.begun = true
	assert.False(t, busy.startable(), "it has started")
}
