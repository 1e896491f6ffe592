package routing

import (
	"math"

	"surgeonward/facilities"
)

// slows works out slow totals of one scene after the other, most of which come by
// the same ways. Two networks that differ in durations only, by a factor of at most
// r, have totals that differ by at most r in every draw: a total is the greatest of
// sums of durations. So the draws that can be the 9-in-10 figure are known from
// those of a network like it, a mark, and only they are drawn, to the same last bit.
type slows struct {
	*sampler
	columns *columns
	scripts map[way]*script
	last    *script
	marks   int      // of all scripts
	every   []uint16 // all draws
	which   []uint16 // the draws in question
	drawn   []float64
}

// maxOpen bounds the durations of a script that depend on the scene.
const maxOpen = 4

// markKey is where a mark lies: the steps of its open durations.
type markKey [maxOpen]int16

// mark is a network whose open durations are round numbers, with the draws that are
// near its 9-in-10 figure.
type mark struct {
	timing  [maxOpen]facilities.Timing
	figure  [2]float64 // the two totals that the figure lies between
	below   int        // draws that are quicker than all of these
	lowS    float64    // between lowS and highS
	highS   float64
	totals  []float64
	draws   []uint16
	visited int // scenes that have been near
}

// levels of marks: a fine one is made from a coarse one, once enough scenes are near.
const (
	coarse = iota
	fine
	levels
)

// markStep is a level's factor between marks, and markReach how far beyond the figure
// draws are kept, as a factor.
var (
	markStep  = [levels]float64{1.16, 1.04}
	markReach = [levels]float64{1.4, 1.1}
)

const (
	enough     = 6    // scenes near a coarse mark that make finer ones pay
	maxMarks   = 2048 // of a worker, some 5 kB each, coarse ones 20 kB
	maxScripts = 128  // some 100 kB each
)

// z0 is the greatest score there is.
var z0 = math.Sqrt2 * math.Erfinv(1-1/float64(draws))

func newSlows(s *sampler, shared *columns) *slows {
	out := &slows{sampler: s, columns: shared, scripts: map[way]*script{}, every: make([]uint16, draws), drawn: make([]float64, draws)}
	for k := range out.every {
		out.every[k] = uint16(k)
	}
	return out
}

// ofWay is the slow total of the way that has been built into the network, which has
// no facts in it. It is false where it has to be drawn in full.
func (s *slows) ofWay(y *way, w *network, typicalS float64) (float64, bool) {
	t := s.script(y, w)
	if len(t.open) > maxOpen {
		return 0, false
	}
	near := s.nearest(t, w, coarse, nil)
	if near == nil {
		return 0, false
	}
	if near.visited++; near.visited > enough {
		if m := s.nearest(t, w, fine, near); m != nil {
			near = m
		}
	}
	return s.near(t, near, w, typicalS)
}

// script is the way's, made or made anew where something has turned out to depend on
// the scene.
func (s *slows) script(y *way, w *network) *script {
	t := s.last
	if t == nil || t.way != *y {
		t = s.scripts[*y]
	}
	if t == nil || !t.follows(w) {
		if t == nil && len(s.scripts) >= maxScripts {
			clear(s.scripts)
			s.marks = 0
		}
		t = s.columns.write(y, w, t)
		s.scripts[*y] = t
	}
	s.last = t
	return t
}

// nearest is the mark of a level that the network is nearest to, made from the one
// above it. It is nil where there can be none.
func (s *slows) nearest(t *script, w *network, level int, above *mark) *mark {
	var key markKey
	for k, i := range t.open {
		at := math.Round(math.Log(w.nodes[i].timing.TypicalS) / math.Log(markStep[level]))
		if !(math.Abs(at) < math.MaxInt16) { // not of 0 either
			return nil
		}
		key[k] = int16(at)
	}
	if m := t.marks[level][key]; m != nil {
		return m
	}
	if s.marks >= maxMarks { // they are only memory
		for _, other := range s.scripts {
			other.marks = [levels]map[markKey]*mark{}
		}
		s.marks = 0
	}
	var timing [maxOpen]facilities.Timing
	for k, i := range t.open {
		d := w.nodes[i].timing
		typicalS := math.Pow(markStep[level], float64(key[k]))
		timing[k] = facilities.Timing{TypicalS: typicalS, SlowS: typicalS * (d.SlowS / d.TypicalS)}
	}
	m := s.mark(t, timing, markReach[level], above)
	if m == nil {
		return nil
	}
	if t.marks[level] == nil {
		t.marks[level] = map[markKey]*mark{}
	}
	t.marks[level][key] = m
	s.marks++
	return m
}

