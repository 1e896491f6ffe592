package routing

import (
	"math"
	"slices"
	"sync"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/routing/road"
)

// prepared is what the questions of a Batch have in common, which differ in
// nothing but the scene. All of it is read-only or guarded, and what is kept or
// not kept changes no answer.
type prepared struct {
	units  []unit
	to     []destination
	teams  []destination
	places []meeting // without sceneM

	others  sync.Map // otherKey to *approach: ways that do not touch the scene
	trees   sync.Map // treeKey to rooted: from where the units stand
	columns columns  // durations in every draw
}

// treeKey is what the ways by road from one point depend on.
type treeKey struct {
	from    orb.Point
	law     road.Law
	leavesS float64
}

// rooted is the ways by road from one point, or why there are none.
type rooted struct {
	tree road.Tree
	err  error
}

// roadFrom is the ways by road from where a leg begins. They are kept for the
// question, and for the whole batch where they begin at a base.
func (p *problem) roadFrom(l *leg, law road.Law, depart time.Time) (road.Tree, error) {
	key := treeKey{l.from, law, l.leavesS}
	fixed := p.shared != nil && l.fixed
	if fixed {
		if known, ok := p.shared.trees.Load(key); ok {
			return known.(rooted).tree, known.(rooted).err
		}
	} else if known, ok := p.trees[key]; ok {
		return known.tree, known.err
	}
	tree, err := road.From(p.Road, l.from, law, depart)
	if fixed {
		p.shared.trees.Store(key, rooted{tree, err})
		return tree, err
	}
	if p.trees == nil {
		p.trees = map[treeKey]rooted{}
	}
	p.trees[key] = rooted{tree, err}
	return tree, err
}

// fastest is the strongest wind and each law's bound of the speed by road,
// which pruning asks for again and again.
type fastest struct {
	windMS float64
	laws   []lawSpeed
}

type lawSpeed struct {
	law road.Law
	ms  float64
}

// newFastest works the bounds out for every law the fleet has.
func (p *problem) newFastest() *fastest {
	f := &fastest{windMS: p.weather.MaxWindMS()}
	add := func(law road.Law) {
		if !slices.ContainsFunc(f.laws, func(l lawSpeed) bool { return l.law == law }) {
			f.laws = append(f.laws, lawSpeed{law, road.FastestMS(p.Road, law)})
		}
	}
	add(p.Settings.Road)
	for _, assets := range [][]Asset{p.Fleet.assets, p.Assets.Add} {
		for i := range assets {
			add(p.law(&assets[i]))
		}
	}
	return f
}

// of is the law's bound in m/s; every law of the fleet is there.
func (f *fastest) of(law road.Law) float64 {
	for i := range f.laws {
		if f.laws[i].law == law {
			return f.laws[i].ms
		}
	}
	return math.Inf(1) // no bound at all prunes nothing
}
