package road

import (
	"slices"
	"sync"
)

// tree is the cheapest way from its root to every node without a stop
// (Dijkstra 1959). It depends neither on the law nor, but for what is closed,
// on the time.
type tree struct {
	root place
	cost []float64 // by node; never: not reached
	from []int32   // by node: the one before, direct where that is the root
	over []bool    // by node: it is reached over its crossing
}

const (
	fromRoot int32 = -1 // straight from the root
	nowhere  int32 = -2
)

// noGainM is how much shorter a way has to be to bend once more, in metres:
// above rounding, so that none bends where it begins or ends.
const noGainM = 1e-6

// grow makes the tree from a place. Use is what each crossing costs, never
// for those that cannot be used.
func (t *Terrain) grow(root place, use []float64) *tree {
	tr := &tree{root: root, cost: make([]float64, len(t.nodes)), from: make([]int32, len(t.nodes)), over: make([]bool, len(t.nodes))}
	var q queue
	for i := range t.nodes {
		n := &t.nodes[i]
		tr.cost[i], tr.from[i] = never, nowhere
		if !n.around(root.at) || t.ground.blocked(root.at, n.at) {
			continue
		}
		tr.cost[i], tr.from[i] = t.cost(root.at, n.at, root.unit.Distance(n.unit)), fromRoot
		q = append(q, queued{tr.cost[i], int32(i)})
	}
	q.order()
	relax := func(to, from int32, cost float64, over bool) {
		if cost < tr.cost[to]-noGainM {
			tr.cost[to], tr.from[to], tr.over[to] = cost, from, over
			q.push(queued{cost, to})
		}
	}
	for len(q) > 0 {
		at := q.pop()
		if at.cost > tr.cost[at.node] {
			continue // reached more cheaply since
		}
		for _, e := range t.edges[t.first[at.node]:t.first[at.node+1]] {
			relax(e.to, at.node, at.cost+e.cost, false)
		}
		if k := int(at.node) - t.ends; k >= 0 {
			relax(int32(t.ends+(k^1)), at.node, at.cost+use[k/2], true)
		}
	}
	return tr
}

var queues = sync.Pool{New: func() any { return new(queue) }}

// reach returns what the cheapest way from the root to a place costs and the
// last node on it. Nodes are tried in the order of what the way over them would
// cost if all in between were free, so that few need to be looked at.
func (t *Terrain) reach(tr *tree, to *place) (float64, int32) {
	best, via := never, nowhere
	if !t.ground.blocked(tr.root.at, to.at) {
		best, via = t.cost(tr.root.at, to.at, direct(&tr.root, to)), fromRoot
	}
	pooled := queues.Get().(*queue)
	defer queues.Put(pooled)
	q := (*pooled)[:0]
	for i := range t.nodes {
		if atLeast := tr.cost[i] + t.atLeast(&t.nodes[i], to); atLeast < best-noGainM {
			q = append(q, queued{atLeast, int32(i)})
		}
	}
	*pooled = q
	q.order()
	for len(q) > 0 {
		next := q.pop()
		if next.cost >= best-noGainM {
			break
		}
		n := &t.nodes[next.node]
		if !n.around(to.at) || t.ground.blocked(n.at, to.at) {
			continue
		}
		cost := tr.cost[next.node] + t.cost(n.at, to.at, n.unit.Distance(to.unit))
		if cost < best-noGainM {
			best, via = cost, next.node
		}
	}
	return best, via
}

// atLeast is less than any way from the node to the place costs: the chord
// through the Earth, driven as in the area where a metre costs least.
func (t *Terrain) atLeast(n *node, to *place) float64 {
	return t.country.least * chord(n.unit, to.unit)
}

// leg is a way without a stop: its nodes in order, and which of them are
// reached over a crossing.
type leg struct {
	stretch
	nodes []int32
	over  []bool
}

// trace follows the tree back from a node.
func (t *Terrain) trace(tr *tree, last int32) leg {
	var l leg
	for at := last; at >= 0; at = tr.from[at] {
		l.nodes = append(l.nodes, at)
		l.over = append(l.over, tr.over[at])
	}
	slices.Reverse(l.nodes)
	slices.Reverse(l.over)
	at, unit := tr.root.at, tr.root.unit
	for i, k := range l.nodes {
		n := &t.nodes[k]
		if l.over[i] {
			l.join(t.over((int(k) - t.ends) / 2))
		} else {
			l.join(t.straight(at, n.at, unit.Distance(n.unit)))
		}
		at, unit = n.at, n.unit
	}
	return l
}

// traceTo follows the tree back from a place that was reached over a node.
func (t *Terrain) traceTo(tr *tree, to *place, via int32) leg {
	if via < 0 {
		return leg{stretch: t.straight(tr.root.at, to.at, direct(&tr.root, to))}
	}
	l := t.trace(tr, via)
	n := &t.nodes[via]
	l.join(t.straight(n.at, to.at, n.unit.Distance(to.unit)))
	return l
}
