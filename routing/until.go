package routing

import (
	"fmt"
	"time"
)

// Deadline is how late one activity of the first option can start before
// another option is quicker, at typical durations, all else as planned. The
// other option is taken to have begun at the decision time: where it needs a
// vehicle of its own, that is called now, or loses as much as it is called
// later. Every meeting place and every choice of asset is kept as it was found.
type Deadline struct {
	Activity    string    // its id in the first option's plan
	LatestStart time.Time // a start after this makes Overtaker the quicker one
	DelayS      float64   // from the planned start to LatestStart, in seconds, 0 or more
	Overtaker   string    // the id of the option that is then the quickest; it may be beyond Question.Limit
	Sentence    string    // Start, LatestStart to the minute, and Instead
	Start       string    // what starts, in words
	Instead     string    // what the overtaker does, in words
}

// RunnerUp is what the second option would need to be the first.
type RunnerUp struct {
	Option     string
	NeedsS     float64  // seconds it is behind, by the total that the options are ranked by
	Activities []string // ids of its activities that could each give all of that, and are not the first's as well
	Sentence   string   // what it does, and Gap
	Gap        string   // how far it is behind and what could give that, in words
}

// outlook says what would change the answer: until when the first option is
// the first, what the second lacks, and what the total hangs on.
func (s *search) outlook(ans *Answer, c *contest) {
	first, w := &c.all[0].candidate, &network{}
	s.build(&first.way, w)
	ans.Until = s.until(first, w)
	ans.DecideBy = decideBy(ans.Until)
	// Beyond the options that are returned, contenders are in order of their
	// typical totals, which is no order of slow ones.
	if len(c.all) > 1 && (c.shown > 1 || !s.RankBySlow) {
		ans.RunnerUp = s.runnerUp(first, &c.all[1].candidate, w)
	}
	ans.Sensitivity = s.sensitivity(c, w)
}

// use is an activity by what tells it from others in every option: the same
// mobilisation, or the same asset's second drive.
type use struct {
	cause cause
	asset *Asset
	turn  int // how many activities of the same cause and asset come before it
}

func (w *network) uses() (out [maxNodes]use) {
	for i := range w.n {
		out[i] = use{cause: w.nodes[i].why(), asset: w.nodes[i].asset}
		for k := range i {
			if out[k].cause == out[i].cause && out[k].asset == out[i].asset {
				out[i].turn++
			}
		}
	}
	return out
}

// startable reports whether the activity takes time and somebody can still
// choose when it starts.
func (nd *node) startable() bool {
	switch nd.kind {
	case KindCommitted, KindOffDuty, KindSurgeon:
		return false
	}
	return nd.timing.TypicalS > 0 && !nd.begun
}

// finishMoved is the finish at typical durations with the start of each node
// that is chosen put off by some seconds.
func (w *network) finishMoved(chosen func(i int) bool, byS float64) float64 {
	var ends [maxNodes]float64
	last := 0.0
	for i := range w.n {
		start := 0.0
		for _, a := range w.nodes[i].after[:w.nodes[i].nAfter] {
			start = max(start, ends[a])
		}
		if chosen(i) {
			start += byS
		}
		ends[i] = start + w.nodes[i].timing.TypicalS
		last = max(last, ends[i])
	}
	return last
}

// sameS is the difference under which two totals are one, in seconds: it
// absorbs floating-point residue.
const sameS = 1e-6

// clearS is how many seconds an option must come to be quicker by to count as
// overtaking: two that end with the same theatre go on together, and never
// overtake each other.
const clearS = 1

// until finds the deadlines of the first option, whose network is built, in
// the order of its activities. An activity that no option does without has
// none, and neither has what happens to the patient on the way.
//
// Once the slack of an activity is used up, each second of delay moves the
// first option's end by one. An option whose total is the first's plus some
// seconds overtakes it after slack plus those seconds, unless the delay holds
// it up as well, because it needs the same activity and has no more slack on
// it. So the overtaker is the first, in order of typical totals, that the
// delay, and a second more, leaves where it is. Options that are quicker at typical durations from
// the start, and not first because slow totals rank, are left out.
func (s *search) until(first *candidate, w *network) []Deadline {
	uses, latest := w.uses(), w.latest()
	open := make([]int, 0, w.n) // activities that nobody has been found for
	away := false               // the patient has left the scene: nobody chooses another vehicle then
	for i := range w.n {
		nd := &w.nodes[i]
		if nd.startable() && !(away && nd.lane == LanePatient) {
			open = append(open, i)
		}
		away = away || nd.kind == KindTravel && nd.lane == LanePatient
	}
	var found [maxNodes]*Deadline
	for k := range s.found {
		other := &s.found[k]
		aheadS := other.total.TypicalS - first.total.TypicalS
		if len(open) == 0 || other.id == first.id || aheadS < 0 {
			continue
		}
		s.build(&other.way, &s.w)
		theirs := s.w.uses()
		still := open[:0]
		for _, i := range open {
			nd := &w.nodes[i]
			delayS := max(0, latest[i]-nd.endS) + aheadS
			same := func(j int) bool { return theirs[j] == uses[i] }
			if s.w.finishMoved(same, delayS+clearS) > other.total.TypicalS+sameS {
				still = append(still, i)
				continue
			}
			d := Deadline{Activity: nd.id, LatestStart: s.after(nd.startS + delayS).Round(time.Millisecond), DelayS: delayS,
				Overtaker: other.id, Start: starting(nd), Instead: does(&other.way)}
			d.Sentence = fmt.Sprintf("%s after %s: rather %s", d.Start, s.minute(d.LatestStart), d.Instead)
			found[i] = &d
		}
		open = still
	}
	var out []Deadline
	for i := range w.n {
		if found[i] != nil {
			out = append(out, *found[i])
		}
	}
	return out
}

// minute is the time of day in the region, its seconds cut off so that a
// deadline is never said to be later than it is.
func (p *problem) minute(t time.Time) string { return t.In(p.Settings.Zone).Format("15:04") }

// decideBy is the deadline that comes first.
func decideBy(deadlines []Deadline) *Deadline {
	var out *Deadline
	for i := range deadlines {
		if d := &deadlines[i]; out == nil || d.LatestStart.Before(out.LatestStart) {
			out = d
		}
	}
	return out
}

// runnerUp is what the second candidate would need to be the first, whose
// network is built.
func (s *search) runnerUp(first, second *candidate, w *network) *RunnerUp {
	key := typical
	if s.RankBySlow {
		key = slow
	}
	out := &RunnerUp{Option: second.id, NeedsS: max(0, key(second.total)-key(first.total))}
	s.build(&second.way, &s.w)
	firsts, seconds := w.uses(), s.w.uses()
	var steps []string
	for j := range s.w.n {
		nd := &s.w.nodes[j]
		if out.NeedsS == 0 || nd.timing.TypicalS < out.NeedsS || !nd.startable() || shared(seconds[j], firsts[:w.n]) {
			continue
		}
		it := func(i int) bool { return i == j }
		if s.w.finishMoved(it, -out.NeedsS) <= second.total.TypicalS-out.NeedsS+sameS {
			out.Activities = append(out.Activities, nd.id)
			steps = append(steps, taking(nd))
		}
	}
	out.words(&second.way, steps)
	return out
}

func shared(u use, others []use) bool {
	for _, o := range others {
		if o == u {
			return true
		}
	}
	return false
}
