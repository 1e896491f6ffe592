package road

import (
	"cmp"
	"math"
	"slices"
)

// ground is the map in the plane: every barrier's edges, and which side of
// them is land.
type ground struct {
	plane
	grid
	shores []shore
	coasts []int32    // the walls that have water on one side
	snapM  float64    // how far off the coast a point may lie
	places [][2]place // the crossings' ends, on land
}

// shore is one line of a barrier; its walls follow each other.
type shore struct {
	barrier     int32
	first, last int32 // walls first..last-1
	closed      bool
	water       int8 // 1: on the left of its walls, -1: on their right, 0: on neither
}

// newGround enters the barriers into the plane.
func newGround(pl plane, barriers []Barrier, snapM float64) *ground {
	g := &ground{plane: pl, snapM: snapM}
	var walls []wall
	for i := range barriers {
		for ring, line := range barriers[i].Lines {
			s := shore{barrier: int32(i), first: int32(len(walls))}
			s.closed = line[0] == line[len(line)-1]
			at, _ := pl.project(line[0])
			twiceArea := 0.0
			for _, p := range line[1:] {
				next, _ := pl.project(p)
				if next == at {
					continue
				}
				walls = append(walls, newWall(at, next, int32(len(g.shores))))
				twiceArea += at.cross(next)
				at = next
			}
			s.last = int32(len(walls))
			s.water = barriers[i].Water.side(twiceArea > 0, ring > 0)
			g.shores = append(g.shores, s)
		}
	}
	for i := range walls {
		if g.shores[walls[i].shore].water != 0 {
			g.coasts = append(g.coasts, int32(i))
		}
	}
	g.grid = newGrid(walls)
	return g
}

// side says on which side of a ring's edges the water is.
func (w Water) side(counterClockwise, hole bool) int8 {
	inside := int8(-1) // right of a clockwise ring
	if counterClockwise {
		inside = 1
	}
	if hole {
		inside = -inside // inside a polygon is outside its holes
	}
	switch w {
	case WaterLeft:
		return 1
	case WaterRight:
		return -1
	case WaterInside:
		return inside
	case WaterOutside:
		return -inside
	}
	return 0
}

// beside returns the walls before and after wall i along its shore, or -1.
func (g *ground) beside(i int32) (before, after int32) {
	s := &g.shores[g.walls[i].shore]
	before, after = i-1, i+1
	if before < s.first {
		before = -1
		if s.closed {
			before = s.last - 1
		}
	}
	if after >= s.last {
		after = -1
		if s.closed {
			after = s.first
		}
	}
	return before, after
}

// foot is the point of a coast that is nearest to somewhere.
type foot struct {
	at       xy
	wall     int32
	other    int32 // the wall it shares the corner with, -1 within a wall or at a loose end
	distance float64
	water    bool // the somewhere is on the water side
}

// nearestCoast returns the foot of p. A point is in the water if it is on the
// water side of the coast nearest to it; ok is false where there is no coast.
func (g *ground) nearestCoast(p xy) (f foot, ok bool) {
	best, share := math.Inf(1), 0.0
	for _, i := range g.coasts {
		at, s := g.walls[i].nearest(p)
		if d := p.minus(at); d.dot(d) < best {
			best, share = d.dot(d), s
			f.at, f.wall = at, i
		}
	}
	if math.IsInf(best, 1) {
		return foot{}, false
	}
	f.distance, f.other = math.Sqrt(best), -1
	before, after := g.beside(f.wall)
	switch share {
	case 0:
		f.other = before
	case 1:
		f.other = after
	}
	f.water = g.left(p, f) == (g.shores[g.walls[f.wall].shore].water > 0)
	return f, true
}

// left reports whether p is on the left of the coast at its foot. At a corner
// that turns left, left is what is left of both walls; at one that turns
// right, what is left of either.
func (g *ground) left(p xy, f foot) bool {
	w := &g.walls[f.wall]
	onLeft := w.b.minus(w.a).cross(p.minus(w.a)) > 0
	if f.other < 0 {
		return onLeft
	}
	o := &g.walls[f.other]
	otherLeft := o.b.minus(o.a).cross(p.minus(o.a)) > 0
	turn := w.b.minus(w.a).cross(o.b.minus(o.a))
	if f.at == w.a { // o comes before w
		turn = -turn
	}
	if turn > 0 {
		return onLeft && otherLeft
	}
	return onLeft || otherLeft
}

// inland is the direction from the foot onto the land.
func (g *ground) inland(f foot) xy {
	w := &g.walls[f.wall]
	toLand := -float64(g.shores[w.shore].water)
	dir := xy{}.plus(w.b.minus(w.a).unit().left(), toLand)
	if f.other < 0 {
		return dir
	}
	o := &g.walls[f.other]
	sum := dir.plus(o.b.minus(o.a).unit().left(), toLand)
	if sum.length() < 1e-6 {
		return dir // a spike without width
	}
	return sum.unit()
}

// water reports whether p is in the water.
func (g *ground) water(p xy) bool {
	f, ok := g.nearestCoast(p)
	return ok && f.water
}

// touching returns a wall that p lies on, and false if there is none.
func (g *ground) touching(p xy) (int32, bool) {
	var found int32
	hit := g.along(p, p, func(i int32) bool {
		at, _ := g.walls[i].nearest(p)
		found = i
		return p.minus(at).length() <= onM
	})
	return found, hit
}

// passed is where a straight way passes a barrier.
type passed struct {
	share   float64 // of the way
	barrier int32
}

// barriersBetween returns the barriers on the straight way from p to q, in order.
func (g *ground) barriersBetween(p, q xy) []passed {
	var all []passed
	g.along(p, q, func(i int32) bool {
		if share, ok := g.walls[i].meets(p, q); ok {
			all = append(all, passed{share, g.shores[g.walls[i].shore].barrier})
		}
		return false
	})
	slices.SortFunc(all, func(a, b passed) int {
		return cmp.Or(cmp.Compare(a.share, b.share), cmp.Compare(a.barrier, b.barrier))
	})
	return slices.Compact(all)
}
