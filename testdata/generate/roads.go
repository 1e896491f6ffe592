package main

import (
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
func network(all []island, places map[string]orb.Point) []road {
	g := newGrid(all)
	node := map[string]int{}
	for _, l := range links {
		for _, name := range []string{l.from, l.to} {
			node[name] = g.near(places[name])
		}
	}
	exact := map[int]orb.Point{} // settlements and bridge ends: not the cell's centre
	for _, l := range links {
		exact[node[l.from]], exact[node[l.to]] = places[l.from], places[l.to]
	}

	type piece struct {
		link  link
		cells []int
	}
	var pieces []piece
	degree := map[int]int{}
	for _, l := range links {
		path := g.way(node[l.from], node[l.to])
		var run []int
		flush := func() {
			if len(run) > 1 {
				pieces = append(pieces, piece{l, run})
			}
			run = nil
		}
		for i := 1; i < len(path); i++ {
			a, b := path[i-1], path[i]
			if g.built[pair(a, b)] {
				flush()
				continue
			}
			g.built[pair(a, b)] = true
			degree[a]++
			degree[b]++
			if run == nil {
				run = []int{a}
			}
			run = append(run, b)
		}
		flush()
	}

	var out []road
	for _, p := range pieces {
		start := 0
		for i := 1; i < len(p.cells); i++ {
			c := p.cells[i]
			_, fixed := exact[c]
			if i < len(p.cells)-1 && degree[c] == 2 && !fixed {
				continue
			}
			out = append(out, road{p.link.name, p.link.class, smooth(g, p.cells[start:i+1], exact, all)})
			start = i
		}
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
