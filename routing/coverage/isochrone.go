package coverage

import (
	"errors"
	"math"

	"github.com/paulmach/orb"
)

// Isochrone is where a surgeon is within some seconds: the union of the cells,
// smoothed no further.
type Isochrone struct {
	Band
	Polygons orb.MultiPolygon // rings as RFC 7946 wants them; cut at the antimeridian
}

// ErrNoGrid says that points have no outline.
var ErrNoGrid = errors.New("isochrones need a grid: points stand for no area")

// Isochrones are the places within each limit, in seconds, at typical times. The
// wider one has the narrower one in it.
func (r *Result) Isochrones(limitsS []float64) ([]Isochrone, error) {
	if r.Demand.Grid == nil {
		return nil, ErrNoGrid
	}
	times := make([]float64, len(r.Outcomes))
	for i := range times {
		times[i] = r.Outcomes[i].Seconds()
	}
	var out []Isochrone
	for _, limit := range limitsS {
		out = append(out, Isochrone{within(r.Demand.Cells, times, limit),
			r.Demand.Grid.Union(func(cell int) bool { return times[cell] <= limit })})
	}
	return out, nil
}

// Union is the outline of some of the cells as valid polygons with holes.
func (g *Grid) Union(in func(cell int) bool) orb.MultiPolygon {
	return g.polygons(g.outline(in))
}

// Cell is the outline of one cell.
func (g *Grid) Cell(cell int) orb.MultiPolygon {
	column, row := g.Place(cell)
	ring := []corner{{column, row}, {column + 1, row}, {column + 1, row + 1}, {column, row + 1}, {column, row}}
	return g.polygons([]piece{{rings: [][]corner{ring}, beyond: g.beyond(column)}})
}

// round7 is a position to the centimetre, which keeps the order of all corners.
func round7(p orb.Point) orb.Point {
	return orb.Point{math.Round(p[0]*1e7) / 1e7, math.Round(p[1]*1e7) / 1e7}
}
