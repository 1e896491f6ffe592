package coverage_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/geo"
	"surgeonward/routing/coverage"
)

// sphereM2 is the area of the sphere between two parallels and two meridians.
// Source: Archimedes, on the sphere and the cylinder.
func sphereM2(south, north, widthDeg float64) float64 {
	sin := func(deg float64) float64 { return math.Sin(deg * math.Pi / 180) }
	return geo.MeanRadius * geo.MeanRadius * (sin(north) - sin(south)) * widthDeg * math.Pi / 180
}

func TestCellsAreOfEqualArea(t *testing.T) {
	for _, c := range []struct {
		name string
		at   orb.Point
	}{{"at the equator", orb.Point{10, 0}}, {"at 60 degrees", orb.Point{10, 60}}, {"south, at the antimeridian", orb.Point{180, -45}},
		{"beyond the antimeridian", orb.Point{-179.95, 20}}} {
		t.Run(c.name, func(t *testing.T) {
			g := grid(t, square(c.at, 60_000), 5_000)
			for cell := range g.Len() {
				column, row := g.Place(cell)
				sw, ne := g.Corner(column, row, false), g.Corner(column+1, row+1, false)
				const tolShare = 1e-9
				require.InEpsilon(t, g.CellAreaM2(), sphereM2(sw.Lat(), ne.Lat(), ne.Lon()-sw.Lon()), tolShare)
				require.Equal(t, cell, g.Nearest(g.Centre(cell)))
				require.LessOrEqual(t, math.Abs(g.Centre(cell).Lon()), 180.0)
			}
			area := square(c.at, 60_000)[0][0]
			const tolShare = 0.03 // of cells cut by the border, 1 in 24 on each side
			assert.InEpsilon(t, sphereM2(area[0].Lat(), area[2].Lat(), area[1].Lon()-area[0].Lon()), float64(g.Len())*g.CellAreaM2(), tolShare)
		})
	}
}

// An area that RFC 7946 section 3.1.9 wants cut is the same as one that runs on.
func TestAcrossTheAntimeridian(t *testing.T) {
	whole := coverage.Area{{{{179, 10}, {181, 10}, {181, 11}, {179, 11}, {179, 10}}}}
	cut := coverage.Area{{{{179, 10}, {180, 10}, {180, 11}, {179, 11}, {179, 10}}}, {{{-180, 10}, {-179, 10}, {-179, 11}, {-180, 11}, {-180, 10}}}}
	a, b := grid(t, whole, 10_000), grid(t, cut, 10_000)
	require.Equal(t, a.Len(), b.Len())
	for i := range a.Len() {
		require.Equal(t, a.Centre(i), b.Centre(i))
	}
	require.Positive(t, a.CutColumn)
	east, west := 0, 0
	for _, p := range a.Union(func(int) bool { return true }) {
		b := p.Bound()
		switch {
		case b.Min.Lon() > 178 && b.Max.Lon() == 180:
			east++
		case b.Max.Lon() < -178 && b.Min.Lon() == -180:
			west++
		default:
			t.Errorf("a polygon lies on both sides: %v", b)
		}
	}
	assert.Equal(t, []int{1, 1}, []int{east, west})
}

// TestCellsInPolygons: the cells are those whose centre lies in a polygon by looking at
// each by itself, with holes, overlaps and borders of all slopes.
func TestCellsInPolygons(t *testing.T) {
	for seed := range uint64(20) {
		rnd := rand.New(rand.NewPCG(seed, 3))
		ring := func(at orb.Point, degrees float64) orb.Ring {
			var r orb.Ring
			for k := range 9 {
				angle, far := 2*math.Pi*float64(k)/9, degrees*(0.4+0.6*rnd.Float64())
				r = append(r, orb.Point{at[0] + far*math.Cos(angle), at[1] + far*math.Sin(angle)})
			}
			return append(r, r[0])
		}
		area := coverage.Area{
			{ring(middle, 0.5), ring(middle, 0.15)},
			{ring(orb.Point{middle[0] + 0.3, middle[1] + 0.2}, 0.4)},
		}
		g := grid(t, area, 3000)
		in := 0
		for row := range g.Rows {
			for column := range g.Columns {
				corner, over := g.Corner(column, row, false), g.Corner(column+1, row+1, false)
				y := (math.Sin(corner.Lat()*math.Pi/180) + math.Sin(over.Lat()*math.Pi/180)) / 2
				centre := orb.Point{(corner.Lon() + over.Lon()) / 2, math.Asin(y) * 180 / math.Pi}
				want := planar.PolygonContains(area[0], centre) || planar.PolygonContains(area[1], centre)
				require.Equal(t, want, g.At(column, row) >= 0, "seed %d, cell %d, %d", seed, column, row)
				if want {
					require.Equal(t, in, g.At(column, row), "numbered by row, then column")
					in++
				}
			}
		}
		require.Equal(t, in, g.Len())
	}
}

func TestGridRefuses(t *testing.T) {
	for _, c := range []struct {
		name  string
		area  coverage.Area
		cellM float64
		says  string
	}{
		{"too small a cell", square(middle, 1000), 99, "give a size from 100 m to 200 km"},
		{"no number", square(middle, 1000), math.NaN(), "give a size"},
		{"no area", nil, 1000, "has no polygon"},
		{"an empty polygon", coverage.Area{{}}, 1000, "no ring"},
		{"swapped coordinates", coverage.Area{{{{45, 100}, {46, 100}, {46, 101}, {45, 100}}}}, 1000, "longitude first"},
		{"infinite", coverage.Area{{{{math.Inf(1), 1}, {2, 1}, {2, 2}, {math.Inf(1), 1}}}}, 1000, "longitude first"},
		{"far too many", square(middle, 2_000_000), 100, "choose larger cells"},
		{"no centre in it", square(orb.Point{0.9, 0.7}, 20), 200_000, "choose smaller cells"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := coverage.NewGrid(c.area, c.cellM)
			assert.ErrorContains(t, err, c.says)
		})
	}
}

// People in cells are the people of the points, wherever these lie.
func TestNobodyIsLost(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		g := grid(t, square(middle, 20_000), rapid.Float64Range(3_000, 30_000).Draw(rt, "cell"))
		var points []coverage.Cell
		sum := 0.0
		for range rapid.IntRange(0, 30).Draw(rt, "points") {
			p := coverage.Cell{People: rapid.Float64Range(0, 1e6).Draw(rt, "people"),
				At: orb.Point{rapid.Float64Range(-180, 180).Draw(rt, "lon"), rapid.Float64Range(-90, 90).Draw(rt, "lat")}}
			points = append(points, p)
			sum += p.People
		}
		const tol = 1e-6
		require.InDelta(t, sum, coverage.OnGrid(g, points).People(), tol)
	})
}
