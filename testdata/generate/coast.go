package main

import (
	"math"

	"github.com/paulmach/orb"
)

// finest is the length in kilometres below which a coast is not broken further.
const finest = 0.7

// coast turns a hand-laid skeleton into a ragged closed coastline by midpoint
// displacement: the middle of every stretch moves sideways by a random part
// of its length, again and again. A coast that crosses itself is thrown away
// and drawn again a little smoother, in the end as the skeleton itself, which
// therefore must not cross itself.
func coast(skeleton []orb.Point, rough float64, seed uint64) orb.Ring {
	for {
		c := &chance{seed}
		var ring orb.Ring
		for i, p := range skeleton {
			ring = append(ring, p)
			ring = displace(ring, p, skeleton[(i+1)%len(skeleton)], rough, c)
		}
		ring = append(ring, ring[0])
		if simple(ring) {
			return ring
		}
		seed++
		rough *= 0.97
	}
}

// displace appends the broken stretch from p to q, without its ends.
func displace(ring orb.Ring, p, q orb.Point, rough float64, c *chance) orb.Ring {
	d := distance(p, q)
	if d < finest {
		return ring
	}
	shift := c.bell() * rough
	// Off the middle along the stretch too, or headlands come out evenly spaced.
	mid := between(p, q, 0.5+0.12*c.bell()/2)
	mid[0] -= shift * (q[1] - p[1])
	mid[1] += shift * (q[0] - p[0])
	ring = displace(ring, p, mid, rough, c)
	ring = append(ring, mid)
	return displace(ring, mid, q, rough, c)
}

// simple reports whether a closed ring does not cross or touch itself closely.
func simple(ring orb.Ring) bool {
	for i := 1; i < len(ring); i++ {
		for j := i + 2; j < len(ring); j++ {
			if i == 1 && j == len(ring)-1 {
				continue // neighbours across the closing point
			}
			if crosses(ring[i-1], ring[i], ring[j-1], ring[j]) {
				return false
			}
		}
	}
	// A headland that nearly meets its neighbour reads as a drawing fault.
	for i := range ring {
		for j := i + 6; j < len(ring)-6; j++ {
			if distance(ring[i], ring[j]) < 0.12 {
				return false
			}
		}
	}
	return true
}

// blob is the skeleton of a small island about its centre.
func blob(centre orb.Point, radius float64, seed uint64) []orb.Point {
	c := &chance{seed}
	out := make([]orb.Point, 7)
	for i := range out {
		angle := 2 * math.Pi * (float64(i) + 0.5*c.unit()) / float64(len(out))
		r := radius * (0.75 + 0.5*c.unit())
		out[i] = orb.Point{centre[0] + r*math.Cos(angle)*1.25, centre[1] + r*math.Sin(angle)*0.85}
	}
	return out
}

// inland returns the position nearest to p that is on the island and at least
// gap kilometres from its coast, searching outwards in rings.
func inland(p orb.Point, island orb.Ring, gap float64) orb.Point {
	for r := 0.0; r < 12; r += 0.1 {
		steps := 1 + int(r*40)
		for i := range steps {
			angle := 2 * math.Pi * float64(i) / float64(steps)
			q := orb.Point{p[0] + r*math.Cos(angle), p[1] + r*math.Sin(angle)}
			if within(island, q) && toLine(q, island) >= gap {
				return q
			}
		}
	}
	return p
}
