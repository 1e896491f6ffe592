package road

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// place is a point where a road travel begins or ends, on land and clear of
// every barrier.
type place struct {
	given orb.Point // as asked for
	road  orb.Point // where the road is met; given itself unless it was moved
	at    xy
	unit  geo.Vector
	offM  float64 // how far off the coast the given point is; 0 on land
	coast int32   // the barrier whose coast that is
	area  int16   // the area the road is met in, -1: none
}

// place puts a point on land. One in the water, but within snapM of the
// nearest coast, is moved there: coastlines are drawn in less detail than
// beaches and quays have. One farther out is not reachable, and the error says
// so in words that follow "no road leads".
func (g *ground) place(p orb.Point) (place, error) {
	at, ok := g.project(p)
	if !ok {
		distanceM := geo.Distance(p, g.plane.point(xy{}))
		return place{}, fmt.Errorf("%.0f km from the middle of the road map", distanceM/1000)
	}
	pl := place{given: p, road: p, at: at, coast: -1, area: -1}
	if f, ok := g.nearestCoast(at); ok && (f.water || f.distance <= onM) {
		offM := geo.Distance(p, g.plane.point(f.at))
		if f.water {
			pl.coast = g.shores[g.walls[f.wall].shore].barrier
			pl.offM = offM
		}
		if offM > g.snapM {
			return pl, errOffCoast
		}
		pl.at = f.at.plus(g.inland(f), clearM)
	}
	pl.at = g.clear(pl.at)
	if pl.at != at {
		pl.road = g.plane.point(pl.at)
	}
	pl.unit = geo.Unit(pl.road)
	return pl, nil
}

var errOffCoast = errors.New("too far off the coast")

// clear moves a point that lies on a wall, such as a hut on a crest, clear of
// it: to the left of the wall as it is drawn if that is free.
func (g *ground) clear(p xy) xy {
	i, hit := g.touching(p)
	if !hit {
		return p
	}
	w := &g.walls[i]
	dir := w.b.minus(w.a).unit().left()
	const directions = 16
	for k := range directions {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
		q := p.plus(xy{dir.x*cos - dir.y*sin, dir.x*sin + dir.y*cos}, clearM)
		if _, hit := g.touching(q); !hit && !g.water(q) {
			return q
		}
	}
	return p // no room: every way from here is blocked
}
