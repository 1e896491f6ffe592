package coverage

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// The bounds of a grid.
const (
	MinCellM = 100.0
	MaxCellM = 200_000.0
	MaxCells = 5_000_000
	maxBox   = 50_000_000 // cells of the box around the area, most of them maybe sea
)

// Grid is squares of equal area on the cylindrical equal-area projection of the
// sphere whose standard parallel is Lat0 (Snyder 1987, Map Projections: A Working
// Manual, USGS Professional Paper 1395, chapter 10; from memory):
//
//	x = R cos(Lat0) (lon - Lon0)    y = R sin(lat) / cos(Lat0)
//
// Every cell has the area CellM squared exactly. Its sides are CellM long at Lat0;
// elsewhere it is a factor of cos(Lat0) / cos(lat) too short from south to north,
// and too long from west to east. Borders between columns are meridians, and
// between rows parallels.
type Grid struct {
	CellM         float64
	Lat0, Lon0    float64 // degrees
	X0, Y0        float64 // the south-western corner of the box, in metres
	Columns, Rows int
	CutColumn     int     // cells from this column on lie beyond the antimeridian; 0: it is not crossed
	index         []int32 // by row, then column: the cell's number, -1 where there is none
	cells         []int32 // by cell: its place in index
}

// Area is polygons; where they overlap the place counts once.
type Area []orb.Polygon

// NewGrid lays a grid over the area: of each row and column the cells whose centre
// lies in it. Areas may cross the antimeridian, either as RFC 7946 wants them cut
// or with longitudes that run on beyond 180.
func NewGrid(area Area, cellM float64) (*Grid, error) {
	if !(cellM >= MinCellM && cellM <= MaxCellM) {
		return nil, fmt.Errorf("a cell of %g m: give a size from %.0f m to %.0f km", cellM, MinCellM, MaxCellM/1000)
	}
	whole, bound, err := area.unroll()
	if err != nil {
		return nil, err
	}
	g := &Grid{CellM: cellM, Lat0: bound.Center().Lat(), Lon0: bound.Center().Lon()}
	if cut := math.Copysign(180, g.Lon0); bound.Min.Lon() < cut && cut < bound.Max.Lon() {
		g.Lon0 = cut // a border between columns
	}
	if math.Abs(g.Lat0) > 80 {
		g.Lat0 = math.Copysign(80, g.Lat0) // at the pole itself the projection has no width
	}
	low, high := g.project(bound.Min), g.project(bound.Max)
	first := [2]float64{math.Floor(low[0] / cellM), math.Floor(low[1] / cellM)}
	columns, rows := math.Ceil(high[0]/cellM)-first[0], math.Ceil(high[1]/cellM)-first[1]
	if columns*rows > maxBox {
		return nil, fmt.Errorf("cells of %g m over this area are %.0f times %.0f: at most %d are looked at, choose larger cells", cellM, columns, rows, maxBox)
	}
	g.X0, g.Y0 = first[0]*cellM, first[1]*cellM
	g.Columns, g.Rows = max(int(columns), 1), max(int(rows), 1)
	if c := -int(first[0]); math.Abs(g.Lon0) == 180 && c > 0 && c < g.Columns {
		g.CutColumn = c
	}
	return g, g.fill(whole)
}

// fill numbers the cells whose centre lies in the area. The centres of a row lie on one
// parallel: where it crosses the borders of a polygon says which of them are inside.
func (g *Grid) fill(area Area) error {
	g.index = make([]int32, g.Columns*g.Rows)
	bounds := make([]orb.Bound, len(area))
	for i, p := range area {
		bounds[i] = p.Bound()
	}
	inside := make([]bool, g.Columns)
	var crossings []float64
	for row := range g.Rows {
		clear(inside)
		lat := g.unproject(g.centre(row * g.Columns)).Lat()
		for i, p := range area {
			if lat >= bounds[i].Min.Lat() && lat <= bounds[i].Max.Lat() {
				crossings = crossed(p, lat, crossings[:0])
				g.mark(inside, crossings)
			}
		}
		for column, in := range inside {
			at := row*g.Columns + column
			g.index[at] = -1
			if in {
				g.index[at] = int32(len(g.cells))
				g.cells = append(g.cells, int32(at))
			}
		}
		if len(g.cells) > MaxCells {
			return fmt.Errorf("cells of %g m over this area are more than %d: choose larger cells", g.CellM, MaxCells)
		}
	}
	if len(g.cells) == 0 {
		return fmt.Errorf("no cell of %g m has its centre in the area: choose smaller cells", g.CellM)
	}
	return nil
}

// crossed appends the longitudes at which a parallel crosses the rings of a polygon, from
// west to east: it is inside from each first to each second one, holes left out.
func crossed(p orb.Polygon, lat float64, out []float64) []float64 {
	for _, ring := range p {
		for k := 1; k < len(ring); k++ {
			a, b := ring[k-1], ring[k]
			if (a.Lat() > lat) != (b.Lat() > lat) {
				out = append(out, a.Lon()+(lat-a.Lat())/(b.Lat()-a.Lat())*(b.Lon()-a.Lon()))
			}
		}
	}
	slices.Sort(out)
	return out
}

