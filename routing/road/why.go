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
	all := &season{use: make([]float64, len(t.m.Crossings))}
	key := []byte("why ")
	for i := range t.m.Crossings {
		switch {
		case t.m.Crossings[i].Kind == Ferry:
			all.use[i] = ferryM
		default:
			all.use[i] = t.crossing[i]
		}
		closed := byte('0')
		if w.season.closed[i] != "" {
			all.use[i] += closedM
			closed = '1'
		}
		key = append(key, closed)
	}
	all.key = string(key)
	tr := t.treeFrom(w.stops[0].tree.root, all)
	_, via := t.reach(tr, end)
	if via == nowhere {
		if b := t.ground.barrierBetween(tr.root.at, end.at); b >= 0 {
			return fmt.Sprintf("%s lies between, and no crossing leads there", t.m.Barriers[b].Name)
		}
		return "a barrier lies between, and no crossing leads there"
	}
	var closed, ferries []string
	for at := via; at >= 0; at = tr.from[at] {
		if !tr.over[at] {
			continue
		}
		i := (int(at) - t.ends) / 2
		switch c := &t.m.Crossings[i]; {
		case w.season.closed[i] != "":
			closed = append(closed, w.season.closed[i])
		case c.Kind == Ferry:
			ferries = append(ferries, c.Name)
		}
	}
	if len(closed) == 0 {
		slices.Reverse(ferries)
		return strings.Join(ferries, " and ") + " does not sail in time, and there is no other way"
	}
	slices.Reverse(closed)
	return strings.Join(closed, "; ") + "; no other way"
}
