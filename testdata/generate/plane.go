package main

import (
	"math"

	"github.com/paulmach/orb"
)

// The islands are drawn on a plane in kilometres, x east and y north of the
// origin, and laid on the globe with constant scales. Over the region's 150 km
// this stretches east-west distances by at most 1 %, which no reader notices.
const (
	originLon = -29.5
	originLat = 45.5
	kmPerLat  = 111.195 // one degree of latitude on a sphere of 6371.0 km
	kmPerLon  = 77.94   // one degree of longitude at the origin's latitude
)

// lonLat lays a plane position on the globe, rounded to 5 decimals (1 m).
func lonLat(p orb.Point) orb.Point {
	return orb.Point{round5(originLon + p[0]/kmPerLon), round5(originLat + p[1]/kmPerLat)}
}

// round5 also hides the last bits, in which processors may differ.
func round5(v float64) float64 { return math.Round(v*1e5) / 1e5 }

func lonLats(ps []orb.Point) []orb.Point {
	out := make([]orb.Point, len(ps))
	for i, p := range ps {
		out[i] = lonLat(p)
	}
	return out
}

func distance(p, q orb.Point) float64 { return math.Hypot(q[0]-p[0], q[1]-p[1]) }

func between(p, q orb.Point, f float64) orb.Point {
	return orb.Point{p[0] + f*(q[0]-p[0]), p[1] + f*(q[1]-p[1])}
}

// toSegment is the distance from p to the segment from a to b.
func toSegment(p, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	length2 := dx*dx + dy*dy
	if length2 == 0 {
		return distance(p, a)
	}
	f := ((p[0]-a[0])*dx + (p[1]-a[1])*dy) / length2
	return distance(p, between(a, b, math.Max(0, math.Min(1, f))))
}

// toLine is the distance from p to the nearest point of the line.
func toLine(p orb.Point, line []orb.Point) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		best = math.Min(best, toSegment(p, line[i-1], line[i]))
	}
	return best
}

// crosses reports whether the segments ab and cd cross in their interiors.
func crosses(a, b, c, d orb.Point) bool {
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

func side(a, b, p orb.Point) float64 {
	return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0])
}

// crossings counts the segments of line that ab crosses.
func crossings(a, b orb.Point, line []orb.Point) int {
	n := 0
	for i := 1; i < len(line); i++ {
		if crosses(a, b, line[i-1], line[i]) {
			n++
		}
	}
	return n
}

// within reports whether p is inside the closed ring, by counting the edges
// that a ray to the east crosses. Points on the ring itself may fall either way.
func within(ring orb.Ring, p orb.Point) bool {
	inside := false
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(b[0]-a[0])*(p[1]-a[1])/(b[1]-a[1]) {
			inside = !inside
		}
	}
	return inside
}
