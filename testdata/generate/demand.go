package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// demandStep is how far apart the points are that people are counted at, in
// kilometres, and rural how many of a settlement's people live beyond its houses.
const (
	demandStep = 2.0
	rural      = 0.15
)

// crowd is how many people of which settlement are counted at a point.
type crowd struct {
	at     orb.Point
	people int
	parish int
}

// demandFile is a table of where people live: the settlement itself, and points on
// the land around it that fall off with the distance.
func demandFile(all []island) []byte {
	var b strings.Builder
	b.WriteString("latitude,longitude,people,name\n")
	lattice := landPoints(all)
	var out []crowd
	for i, s := range settlements {
		out = append(out, spread(i, s, s.ground(all), lattice)...)
	}
	for _, c := range out {
		p := lonLat(c.at)
		fmt.Fprintf(&b, "%.5f,%.5f,%d,%s\n", p[1], p[0], c.people, settlements[c.parish].name)
	}
	return []byte(b.String())
}

// landPoints is a lattice of points on land, from south-west to north-east.
func landPoints(all []island) (out []orb.Point) {
	for y := -60.0; y <= 60; y += demandStep {
		for x := -80.0; x <= 80; x += demandStep {
			if p := (orb.Point{x, y}); islandAt(p, all) >= 0 {
				out = append(out, p)
			}
		}
	}
	return out
}

// spread counts a settlement's people: all but the rural ones where it stands, in a
// town that is large also in its suburbs; the rural ones over the land around.
func spread(i int, s settlement, at orb.Point, lattice []orb.Point) []crowd {
	town := 0.6 * math.Sqrt(float64(s.people)/3000) // kilometres within which suburbs fall off
	var near []crowd
	var weights []float64
	total := 0.0
	for _, p := range lattice {
		d := distance(p, at)
		w := 0.0
		if d < 4*town {
			w += (1 - rural) * math.Exp(-d/town) * demandStep * demandStep / (2 * math.Pi * town * town)
		}
		if d < 9 {
			w += rural * (1 - d/9) / 20
		}
		if w > 0 {
			near = append(near, crowd{at: p, parish: i})
			weights, total = append(weights, w), total+w
		}
	}
	suburban := min(total, 0.6) / max(total, 1e-9) // the rest lives where the settlement stands
	left := s.people
	for k := range near {
		near[k].people = int(math.Round(float64(s.people) * weights[k] * suburban))
		left -= near[k].people
	}
	near = slices.DeleteFunc(near, func(c crowd) bool { return c.people == 0 })
	near = append(near, crowd{at, left, i})
	slices.SortStableFunc(near, func(a, b crowd) int { return cmp.Compare(b.people, a.people) })
	return near
}