// mark draws the network with these open durations: in every draw, or in those that
// can be kept by what the mark above says.
func (s *slows) mark(t *script, timing [maxOpen]facilities.Timing, reach float64, above *mark) *mark {
	m := &mark{timing: timing}
	which := s.every
	if above != nil {
		low, high := above.apart(t, func(k int) facilities.Timing { return timing[k] })
		lowS, highS := above.figure[0]*low/reach/high, above.figure[1]*high*reach/low
		if lowS < above.lowS || highS > above.highS {
			return nil
		}
		which, m.below = s.between(above, lowS, highS)
	}
	t.set(func(k int) facilities.Timing { return timing[k] })
	totals := s.drawn[:len(which)]
	t.totals(which, s.sampler, totals)
	s.sorted = append(s.sorted[:0], totals...)
	m.figure[0], m.figure[1] = parted(s.sorted, int(math.Floor(at90(draws)))-m.below)
	m.lowS, m.highS = m.figure[0]/reach, m.figure[1]*reach
	n := 0
	for _, total := range totals {
		if total >= m.lowS && total <= m.highS {
			n++
		}
	}
	m.totals, m.draws = make([]float64, 0, n), make([]uint16, 0, n)
	for k, total := range totals {
		switch {
		case total < m.lowS:
			m.below++
		case total <= m.highS:
			m.totals, m.draws = append(m.totals, total), append(m.draws, which[k])
		}
	}
	return m
}

// between are the draws of a mark with a total between two instants, and how many are
// below them.
func (s *slows) between(m *mark, lowS, highS float64) (which []uint16, below int) {
	which, below = s.which[:0], m.below
	for k, total := range m.totals {
		switch {
		case total < lowS:
			below++
		case total <= highS:
			which = append(which, m.draws[k])
		}
	}
	s.which = which
	return which, below
}

// apart are the factors that totals with other open durations are between, beside
// those of the mark.
func (m *mark) apart(t *script, timing func(k int) facilities.Timing) (low, high float64) {
	low, high = 1, 1
	for k := range t.open {
		d := timing(k)
		ratio := d.TypicalS / m.timing[k].TypicalS
		off := math.Exp(z0 * math.Abs(sigmaOf(d)-sigmaOf(m.timing[k])))
		low, high = min(low, ratio/off), max(high, ratio*off)
	}
	return low * (1 - 1e-9), high * (1 + 1e-9) // rounding, many times over
}

// set gives the open ops their durations.
func (t *script) set(timing func(k int) facilities.Timing) {
	k := 0
	for i := range t.ops {
		if t.ops[i].open {
			t.ops[i].set(timing(k))
			k++
		}
	}
}

// near is the slow total of a network beside a mark: its figure is apart from that of
// the mark by no more than all draws are.
func (s *slows) near(t *script, m *mark, w *network, typicalS float64) (float64, bool) {
	timing := func(k int) facilities.Timing { return w.nodes[t.open[k]].timing }
	low, high := m.apart(t, timing)
	lowS, highS := m.figure[0]*low/high, m.figure[1]*high/low
	if lowS < m.lowS || highS > m.highS {
		return 0, false
	}
	t.set(timing)
	which, below := s.between(m, lowS, highS)
	totals := s.drawn[:len(which)]
	t.totals(which, s.sampler, totals)
	at := at90(draws)
	i := int(math.Floor(at))
	a, b := parted(totals, i-below)
	return max(typicalS, between(a, b, at-float64(i))), true
}
