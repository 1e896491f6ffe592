package coverage

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"surgeonward/routing/road"
)

// Cell is one scene with everybody it stands for.
type Cell struct {
	At     orb.Point
	People float64 // or past incidents: any weight, finite and not negative
	AreaM2 float64 // square metres; 0: a point
	Name   string  // of the place, for people; may be empty
}

// Demand is the scenes of a run.
type Demand struct {
	Cells []Cell
	Grid  *Grid // nil: a list of points
}

// People is the sum of the weights.
func (d *Demand) People() float64 {
	sum := 0.0
	for i := range d.Cells {
		sum += d.Cells[i].People
	}
	return sum
}

// AreaM2 is the area of all cells in square metres.
func (d *Demand) AreaM2() float64 {
	sum := 0.0
	for i := range d.Cells {
		sum += d.Cells[i].AreaM2
	}
	return sum
}

// OnGrid is the cells of a grid, with the people of the points that lie in each.
// Who lies in no cell is counted at the nearest, so that nobody is lost. A cell has
// the name of the point with the most people in it.
func OnGrid(g *Grid, points []Cell) *Demand {
	d := &Demand{Grid: g, Cells: make([]Cell, g.Len())}
	most := make([]float64, g.Len())
	for i := range d.Cells {
		d.Cells[i] = Cell{At: g.Centre(i), AreaM2: g.CellAreaM2()}
	}
	for _, p := range points {
		i := g.Nearest(p.At)
		c := &d.Cells[i]
		c.People += p.People
		if p.Name != "" && (c.Name == "" || p.People > most[i]) {
			c.Name, most[i] = p.Name, p.People
		}
	}
	return d
}

// AtPoints is a list of points as it is.
func AtPoints(points []Cell) *Demand { return &Demand{Cells: points} }

// Check says what is wrong with the weights.
func (d *Demand) Check() error {
	if len(d.Cells) == 0 {
		return fmt.Errorf("there is no cell to look at")
	}
	if len(d.Cells) > MaxCells {
		return fmt.Errorf("%d cells are more than %d", len(d.Cells), MaxCells)
	}
	for i := range d.Cells {
		if p := d.Cells[i].People; !(p >= 0) || math.IsInf(p, 1) {
			return fmt.Errorf("cell %d has a weight of %g, not a finite number from 0", i, p)
		}
	}
	return nil
}

// Land is what the map of roads says is land: the inside of every coast.
func Land(m *road.Map) (out Area) {
	if m == nil {
		return nil
	}
	for i := range m.Barriers {
		b := &m.Barriers[i]
		if b.Water != road.WaterOutside || len(b.Lines) == 0 {
			continue
		}
		var polygon orb.Polygon
		for _, line := range b.Lines {
			polygon = append(polygon, orb.Ring(line))
		}
		out = append(out, polygon)
	}
	return out
}
