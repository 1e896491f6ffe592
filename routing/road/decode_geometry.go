package road

import (
	"github.com/paulmach/orb"

	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
)

// line reads a LineString; false where it cannot be used.
func (d *decoder) line(geometry member) (orb.LineString, bool) {
	if !d.hasType(geometry, "LineString") {
		return nil, false
	}
	at := geometry.get("coordinates")
	points, ok := d.positions(at)
	if !ok {
		return nil, false
	}
	if len(points) < 2 {
		d.fault(at, "a line needs two different positions at least")
		return nil, false
	}
	return points, true
}

// polygon reads a Polygon: rings that end where they begin.
func (d *decoder) polygon(geometry member) (orb.Polygon, bool) {
	if !d.hasType(geometry, "Polygon") {
		return nil, false
	}
	rings := geometry.get("coordinates")
	items := rings.items()
	if len(items) == 0 {
		d.fault(rings, "a polygon needs one ring of positions at least")
		return nil, false
	}
	polygon, all := make(orb.Polygon, len(items)), true
	for i, at := range items {
		ring, ok := d.positions(at)
		switch {
		case !ok:
			all = false
		case ring[0] != ring[len(ring)-1]:
			d.fault(at, "the ring is not closed: repeat its first position at its end")
			all = false
		case len(ring) < 4:
			d.fault(at, "a ring needs three different positions at least, and the first again at its end")
			all = false
		}
		polygon[i] = orb.Ring(ring)
	}
	return polygon, all
}

func (d *decoder) hasType(geometry member, want string) bool {
	if !geometry.given() {
		return false // the schema says so
	}
	if have := geometry.get("type").text(); have != want {
		d.fault(geometry.get("type"), "a geometry of type %s is needed here, got %s", strictjson.Quote(want), strictjson.Quote(have))
		return false
	}
	return true
}

// positions reads an array of positions without those that repeat the one
// before; false if one of them, or the array, cannot be used.
func (d *decoder) positions(at member) (orb.LineString, bool) {
	if _, isArray := at.value.([]any); !isArray || len(at.items()) == 0 {
		d.fault(at, "an array of positions is needed here, each [longitude, latitude]")
		return nil, false
	}
	items := at.items()
	points, all := make(orb.LineString, 0, len(items)), true
	for _, item := range items {
		p, ok := d.position(item)
		all = all && ok
		if n := len(points); n == 0 || points[n-1] != p {
			points = append(points, p)
		}
	}
	return points, all
}

// position reads [longitude, latitude] with an optional height.
func (d *decoder) position(at member) (orb.Point, bool) {
	items := at.items()
	if len(items) < 2 || len(items) > 3 {
		d.fault(at, "a position is an array of two numbers, [longitude, latitude], with a height in metres at most")
		return orb.Point{}, false
	}
	for i, part := range items {
		if _, isNumber := part.value.(float64); !isNumber {
			d.fault(part, "%s must be a number", [3]string{"longitude", "latitude", "height"}[i])
			return orb.Point{}, false
		}
	}
	p := orb.Point{items[0].number(), items[1].number()}
	if err := geo.Check(p); err != nil {
		d.fault(at, "%s", err)
		return orb.Point{}, false
	}
	return p, true
}

// lengthFits refuses a road that is shorter than the straight line.
func (d *decoder) lengthFits(m member, c *Crossing) {
	if straightM := geo.Distance(c.Ends[0], c.Ends[1]); m.given() && c.LengthM < straightM {
		d.fault(m, "length_m %v is less than the %.0f m between the two positions: correct it, or leave it out", c.LengthM, straightM)
	}
}