// mark marks the columns whose centre lies between two crossings.
func (g *Grid) mark(inside []bool, crossings []float64) {
	perColumn := g.unproject([2]float64{g.CellM, 0}).Lon() - g.Lon0
	first := g.unproject(g.centre(0)).Lon()
	for k := 1; k < len(crossings); k += 2 {
		from := max(int(math.Ceil((crossings[k-1]-first)/perColumn)), 0)
		to := min(int(math.Floor((crossings[k]-first)/perColumn)), len(inside)-1)
		for column := from; column <= to; column++ {
			inside[column] = true
		}
	}
}

// Len is how many cells there are.
func (g *Grid) Len() int { return len(g.cells) }

// CellAreaM2 is the area of each cell in square metres.
func (g *Grid) CellAreaM2() float64 { return g.CellM * g.CellM }

// Centre is where a cell's scene is.
func (g *Grid) Centre(cell int) orb.Point {
	p := g.unproject(g.centre(int(g.cells[cell])))
	return orb.Point{math.Remainder(p.Lon(), 360), p.Lat()}
}

// Place is the cell's column and row, from the south-west.
func (g *Grid) Place(cell int) (column, row int) {
	at := int(g.cells[cell])
	return at % g.Columns, at / g.Columns
}

// At is the cell at a column and row; -1: none.
func (g *Grid) At(column, row int) int {
	if column < 0 || row < 0 || column >= g.Columns || row >= g.Rows {
		return -1
	}
	return int(g.index[row*g.Columns+column])
}

// Nearest is the cell that a point lies in; where there is none, the one whose
// centre is nearest, the lower number where two are as near.
func (g *Grid) Nearest(p orb.Point) int {
	p = orb.Point{g.Lon0 + math.Remainder(p.Lon()-g.Lon0, 360), p.Lat()}
	at := g.project(p)
	column, row := int(math.Floor((at[0]-g.X0)/g.CellM)), int(math.Floor((at[1]-g.Y0)/g.CellM))
	if in := g.At(column, row); in >= 0 {
		return in
	}
	best, bestM := -1, math.Inf(1)
	v := geo.Unit(p)
	for i := range g.cells {
		if m := v.Distance(geo.Unit(g.unproject(g.centre(int(g.cells[i]))))); m < bestM {
			best, bestM = i, m
		}
	}
	return best
}

// Corner is where the borders before a column and a row cross. Where the grid crosses
// the antimeridian, beyond says for which side: longitudes there are from 180 or
// to -180, whichever that side has.
func (g *Grid) Corner(column, row int, beyond bool) orb.Point {
	p := g.unproject([2]float64{g.X0 + float64(column)*g.CellM, g.Y0 + float64(row)*g.CellM})
	if g.CutColumn > 0 && beyond != (g.Lon0 < 0) {
		p[0] -= math.Copysign(360, g.Lon0)
	}
	return p
}

func (g *Grid) centre(at int) [2]float64 {
	return [2]float64{g.X0 + (float64(at%g.Columns)+0.5)*g.CellM, g.Y0 + (float64(at/g.Columns)+0.5)*g.CellM}
}

func (g *Grid) project(p orb.Point) [2]float64 {
	cos := math.Cos(g.Lat0 * math.Pi / 180)
	return [2]float64{geo.MeanRadius * cos * (p.Lon() - g.Lon0) * math.Pi / 180,
		geo.MeanRadius * math.Sin(p.Lat()*math.Pi/180) / cos}
}

func (g *Grid) unproject(xy [2]float64) orb.Point {
	cos := math.Cos(g.Lat0 * math.Pi / 180)
	sin := max(-1, min(1, xy[1]*cos/geo.MeanRadius)) // corners of a cell at the pole lie beyond it
	return orb.Point{g.Lon0 + xy[0]/(geo.MeanRadius*cos)*180/math.Pi, math.Asin(sin) * 180 / math.Pi}
}

// unroll lays all polygons out around the first, so that those cut at the
// antimeridian come together, with the box around them.
func (a Area) unroll() (Area, orb.Bound, error) {
	var out Area
	var bound orb.Bound
	ref := math.NaN()
	for i, polygon := range a {
		if len(polygon) == 0 || len(polygon[0]) < 4 {
			return nil, bound, fmt.Errorf("polygon %d of the area has no ring of at least four positions", i)
		}
		var moved orb.Polygon
		turn := 0.0
		for k, ring := range polygon {
			r := ring.Clone()
			for n, p := range r {
				if !(math.Abs(p.Lat()) <= 90) || !(math.Abs(p.Lon()) <= 540) {
					return nil, bound, fmt.Errorf("polygon %d of the area has a position %g, %g: longitude first, latitude from -90 to 90", i, p.Lon(), p.Lat())
				}
				if k == 0 && n == 0 {
					if math.IsNaN(ref) {
						ref = p.Lon()
					}
					turn = 360 * math.Round((ref-p.Lon())/360)
				}
				r[n][0] += turn
			}
			moved = append(moved, r)
		}
		if out == nil {
			bound = moved.Bound()
		}
		out, bound = append(out, moved), bound.Union(moved.Bound())
	}
	if len(out) == 0 {
		return nil, bound, errors.New("the area has no polygon")
	}
	if bound.Max.Lon()-bound.Min.Lon() > 360 {
		return nil, bound, errors.New("the area goes around the Earth more than once: cut it")
	}
	return out, bound, nil
}
