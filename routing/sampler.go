package routing

import (
	"math"

	"surgeonward/facilities"
)

// z90 is the 90th percentile of the standard normal distribution.
const z90 = 1.2815515655446004

// lognormal is a duration as a function of its normal score z: the two-quantile
// lognormal whose median is typical and whose 90th percentile is slow,
//
//	d(z) = typical exp(z ln(slow/typical) / z90)
//
// Without spread it is typical. A median of 0 leaves no lognormal: the upper
// half is then a straight line through 0 and slow, slow max(0, z)/z90. No
// duration is longer than facilities.MaxTiming, which is never less than slow.
func lognormal(t facilities.Timing) func(z float64) float64 {
	if t.SlowS <= t.TypicalS {
		return func(float64) float64 { return t.TypicalS }
	}
	if t.TypicalS == 0 {
		perZ := t.SlowS / z90
		return func(z float64) float64 { return math.Min(math.Max(0, z)*perZ, facilities.MaxTiming) }
	}
	sigma := math.Log(t.SlowS/t.TypicalS) / z90
	return func(z float64) float64 {
		d := t.TypicalS * math.Exp(z*sigma)
		if d > facilities.MaxTiming {
			return facilities.MaxTiming
		}
		return d
	}
}

// step is a node with no more than its total depends on.
type step struct {
	timing facilities.Timing // what is left of it
	whole  facilities.Timing // with what is behind it
	spentS float64           // what is behind it, a fact
	after  [6]ref
	nAfter int8
	cause  int32
	windS  float64 // flights: how much longer in the slow wind
	roadS  float64 // drives: how much longer on longer roads
}

// varies reports whether the step has a spread.
func (s *step) varies() bool { return s.whole.SlowS > s.whole.TypicalS }

// sampler draws the totals of options. It serves one question at a time.
type sampler struct {
	n        int // draws, at most 65536
	scores   []float64
	quantile func(facilities.Timing) func(z float64) float64

	numbers map[cause]int32
	causes  []cause
	strata  [][]uint16 // by number of the cause; nil until drawn

	columns map[columnKey][]float64
	spare   [][]float64
	ends    [maxNodes][]float64 // of the steps of the last totals, in every draw,
	moves   [maxNodes]bool      // where a draw moves them,
	fixed   [maxNodes]float64   // and once where none does
	sorted  []float64
}

type columnKey struct {
	cause  int32
	whole  facilities.Timing
	spentS float64
}

// maxColumns bounds the durations that are kept for options that share them.
const maxColumns = 128

func newSampler() *sampler {
	return &sampler{n: draws, scores: usualScores(), quantile: lognormal,
		numbers: map[cause]int32{}, columns: map[columnKey][]float64{}}
}

// number is the cause's place in the sampler.
func (s *sampler) number(c cause) int32 {
	n, ok := s.numbers[c]
	if !ok {
		n = int32(len(s.causes))
		s.numbers[c] = n
		s.causes = append(s.causes, c)
		s.strata = append(s.strata, nil)
	}
	return n
}

// steps is what the network's total depends on.
func (s *sampler) steps(w *network) []step {
	out := make([]step, w.n)
	for i := range w.n {
		nd := &w.nodes[i]
		out[i] = step{timing: nd.timing, whole: nd.timing, after: nd.after, nAfter: nd.nAfter,
			cause: s.number(nd.why()), windS: nd.windS}
		if nd.spentS > 0 {
			out[i].whole, out[i].spentS = nd.whole, nd.spentS
		}
	}
	return out
}

// column is the step's duration in every draw.
func (s *sampler) column(st *step) []float64 {
	key := columnKey{st.cause, st.whole, st.spentS}
	if known, ok := s.columns[key]; ok {
		return known
	}
	if len(s.columns) >= maxColumns {
		for key, c := range s.columns { // any order: they are only memory
			s.spare = append(s.spare, c)
			delete(s.columns, key)
		}
	}
	var out []float64
	if last := len(s.spare) - 1; last >= 0 {
		out, s.spare = s.spare[last], s.spare[:last]
	} else {
		out = make([]float64, s.n)
	}
	duration := s.quantile(st.whole)
	if strata := s.of(st.cause); st.spentS > 0 {
		for i := range out {
			out[i] = math.Max(0, duration(s.scores[strata[i]])-st.spentS)
		}
	} else {
		for i := range out {
			out[i] = duration(s.scores[strata[i]])
		}
	}
	s.columns[key] = out
	return out
}

func (s *sampler) of(number int32) []uint16 {
	if s.strata[number] == nil {
		if name := s.causes[number].String(); s.n == draws {
			s.strata[number] = usualStrata(name)
		} else {
			s.strata[number] = strata(name, s.n)
		}
	}
	return s.strata[number]
}

// totals is the instant the last step ends in every draw, written to out.
// Steps that no draw moves are added up once.
func (s *sampler) totals(steps []step, out []float64) {
	var followed [maxNodes]bool
	fixed, moves := &s.fixed, &s.moves
	*moves = [maxNodes]bool{}
	for i := range steps {
		st := &steps[i]
		start := 0.0
		for _, a := range st.after[:st.nAfter] {
			followed[a] = true
			if moves[a] {
				moves[i] = true
			} else {
				start = math.Max(start, fixed[a])
			}
		}
		if !moves[i] && !st.varies() {
			fixed[i] = start + st.timing.TypicalS
			continue
		}
		moves[i] = true
		if s.ends[i] == nil {
			s.ends[i] = make([]float64, s.n)
		}
		end := s.ends[i]
		fill(end, start)
		for _, a := range st.after[:st.nAfter] {
			if moves[a] {
				later(end, s.ends[a])
			}
		}
		if st.varies() {
			add(end, s.column(st))
		} else if st.timing.TypicalS > 0 {
			for k := range end {
				end[k] += st.timing.TypicalS
			}
		}
	}
	fill(out, 0)
	last := 0.0
	for i := range steps {
		switch {
		case followed[i]:
		case moves[i]:
			later(out, s.ends[i])
		default:
			last = math.Max(last, fixed[i])
		}
	}
	if last > 0 {
		for k := range out {
			out[k] = math.Max(out[k], last)
		}
	}
}

func fill(out []float64, v float64) {
	for k := range out {
		out[k] = v
	}
}

// later keeps the later of both in each draw.
func later(out, other []float64) {
	other = other[:len(out)]
	for k, v := range other {
		if v > out[k] {
			out[k] = v
		}
	}
}

func add(out, other []float64) {
	other = other[:len(out)]
	for k, v := range other {
		out[k] += v
	}
}
