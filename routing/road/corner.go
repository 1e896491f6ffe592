package road

import (
	"cmp"
	"math"
	"slices"

	"surgeonward/geo"
)

// node is a point at which a path may bend: a corner of a barrier, or an end
// of a crossing.
type node struct {
	at      xy
	unit    geo.Vector
	arms    [2]xy // corners: the directions of the walls on either side
	corner  bool
	barrier int32 // corners: whose
	area    int16
}

// slackM is how far to the wrong side of a corner's wall a path may point and
// still count as one that bends around it: corners are clearM off their walls,
// each in another direction.
const slackM = 4 * clearM

// around reports whether a shortest path could bend at the node when it comes
// from p or goes there: straight on from p, both of the corner's walls must lie
// on the same side. Where the walls lie on both sides, a path that bends there
// can be shortened.
func (n *node) around(p xy) bool {
	if !n.corner {
		return true
	}
	d := p.minus(n.at)
	a, b := d.cross(n.arms[0]), d.cross(n.arms[1])
	return (a >= 0) == (b >= 0) || math.Abs(a) <= slackM || math.Abs(b) <= slackM
}

// corners returns a node for every corner of the barriers that a path could
// bend around: where, between two walls that meet, there is more than a half
// turn of free ground. A corner in the water is none, and neither is the loose
// end of a coast, which goes on beyond the map.
func (g *ground) corners() []node {
	type meeting struct {
		at   xy
		arms []arm
	}
	var meetings []meeting
	index := map[xy]int{}
	join := func(at, to xy, i int32) {
		k, known := index[at]
		if !known {
			k = len(meetings)
			index[at] = k
			meetings = append(meetings, meeting{at: at})
		}
		d := to.minus(at).unit()
		meetings[k].arms = append(meetings[k].arms, arm{dir: d, angle: math.Atan2(d.y, d.x), wall: i})
	}
	for i := range g.walls {
		w := &g.walls[i]
		join(w.a, w.b, int32(i))
		join(w.b, w.a, int32(i))
	}
	var nodes []node
	for i := range meetings {
		m := &meetings[i]
		n, ok := g.corner(m.at, m.arms)
		if ok {
			nodes = append(nodes, n)
		}
	}
	return nodes
}

// arm is a wall as seen from one of its ends.
type arm struct {
	dir   xy
	angle float64
	wall  int32
}

func (g *ground) corner(at xy, arms []arm) (node, bool) {
	slices.SortFunc(arms, func(a, b arm) int {
		return cmp.Or(cmp.Compare(a.angle, b.angle), cmp.Compare(a.wall, b.wall))
	})
	shore := &g.shores[g.walls[arms[0].wall].shore]
	if len(arms) == 1 && shore.water != 0 {
		return node{}, false
	}
	widest, from := 0.0, 0
	for i := range arms {
		gap := arms[(i+1)%len(arms)].angle - arms[i].angle
		if i == len(arms)-1 {
			gap += 2 * math.Pi
		}
		if gap > widest {
			widest, from = gap, i
		}
	}
	const rounding = 1e-12
	if widest <= math.Pi+rounding {
		return node{}, false
	}
	first, second := arms[from], arms[(from+1)%len(arms)]
	sin, cos := math.Sincos(first.angle + widest/2)
	n := node{
		at: at.plus(xy{cos, sin}, clearM), corner: true,
		arms:    [2]xy{first.dir, second.dir},
		barrier: shore.barrier,
	}
	if _, hit := g.touching(n.at); hit || g.water(n.at) {
		return node{}, false
	}
	n.unit = g.vector(n.at)
	return n, true
}
