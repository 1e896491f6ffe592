package main

import (
	"fmt"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// road is a stretch of road between two junctions.
type road struct {
	name, class string
	line        orb.LineString
}

// network builds every link on the grid, cuts the result at its junctions,
// and smooths each stretch without moving its ends, so that stretches meet.
func network(all []island, places map[string]orb.Point) ([]road, error) {
	g := newGrid(all)
	exact := map[int]orb.Point{} // cells of settlements and bridge ends, which are not at the cell's centre
	degree := map[int]int{}
	var pieces []piece
	for _, l := range links {
		from, to := g.near(places[l.from]), g.near(places[l.to])
		exact[from], exact[to] = places[l.from], places[l.to]
		path := g.way(from, to)
		if path == nil {
			return nil, fmt.Errorf("no way for a road from %s to %s: are they on one island?", l.from, l.to)
		}
		pieces = append(pieces, g.build(l, path, degree)...)
	}
	var out []road
	for _, p := range pieces {
		start := 0
		for i := 1; i < len(p.cells); i++ {
			_, named := exact[p.cells[i]]
			if i == len(p.cells)-1 || degree[p.cells[i]] != 2 || named {
				out = append(out, road{p.link.name, p.link.class, smooth(g, p.cells[start:i+1], exact, all)})
				start = i
			}
		}
	}
	return out, nil
}

// piece is a run of cells that a link built itself.
type piece struct {
	link  link
	cells []int
}

// build lays a link's road along the path where there is none yet, counts the
// road ends at each cell, and returns the new stretches.
func (g *grid) build(l link, path []int, degree map[int]int) []piece {
	var out []piece
	joined := false // the last stretch continues
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		if g.built[pair(a, b)] {
			joined = false
			continue
		}
		g.built[pair(a, b)] = true
		degree[a]++
		degree[b]++
		if !joined {
			out = append(out, piece{l, []int{a}})
			joined = true
		}
		last := &out[len(out)-1]
		last.cells = append(last.cells, b)
	}
	return out
}

// smooth turns a run of cells into a road line that stays on its island.
func smooth(g *grid, cells []int, exact map[int]orb.Point, all []island) orb.LineString {
	line := make(orb.LineString, len(cells))
	for i, c := range cells {
		line[i] = g.centre(c)
		if p, ok := exact[c]; ok {
			line[i] = p
		}
	}
	for _, tolerance := range []float64{0.3, 0.2, 0.1, 0} {
		thin := simplify.DouglasPeucker(tolerance).LineString(line.Clone())
		round := simplify.DouglasPeucker(0.03).LineString(cutCorners(cutCorners(thin)))
		if onLand(round, all) {
			return round
		}
	}
	return line
}

// cutCorners replaces each corner by two (Chaikin 1974), keeping the ends.
func cutCorners(line orb.LineString) orb.LineString {
	out := orb.LineString{line[0]}
	for i := 1; i < len(line); i++ {
		if i > 1 {
			out = append(out, between(line[i-1], line[i], 0.25))
		}
		if i < len(line)-1 {
			out = append(out, between(line[i-1], line[i], 0.75))
		}
	}
	return append(out, line[len(line)-1])
}

func onLand(line orb.LineString, all []island) bool {
	k := islandAt(line[0], all)
	if k < 0 {
		return false
	}
	for i := 1; i < len(line); i++ {
		if crossings(line[i-1], line[i], all[k].coast) > 0 || crossings(line[i-1], line[i], ridge) > 0 {
			return false
		}
	}
	return true
}
