package road

import (
	"fmt"
	"slices"
	"strings"
)

// closedM is what opening a crossing counts in the search for the reason, in
// metres: more than any way is long, so that the way with the fewest closed
// crossings is found. ferryM keeps ferries behind ways without them.
const (
	closedM = 1e10
	ferryM  = 1e7
)

// why says in words why there is no way to end: what would have to be open, or
// that nothing leads there at all.
func (w *travels) why(end *place) string {
	t := w.t
	blocked := w.blocked()
	all := &season{use: make([]float64, len(blocked))}
	key := []byte("why ")
	for i, reason := range blocked {
		all.use[i] = t.crossing[i]
		if t.m.Crossings[i].Kind == Ferry {
			all.use[i] = ferryM
		}
		mark := byte('0')
		if reason != "" {
			all.use[i] += closedM
			mark = '1'
		}
		key = append(key, mark)
	}
	all.key = string(key)
	tr := t.treeFrom(w.stops[0].tree.root, all)
	_, via := t.reach(tr, end)
	if via == nowhere {
		return t.between(tr, end) + " lies between, and no crossing leads there"
	}
	var reasons []string
	for at := via; at >= 0; at = tr.from[at] {
		if i := (int(at) - t.ends) / 2; tr.over[at] && blocked[i] != "" {
			reasons = append(reasons, blocked[i])
		}
	}
	slices.Reverse(reasons)
	return strings.Join(append(reasons, "no other way"), "; ")
}

// between names the barrier that keeps the tree from the place: the first on
// the straight way behind which nothing can be reached.
func (t *Terrain) between(tr *tree, end *place) string {
	way := t.ground.barriersBetween(tr.root.at, end.at)
	for i, b := range way {
		next := 1.0
		if i+1 < len(way) {
			next = way[i+1].share
		}
		at := between(tr.root.at, end.at, (b.share+next)/2)
		behind := place{at: at, road: t.ground.plane.point(at), unit: t.ground.vector(at)}
		if _, via := t.reach(tr, &behind); via == nowhere {
			return t.m.Barriers[b.barrier].Name
		}
	}
	return "a barrier"
}

// blocked says why each crossing is of no use to these travels; "" for those
// that are.
func (w *travels) blocked() []string {
	out := slices.Clone(w.season.closed)
	for i, ok := range w.season.ferry {
		landed := func(s stop) bool { return s.crossing == i }
		if ok && !slices.ContainsFunc(w.stops, landed) {
			out[i] = fmt.Sprintf("%s has no sailing in time", w.t.m.Crossings[i].Name)
		}
	}
	return out
}
