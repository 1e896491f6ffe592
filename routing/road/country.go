package road

import (
	"math"
	"slices"

	"surgeonward/geo"
)

// ways is how one drives in an area, beside how one drives in the region.
type ways struct {
	factor float64 // road distance over great-circle distance
	pace   float64 // the region's cruise speed over the area's: seconds per second
	gather float64 // the area's acceleration over the region's
	spread *Spread
	name   string
}

// perMetre is what a metre of ground costs, in metres of the region's road
// that take as long at cruise.
func (w *ways) perMetre() float64 { return w.factor * w.pace }

// country knows how one drives where.
type country struct {
	region  ways
	areas   []ways
	rings   [][]xy // of all areas, closed
	ringOf  []int16
	boxes   []box // of the rings
	borders grid
	least   float64 // the cheapest metre there is
	spreads bool    // an area has a spread of its own
}

type box struct{ low, high xy }

func newCountry(m *Map, region Region) country {
	c := country{region: ways{factor: region.Factor, pace: 1, gather: 1}}
	c.least = c.region.perMetre()
	var walls []wall
	for i := range m.Areas {
		a := &m.Areas[i]
		w := ways{factor: a.Factor, pace: 1, gather: 1, spread: a.Spread, name: a.Name}
		if w.factor == 0 {
			w.factor = region.Factor
		}
		if a.CruiseMS > 0 {
			w.pace = region.Law.CruiseMS / a.CruiseMS
		}
		if a.AccelerationMS2 > 0 {
			w.gather = a.AccelerationMS2 / region.Law.AccelerationMS2
		}
		c.areas = append(c.areas, w)
		c.least = min(c.least, w.perMetre())
		c.spreads = c.spreads || w.spread != nil
		for _, line := range a.Polygon {
			ring := make([]xy, len(line))
			b := box{xy{math.Inf(1), math.Inf(1)}, xy{math.Inf(-1), math.Inf(-1)}}
			for k, p := range line {
				ring[k], _ = m.ground.plane.project(p)
				b.low = xy{min(b.low.x, ring[k].x), min(b.low.y, ring[k].y)}
				b.high = xy{max(b.high.x, ring[k].x), max(b.high.y, ring[k].y)}
				if k > 0 {
					walls = append(walls, newWall(ring[k-1], ring[k], int32(i)))
				}
			}
			c.rings, c.ringOf, c.boxes = append(c.rings, ring), append(c.ringOf, int16(i)), append(c.boxes, b)
		}
	}
	c.borders = newGrid(walls)
	return c
}

// in returns how one drives in an area; -1 is none.
func (c *country) in(area int16) *ways {
	if area < 0 {
		return &c.region
	}
	return &c.areas[area]
}

// areaAt returns the area that p lies in: of several the last, -1 for none.
func (c *country) areaAt(p xy) int16 {
	for last := len(c.rings) - 1; last >= 0; {
		area, inside := c.ringOf[last], false
		for ; last >= 0 && c.ringOf[last] == area; last-- {
			b := &c.boxes[last]
			if p.x >= b.low.x && p.x <= b.high.x && p.y >= b.low.y && p.y <= b.high.y {
				inside = inside != encloses(c.rings[last], p)
			}
		}
		if inside {
			return area
		}
	}
	return -1
}

// encloses is the even-odd rule.
func encloses(ring []xy, p xy) bool {
	inside := false
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(b.x-a.x)*(p.y-a.y)/(b.y-a.y) {
			inside = !inside
		}
	}
	return inside
}

// piece is a stretch of ground within one area.
type piece struct {
	area     int16
	metres   float64 // along the great circle
	measured bool    // its road has a length of its own, whatever the factor
}

// pieces cuts the straight way from p to q, of the length in metres given, at
// the borders of areas, and appends what results to buf.
func (c *country) pieces(buf []piece, p, q xy, metres float64, vector func(xy) geo.Vector) []piece {
	if len(c.areas) == 0 {
		return append(buf, piece{area: -1, metres: metres})
	}
	var few [16]float64
	cuts := few[:0]
	c.borders.along(p, q, func(i int32) bool {
		if t, ok := c.borders.walls[i].meets(p, q); ok {
			cuts = append(cuts, t)
		}
		return false
	})
	if len(cuts) == 0 {
		return append(buf, piece{area: c.areaAt(between(p, q, 0.5)), metres: metres})
	}
	slices.Sort(cuts)
	cuts = append(slices.Compact(cuts), 1)
	begin, from, start := 0.0, vector(p), len(buf)
	for _, end := range cuts {
		to := vector(between(p, q, end))
		area, length := c.areaAt(between(p, q, (begin+end)/2)), from.Distance(to)
		if n := len(buf); n > start && buf[n-1].area == area {
			buf[n-1].metres += length
		} else {
			buf = append(buf, piece{area: area, metres: length})
		}
		begin, from = end, to
	}
	return buf
}
