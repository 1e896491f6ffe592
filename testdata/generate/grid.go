package main

import (
	"container/heap"
	"math"

	"github.com/paulmach/orb"
)

// cell is the size of the road-building grid in kilometres.
const cell = 0.4

// grid holds what it costs to build a road over each cell, as whole numbers so
// that every processor finds the same way. Sea is 0: no road at all.
type grid struct {
	minX, minY float64
	nx, ny     int
	cost       []int
	built      map[[2]int]bool // stretches between neighbouring cells that have a road
}

func newGrid(all []island) *grid {
	g := &grid{minX: -76, minY: -60, nx: int(152 / cell), ny: int(120 / cell), built: map[[2]int]bool{}}
	g.cost = make([]int, g.nx*g.ny)
	land := make([]int, len(g.cost)) // the island of each cell, -1 at sea
	for i := range land {
		land[i] = islandAt(g.centre(i), all)
	}
	for i, k := range land {
		if k < 0 || toLine(g.centre(i), ridge) < 1.2 {
			continue // nothing is built along the crest; the pass crosses it
		}
		shore := beyondShore
		if g.nearSea(i, land) {
			shore = toLine(g.centre(i), all[k].coast)
		}
		g.cost[i] = buildingCost(g.centre(i), shore)
	}
	return g
}

// beyondShore is a distance in kilometres at which the coast no longer matters.
const beyondShore = 0.6

// nearSea reports whether a cell within beyondShore is sea.
func (g *grid) nearSea(i int, land []int) bool {
	const reach = 2 // cells
	for dy := -reach; dy <= reach; dy++ {
		for dx := -reach; dx <= reach; dx++ {
			if land[i+dy*g.nx+dx] < 0 {
				return true
			}
		}
	}
	return false
}

// buildingCost is 0 where no road can be.
func buildingCost(p orb.Point, shore float64) int {
	if shore < 0.25 {
		return 0
	}
	cost := 0.5 + 3.2*noise(p[0], p[1], 4.5, 5) + 1.8*noise(p[0], p[1], 1.7, 6)
	if shore < beyondShore {
		cost += 1.5
	}
	if within(mountains, p) {
		cost += 3*noise(p[0], p[1], 2.5, 7) + math.Max(0, 7-1.6*toLine(p, ridge))
	}
	return int(100 * cost)
}

func (g *grid) centre(i int) orb.Point {
	return orb.Point{g.minX + (float64(i%g.nx)+0.5)*cell, g.minY + (float64(i/g.nx)+0.5)*cell}
}

// near returns the buildable cell nearest to p, which is on or near land.
func (g *grid) near(p orb.Point) int {
	const reach = 10 // cells
	x, y := int((p[0]-g.minX)/cell), int((p[1]-g.minY)/cell)
	best, bestD := -1, math.Inf(1)
	for dy := -reach; dy <= reach; dy++ {
		for dx := -reach; dx <= reach; dx++ {
			i := (y+dy)*g.nx + x + dx
			if d := distance(p, g.centre(i)); g.cost[i] > 0 && d < bestD {
				best, bestD = i, d
			}
		}
	}
	return best
}

// steps are the moves to neighbouring cells with their lengths in hundredths.
var steps = []struct{ dx, dy, length int }{
	{1, 0, 100}, {0, 1, 100}, {-1, 0, 100}, {0, -1, 100}, {1, 1, 141}, {-1, 1, 141}, {-1, -1, 141}, {1, -1, 141},
	{2, 1, 224}, {1, 2, 224}, {-1, 2, 224}, {-2, 1, 224}, {-2, -1, 224}, {-1, -2, 224}, {1, -2, 224}, {2, -1, 224},
}

// way finds the cheapest way between two cells (Dijkstra 1959), nil where none
// is. Roads already built are followed at seven tenths of the cost, so that
// roads share valleys.
func (g *grid) way(from, to int) []int {
	if from < 0 || to < 0 {
		return nil
	}
	cost := make([]int, len(g.cost)) // 0: not seen yet
	before := make([]int, len(g.cost))
	cost[from] = 1
	open := &queue{{1, from}}
	for open.Len() > 0 {
		top := heap.Pop(open).(entry)
		if top.cell == to {
			break
		}
		if top.cost > cost[top.cell] {
			continue
		}
		x, y := top.cell%g.nx, top.cell/g.nx
		for _, s := range steps {
			nx, ny := x+s.dx, y+s.dy
			if nx < 0 || ny < 0 || nx >= g.nx || ny >= g.ny {
				continue
			}
			next := ny*g.nx + nx
			if g.cost[next] == 0 || g.cost[(y+s.dy/2)*g.nx+x+s.dx/2] == 0 {
				continue
			}
			c := (g.cost[top.cell] + g.cost[next]) * s.length / 200
			if g.built[pair(top.cell, next)] {
				c = c * 7 / 10
			}
			c += top.cost
			if cost[next] == 0 || c < cost[next] {
				cost[next], before[next] = c, top.cell
				heap.Push(open, entry{c, next})
			}
		}
	}
	path := []int{to}
	if cost[to] == 0 {
		return nil
	}
	for path[len(path)-1] != from {
		path = append(path, before[path[len(path)-1]])
	}
	return path
}

func pair(a, b int) [2]int { return [2]int{min(a, b), max(a, b)} }

type entry struct{ cost, cell int }

// queue is a heap by cost, then by cell so that ties always fall the same way.
type queue []entry

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return q[i].cost < q[j].cost || q[i].cost == q[j].cost && q[i].cell < q[j].cell
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(entry)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
