package road

import (
	"math"

	"github.com/paulmach/orb"
)

// recent keeps the trees made last: bases, hospitals and ferry quays are asked
// for again and again. A tree does not depend on what was asked before, so that
// keeping it changes no answer.
type recent struct {
	trees map[treeKey]*tree
	order []treeKey // the oldest first
}

const keptTrees = 256

type treeKey struct {
	lon, lat uint64
	use      string
}

// treeFrom returns the tree from a place.
func (t *Terrain) treeFrom(root place, s *season) *tree {
	key := keyOf(root.given, s)
	t.mu.Lock()
	tr := t.recent.trees[key]
	t.mu.Unlock()
	if tr != nil {
		return tr
	}
	tr = t.grow(root, s.use)
	t.mu.Lock()
	defer t.mu.Unlock()
	t.recent.keep(key, tr)
	return tr
}

func keyOf(p orb.Point, s *season) treeKey {
	return treeKey{math.Float64bits(p[0]), math.Float64bits(p[1]), s.key}
}

func (r *recent) keep(key treeKey, tr *tree) {
	if r.trees == nil {
		r.trees = map[treeKey]*tree{}
	}
	if r.trees[key] == nil {
		r.order = append(r.order, key)
	}
	r.trees[key] = tr
	if len(r.order) > keptTrees {
		delete(r.trees, r.order[0])
		r.order = r.order[1:]
	}
}
