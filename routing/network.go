package routing

import (
	"math"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
)

// maxNodes bounds a network: the longest shape has some thirty activities, and
// a fixed array keeps the hot path free of allocation.
const maxNodes = 48

// ref is a node's place in its network; none is no node.
type ref int8

const none ref = -1

// node is an activity while a network is being built.
type node struct {
	id     string
	kind   ActivityKind
	lane   Lane
	asset  *Asset
	after  [6]ref
	nAfter int8
	timing facilities.Timing
	metres float64
	whole  facilities.Timing // the timing with what is behind it, where spentS is not 0
	spentS float64           // how much of it is behind it, a fact
	begun  bool              // a fact says that it has started
	from   orb.Point
	to     orb.Point
	path   []orb.Point // road legs that bend; nil: straight from from to to
	byAir  bool
	basis  basis
	goal   string  // travel: where it goes, in words
	cause  cause   // what makes it vary, where its kind and asset do not say; see why
	windS  float64 // flights: how much longer in the slow wind
	startS float64 // at typical durations, known as soon as the node is added
	endS   float64
}

// network is an option under construction: an activity-on-node network in
// which every node comes after its predecessors, so that one pass in order is
// a forward pass (critical path method; Kelley & Walker 1959).
type network struct {
	nodes    [maxNodes]node
	n        int
	handedS  float64  // when the patient is handed over, at typical durations
	of       way      // what it is the network of, once it is built
	keep     bool     // collect cautions: only for options that are returned
	cautions []string // what a person must look at
}

// reset empties the network for another way.
func (w *network) reset() { w.n, w.handedS, w.cautions, w.of = 0, 0, nil, way{} }

// beware notes what a person must look at.
func (w *network) beware(cautions ...string) {
	if w.keep {
		w.cautions = append(w.cautions, cautions...)
	}
}

// add appends a node that starts when all of after have ended (none is
// skipped) and returns its place.
func (w *network) add(nd node, after ...ref) ref {
	for _, a := range after {
		if a == none {
			continue
		}
		nd.after[nd.nAfter] = a
		nd.nAfter++
		nd.startS = math.Max(nd.startS, w.nodes[a].endS)
	}
	nd.endS = nd.startS + nd.timing.TypicalS
	w.nodes[w.n] = nd
	w.n++
	return ref(w.n - 1)
}

// end is when the node ends at typical durations, in seconds after the
// decision time; 0 for none.
func (w *network) end(r ref) float64 {
	if r == none {
		return 0
	}
	return w.nodes[r].endS
}

// finish is the instant the last activity ends with every duration chosen by
// pick: typical or slow.
func (w *network) finish(pick func(facilities.Timing) float64) float64 {
	var ends [maxNodes]float64
	last := 0.0
	for i := range w.n {
		start := 0.0
		for _, a := range w.nodes[i].after[:w.nodes[i].nAfter] {
			start = math.Max(start, ends[a])
		}
		ends[i] = start + pick(w.nodes[i].timing)
		last = math.Max(last, ends[i])
	}
	return last
}

// total is the time to the end at typical durations and with every activity
// slow at once. The second is an upper bound of the true 9-in-10 figure, which
// takes its place once the option is sampled.
func (w *network) total() facilities.Timing {
	return facilities.Timing{
		TypicalS: w.finish(typical),
		SlowS:    w.finish(slow),
	}
}

func typical(t facilities.Timing) float64 { return t.TypicalS }
func slow(t facilities.Timing) float64    { return t.SlowS }

// latest fills in the latest end of each node that leaves the finish where it
// is: the backward pass. A node without successors may end at the finish.
func (w *network) latest() (ends [maxNodes]float64) {
	finish := 0.0
	for i := range w.n {
		finish = math.Max(finish, w.nodes[i].endS)
	}
	for i := range w.n {
		ends[i] = finish
	}
	for i := w.n - 1; i >= 0; i-- {
		nd := &w.nodes[i]
		latestStart := ends[i] - nd.timing.TypicalS
		for _, a := range nd.after[:nd.nAfter] {
			ends[a] = math.Min(ends[a], latestStart)
		}
	}
	return ends
}
