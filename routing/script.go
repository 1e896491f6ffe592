package routing

import (
	"math"
	"sync"

	"surgeonward/facilities"
)

// script is a network as its draws see it: what is the same at every scene is worked
// out in every draw, what is not is left open.
type script struct {
	way   way
	nodes []scriptNode
	open  []int8  // nodes whose duration depends on the scene
	ops   []op    // nodes that do, or that follow one that does
	ends  []int8  // of ops: what nothing follows
	fixed *column // the latest end of all other nodes that nothing follows
	marks [levels]map[markKey]*mark
}

type scriptNode struct {
	id     string
	after  [6]ref
	nAfter int8
	timing facilities.Timing
	open   bool
}

// op is one node of a script: it starts when all before it have ended.
type op struct {
	node   int8
	open   bool
	after  [6]int8 // ops
	nAfter int8
	start  *column // the latest end of those before it that are no ops; nil: 0
	takes  *column // nil: takesS in every draw, or open
	takesS float64
	scores *column // open: of its cause
	sigma  float64
}

// column is a number in every draw.
type column [draws]float64

// columns are durations and scores in every draw, which all workers of a batch share.
type columns struct {
	takes  sync.Map // takesKey to *column
	scores sync.Map // cause to *column
}

type takesKey struct {
	cause  cause
	timing facilities.Timing
}

// of are the scores of a cause.
func (c *columns) of(why cause) *column {
	if known, ok := c.scores.Load(why); ok {
		return known.(*column)
	}
	out, scores := new(column), usualScores()
	for k, stratum := range usualStrata(why.String()) {
		out[k] = scores[stratum]
	}
	known, _ := c.scores.LoadOrStore(why, out)
	return known.(*column)
}

// duration is a duration of a cause; see sampler.column.
func (c *columns) duration(why cause, timing facilities.Timing) *column {
	key := takesKey{why, timing}
	if known, ok := c.takes.Load(key); ok {
		return known.(*column)
	}
	out, takes := new(column), lognormal(timing)
	for k, z := range c.of(why) {
		out[k] = takes(z)
	}
	known, _ := c.takes.LoadOrStore(key, out)
	return known.(*column)
}

// follows reports whether the network differs from the script in open durations only.
func (t *script) follows(w *network) bool {
	if len(t.nodes) != w.n {
		return false
	}
	for i := range t.nodes {
		n, nd := &t.nodes[i], &w.nodes[i]
		if n.id != nd.id || n.nAfter != nd.nAfter || n.after != nd.after || !n.open && n.timing != nd.timing {
			return false
		}
	}
	return true
}

// write makes the script of a way's network, which has no facts in it. Open is what
// was open in the one before and what differs from that.
func (c *columns) write(y *way, w *network, before *script) *script {
	t := &script{way: *y, nodes: make([]scriptNode, w.n), fixed: new(column)}
	like := before != nil && len(before.nodes) == w.n
	var opOf [maxNodes]int8 // -1: no op
	var followed [maxNodes]bool
	ends := make([]*column, w.n) // of what is no op
	for i := range w.n {
		nd := &w.nodes[i]
		n := &t.nodes[i]
		*n = scriptNode{id: nd.id, after: nd.after, nAfter: nd.nAfter, timing: nd.timing}
		n.open = like && (before.nodes[i].open || before.nodes[i].timing != nd.timing)
		o := op{node: int8(i), open: n.open, takesS: nd.timing.TypicalS}
		for _, a := range nd.after[:nd.nAfter] {
			followed[a] = true
			if k := opOf[a]; k >= 0 {
				o.after[o.nAfter] = k
				o.nAfter++
				continue
			}
			o.start = latest(o.start, ends[a])
		}
		if n.open {
			o.scores = c.of(nd.why())
			t.open = append(t.open, int8(i))
		} else if nd.timing.SlowS > nd.timing.TypicalS {
			o.takes = c.duration(nd.why(), nd.timing)
		}
		if o.nAfter == 0 && !n.open {
			opOf[i], ends[i] = -1, o.alone()
			continue
		}
		opOf[i] = int8(len(t.ops))
		t.ops = append(t.ops, o)
	}
	for i := range w.n {
		switch {
		case followed[i]:
		case opOf[i] >= 0:
			t.ends = append(t.ends, opOf[i])
		default:
			t.fixed = latest(t.fixed, ends[i])
		}
	}
	return t
}

// latest is the later of both in each draw; nil is 0.
func latest(a, b *column) *column {
	if a == nil {
		return b
	}
	out := *a
	later(out[:], b[:])
	return &out
}

// alone is when an op ends that follows no other.
func (o *op) alone() *column {
	if o.start == nil && o.takes != nil {
		return o.takes
	}
	var out column
	if o.start != nil {
		out = *o.start
	}
	if o.takes != nil {
		add(out[:], o.takes[:])
	} else {
		for k := range out {
			out[k] += o.takesS
		}
	}
	return &out
}

// set gives an open node its duration.
func (o *op) set(d facilities.Timing) { o.takesS, o.sigma = d.TypicalS, sigmaOf(d) }

// sigmaOf is a duration's spread as lognormal has it.
func sigmaOf(d facilities.Timing) float64 {
	if d.SlowS <= d.TypicalS {
		return 0
	}
	return math.Log(d.SlowS/d.TypicalS) / z90
}

// totals is the network's total in some draws, in the arithmetic of sampler.totals.
func (t *script) totals(which []uint16, s *sampler, out []float64) {
	const mask = draws - 1 // tells the compiler that no draw is beyond the columns
	for i := range t.ops {
		o := &t.ops[i]
		if s.ends[i] == nil {
			s.ends[i] = make([]float64, draws)
		}
		end := s.ends[i][:len(which)]
		if o.start != nil {
			for n, k := range which {
				end[n] = o.start[k&mask]
			}
		} else {
			clear(end)
		}
		for _, a := range o.after[:o.nAfter] {
			later(end, s.ends[a])
		}
		switch {
		case o.takes != nil:
			for n, k := range which {
				end[n] += o.takes[k&mask]
			}
		case o.sigma == 0:
			for n := range end {
				end[n] += o.takesS
			}
		default:
			for n, k := range which {
				takes := o.takesS * math.Exp(o.scores[k&mask]*o.sigma)
				if takes > facilities.MaxTiming {
					takes = facilities.MaxTiming
				}
				end[n] += takes
			}
		}
	}
	for n, k := range which {
		out[n] = t.fixed[k&mask]
	}
	for _, i := range t.ends {
		later(out[:len(which)], s.ends[i])
	}
}
