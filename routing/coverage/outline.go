package coverage

import (
	"slices"

	"github.com/paulmach/orb"
)

// corner is where borders of cells cross: the one before the column and the row.
type corner struct{ column, row int }

// piece is one connected part of a region of cells.
type piece struct {
	rings  [][]corner // closed; the outer one first, anticlockwise, then its holes, clockwise
	beyond bool       // it lies beyond the antimeridian
}

// outline is the border of the cells that are in: for each part whose cells share
// sides, its outer ring and its holes. Rings are simple: one that comes to a corner
// twice is taken apart there, so that parts touch at corners at most, as RFC 7946
// and OGC 06-103r4 (6.1.11) want it. Parts are in the order of their first cells.
func (g *Grid) outline(in func(cell int) bool) []piece {
	part := make([]int32, g.Columns*g.Rows) // 0: not in, or not seen yet
	inside := func(column, row int) bool {
		c := g.At(column, row)
		return c >= 0 && in(c)
	}
	var out []piece
	for at := range part {
		if part[at] != 0 || !inside(at%g.Columns, at/g.Columns) {
			continue
		}
		n := int32(len(out) + 1)
		cells := g.flood(part, at, n, inside)
		p := piece{beyond: g.beyond(at % g.Columns)}
		p.rings = g.rings(cells, part, n)
		out = append(out, p)
	}
	return out
}

func (g *Grid) beyond(column int) bool { return g.CutColumn > 0 && column >= g.CutColumn }

// flood marks the cells that hang together with the first by their sides. The
// antimeridian parts what lies on both sides of it.
func (g *Grid) flood(part []int32, first int, n int32, inside func(column, row int) bool) []int {
	part[first] = n
	cells := []int{first}
	for k := 0; k < len(cells); k++ {
		column, row := cells[k]%g.Columns, cells[k]/g.Columns
		for _, d := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			c, r := column+d[0], row+d[1]
			if !inside(c, r) || g.beyond(c) != g.beyond(column) || part[r*g.Columns+c] != 0 {
				continue
			}
			part[r*g.Columns+c] = n
			cells = append(cells, r*g.Columns+c)
		}
	}
	return cells
}

// rings is the border of a part: every side that a cell of it has towards another,
// with the part on its left, end to end.
func (g *Grid) rings(cells []int, part []int32, n int32) [][]corner {
	same := func(column, row int) bool {
		return column >= 0 && row >= 0 && column < g.Columns && row < g.Rows && part[row*g.Columns+column] == n
	}
	next := map[corner][]corner{} // at most two leave a corner
	var starts []corner
	side := func(from, to corner) {
		if len(next[from]) == 0 {
			starts = append(starts, from)
		}
		next[from] = append(next[from], to)
	}
	slices.Sort(cells)
	for _, at := range cells {
		c, r := at%g.Columns, at/g.Columns
		sw, se, ne, nw := corner{c, r}, corner{c + 1, r}, corner{c + 1, r + 1}, corner{c, r + 1}
		if !same(c, r-1) {
			side(sw, se)
		}
		if !same(c+1, r) {
			side(se, ne)
		}
		if !same(c, r+1) {
			side(ne, nw)
		}
		if !same(c-1, r) {
			side(nw, sw)
		}
	}
	var out [][]corner
	for _, start := range starts {
		for len(next[start]) > 0 {
			out = append(out, trace(next, start)...)
		}
	}
	// The outer ring is the only one that is anticlockwise.
	slices.SortStableFunc(out, func(a, b []corner) int { return sign(area2(b)) - sign(area2(a)) })
	for i := range out {
		out[i] = straighten(out[i])
	}
	return out
}

// trace follows sides from a corner until it is back, and takes the way apart
// where it comes to a corner again.
func trace(next map[corner][]corner, start corner) (rings [][]corner) {
	way := []corner{start}
	place := map[corner]int{start: 0}
	for at := start; ; {
		leaving := next[at]
		to := leaving[len(leaving)-1]
		next[at] = leaving[:len(leaving)-1]
		if k, seen := place[to]; seen {
			ring := append(slices.Clone(way[k:]), to)
			rings = append(rings, ring)
			for _, c := range way[k+1:] {
				delete(place, c)
			}
			way = way[:k+1]
			if len(way) == 1 {
				return rings
			}
		} else {
			place[to] = len(way)
			way = append(way, to)
		}
		at = to
	}
}

// area2 is twice the area of a closed ring in cells, negative where it is clockwise.
func area2(ring []corner) int {
	sum := 0
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		sum += a.column*b.row - b.column*a.row
	}
	return sum
}

func sign(n int) int {
	switch {
	case n > 0:
		return 1
	case n < 0:
		return -1
	}
	return 0
}

// straighten leaves out the corners at which a closed ring goes straight on.
func straighten(ring []corner) []corner {
	n := len(ring) - 1
	var out []corner
	for i := range n {
		before, at, after := ring[(i+n-1)%n], ring[i], ring[i+1]
		if (before.column == at.column) != (at.column == after.column) {
			out = append(out, at)
		}
	}
	return append(out, out[0])
}

// polygons turns the parts into longitude and latitude.
func (g *Grid) polygons(pieces []piece) orb.MultiPolygon {
	out := orb.MultiPolygon{}
	for _, p := range pieces {
		var polygon orb.Polygon
		for _, ring := range p.rings {
			r := make(orb.Ring, len(ring))
			for i, c := range ring {
				r[i] = round7(g.Corner(c.column, c.row, p.beyond))
			}
			polygon = append(polygon, r)
		}
		out = append(out, polygon)
	}
	return out
}
