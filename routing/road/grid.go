package road

import "math"

// grid finds the walls near a straight line: a square grid over the walls,
// each cell with those that pass through it. A line visits the cells it passes
// in order (Amanatides and Woo, A fast voxel traversal algorithm for ray
// tracing, 1987, from memory), so that one that is blocked near its start,
// as most are, ends there.
type grid struct {
	walls  []wall
	origin xy
	cell   float64 // metres
	nx, ny int
	start  []int32 // of each cell's walls in items; one more than there are cells
	items  []int32
}

// wallsPerCell is the mean that the cell size aims at, cells without any included.
const wallsPerCell = 0.5

// padCells widens every wall when it is entered, in cells, so that rounding
// cannot take a line past the cell in which it crosses.
const padCells = 1e-3

func newGrid(walls []wall) grid {
	g := grid{walls: walls}
	if len(walls) == 0 {
		return g
	}
	low, high := walls[0].a, walls[0].a
	for i := range walls {
		for _, p := range [2]xy{walls[i].a, walls[i].b} {
			low = xy{min(low.x, p.x), min(low.y, p.y)}
			high = xy{max(high.x, p.x), max(high.y, p.y)}
		}
	}
	width, height := high.x-low.x, high.y-low.y
	long := max(width, height, 1)
	// A line of walls, without area, gets a row of cells.
	g.cell = max(math.Sqrt(max(width, 1)*max(height, 1)*wallsPerCell/float64(len(walls))), long/1024)
	g.origin = xy{low.x - g.cell, low.y - g.cell}
	g.nx, g.ny = int(width/g.cell)+3, int(height/g.cell)+3

	g.start = make([]int32, g.nx*g.ny+1)
	for i := range walls {
		g.cells(&walls[i], func(c int) { g.start[c+1]++ })
	}
	for c := range g.nx * g.ny {
		g.start[c+1] += g.start[c]
	}
	g.items = make([]int32, g.start[g.nx*g.ny])
	next := append([]int32(nil), g.start...)
	for i := range walls {
		g.cells(&walls[i], func(c int) {
			g.items[next[c]] = int32(i)
			next[c]++
		})
	}
	return g
}

// cells calls f with every cell that the wall, widened by padCells, passes.
func (g *grid) cells(w *wall, f func(c int)) {
	a, b := g.scaled(w.a), g.scaled(w.b)
	if a.y > b.y {
		a, b = b, a
	}
	for row := g.clampY(a.y - padCells); row <= g.clampY(b.y+padCells); row++ {
		// The stretch of the wall within the row, in columns.
		from, to := a.x, b.x
		if b.y > a.y {
			at := func(y float64) float64 {
				return a.x + (b.x-a.x)*min(max((y-a.y)/(b.y-a.y), 0), 1)
			}
			from, to = at(float64(row)-padCells), at(float64(row+1)+padCells)
		}
		if from > to {
			from, to = to, from
		}
		for column := g.clampX(from - padCells); column <= g.clampX(to+padCells); column++ {
			f(row*g.nx + column)
		}
	}
}

func (g *grid) scaled(p xy) xy {
	return xy{(p.x - g.origin.x) / g.cell, (p.y - g.origin.y) / g.cell}
}

func (g *grid) clampX(x float64) int { return min(max(int(x), 0), g.nx-1) }
func (g *grid) clampY(y float64) int { return min(max(int(y), 0), g.ny-1) }

// along calls f with the walls of every cell that the way from p to q passes,
// until f returns true; it then returns true. A wall may come several times.
func (g *grid) along(p, q xy, f func(i int32) bool) bool {
	if len(g.walls) == 0 {
		return false
	}
	a, b := g.scaled(p), g.scaled(q)
	enter, leave, ok := g.clip(a, b)
	if !ok {
		return false
	}
	d := b.minus(a)
	in := a.plus(d, enter)
	column, row := g.clampX(in.x), g.clampY(in.y)
	stepX, nextX, everyX := stride(a.x, d.x, column)
	stepY, nextY, everyY := stride(a.y, d.y, row)
	for {
		c := row*g.nx + column
		for _, i := range g.items[g.start[c]:g.start[c+1]] {
			if f(i) {
				return true
			}
		}
		if min(nextX, nextY) > leave {
			return false
		}
		if nextX < nextY {
			column, nextX = column+stepX, nextX+everyX
		} else {
			row, nextY = row+stepY, nextY+everyY
		}
		if column < 0 || column >= g.nx || row < 0 || row >= g.ny {
			return false
		}
	}
}

// stride returns, for one coordinate, the direction in which cells follow, the
// share of the way at which the next begins, and the share that each takes.
func stride(from, d float64, cell int) (step int, next, every float64) {
	switch {
	case d > 0:
		return 1, (float64(cell+1) - from) / d, 1 / d
	case d < 0:
		return -1, (float64(cell) - from) / d, -1 / d
	}
	return 0, math.Inf(1), math.Inf(1)
}

// clip returns the part of the way from a to b, in cells, that lies over the
// grid (Liang and Barsky 1984, from memory).
func (g *grid) clip(a, b xy) (enter, leave float64, ok bool) {
	enter, leave = 0, 1
	d := b.minus(a)
	for _, edge := range [4][2]float64{
		{-d.x, a.x}, {d.x, float64(g.nx) - a.x}, {-d.y, a.y}, {d.y, float64(g.ny) - a.y},
	} {
		toward, room := edge[0], edge[1]
		switch {
		case toward == 0 && room < 0:
			return 0, 0, false
		case toward < 0:
			enter = max(enter, room/toward)
		case toward > 0:
			leave = min(leave, room/toward)
		}
	}
	return enter, leave, enter <= leave
}

// blocked reports whether the way from p to q touches a wall.
func (g *grid) blocked(p, q xy) bool {
	length := q.minus(p).length()
	return g.along(p, q, func(i int32) bool { return g.walls[i].blocks(p, q, length) })
}
