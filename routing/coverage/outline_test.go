package coverage_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/routing/coverage"
)

// valid checks a multipolygon in the plane of longitude and latitude, by the
// definitions of RFC 7946 section 3.1.6 and OGC 06-103r4 section 6.1.11: closed
// rings that do not cross or touch themselves, the outer anticlockwise, holes
// clockwise and inside, no two rings crossing or sharing a side.
func valid(t require.TestingT, m orb.MultiPolygon) {
	type side struct{ a, b orb.Point }
	var all []side
	for _, polygon := range m {
		require.NotEmpty(t, polygon)
		for i, ring := range polygon {
			require.GreaterOrEqual(t, len(ring), 5)
			require.Equal(t, ring[0], ring[len(ring)-1], "closed")
			want := orb.CCW
			if i > 0 {
				want = orb.CW
			}
			require.Equal(t, want, ring.Orientation(), "orientation of ring %d", i)
			seen := map[orb.Point]bool{}
			for k := 1; k < len(ring); k++ {
				require.False(t, seen[ring[k]], "the ring comes to %v twice", ring[k])
				seen[ring[k]] = true
				all = append(all, side{ring[k-1], ring[k]})
				if i > 0 {
					require.True(t, planar.RingContains(polygon[0], ring[k]), "a hole is inside")
				}
			}
		}
	}
	for i, s := range all {
		for _, o := range all[:i] {
			require.False(t, cross(s.a, s.b, o.a, o.b), "%v crosses %v", s, o)
		}
	}
}

// cross reports whether two sides, each along a meridian or a parallel, have more
// than corners in common.
func cross(a, b, c, d orb.Point) bool {
	low := func(x, y float64) (float64, float64) { return min(x, y), max(x, y) }
	ax, bx := low(a[0], b[0])
	ay, by := low(a[1], b[1])
	cx, dx := low(c[0], d[0])
	cy, dy := low(c[1], d[1])
	if max(ax, cx) > min(bx, dx) || max(ay, cy) > min(by, dy) {
		return false
	}
	if (ax == bx) == (cx == dx) { // parallel, on one line: more than a point in common
		return max(ax, cx) < min(bx, dx) || max(ay, cy) < min(by, dy)
	}
	x, y := max(ax, cx), max(ay, cy) // where they meet
	end := func(p, q orb.Point) bool { return p == orb.Point{x, y} || q == orb.Point{x, y} }
	return !end(a, b) && !end(c, d)
}

// areaM2 is the area of polygons on the sphere whose sides are meridians and
// parallels: on an equal-area cylinder it is planar (Archimedes).
func areaM2(m orb.MultiPolygon) float64 {
	sum := 0.0
	for _, polygon := range m {
		for _, ring := range polygon {
			for k := 1; k < len(ring); k++ {
				a, b := ring[k-1], ring[k]
				sum -= sphereM2(0, a.Lat(), b.Lon()-a.Lon()) // along parallels
			}
		}
	}
	return sum
}

func TestOutlinesAreValid(t *testing.T) {
	g := grid(t, square(middle, 6_000), 1_000)
	rapid.Check(t, func(rt *rapid.T) {
		in := rapid.SliceOfN(rapid.Bool(), g.Len(), g.Len()).Draw(rt, "in")
		n := 0
		for _, b := range in {
			if b {
				n++
			}
		}
		m := g.Union(func(c int) bool { return in[c] })
		valid(rt, m)
		const tolM2 = 2_000 // corners are rounded to a centimetre, on at most 300 km of sides
		require.InDelta(rt, float64(n)*g.CellAreaM2(), areaM2(m), tolM2)
		for c := range g.Len() {
			require.Equal(rt, in[c], planar.MultiPolygonContains(m, g.Centre(c)), "cell %d", c)
		}
	})
}

func TestOutlinesByHand(t *testing.T) {
	g := grid(t, square(middle, 3_000), 1_000)
	column, row := g.Place(g.Nearest(middle))
	for _, c := range []struct {
		name            string
		cells           [][2]int
		polygons, rings int
	}{
		{"one cell", [][2]int{{0, 0}}, 1, 1},
		{"two that touch at a corner", [][2]int{{0, 0}, {1, 1}}, 2, 2},
		{"a hole", [][2]int{{-1, -1}, {0, -1}, {1, -1}, {-1, 0}, {1, 0}, {-1, 1}, {0, 1}, {1, 1}}, 1, 2},
		{"a hole that touches the outside", [][2]int{{-1, -1}, {0, -1}, {1, -1}, {-1, 0}, {1, 0}, {-1, 1}, {0, 1}}, 1, 2},
		{"none", nil, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := map[int]bool{}
			for _, at := range c.cells {
				cell := g.At(column+at[0], row+at[1])
				require.GreaterOrEqual(t, cell, 0)
				in[cell] = true
			}
			m := g.Union(func(c int) bool { return in[c] })
			valid(t, m)
			rings := 0
			for _, p := range m {
				rings += len(p)
			}
			assert.Equal(t, []int{c.polygons, c.rings}, []int{len(m), rings}, "definition")
		})
	}
}

// TestReachIsAnEgg: what one helicopter brings to a surgeon in an hour is an
// ellipse with base and hospital in its foci, well inside the circle of what it can
// fly to, and a circle where base and hospital are one. Source: the ellipse is
// defined by the sum of the distances to its foci; Stone et al. 2020, Am J Surg
// 220(3):765, for the use of it.
func TestReachIsAnEgg(t *testing.T) {
	for _, focusM := range []float64{0, 50_000} {
		west, east := orb.Point{middle.Lon() - focusM/78_000, middle.Lat()}, orb.Point{middle.Lon() + focusM/78_000, middle.Lat()}
		e := (&toy{}).hospital("h", east, "resident").asset("heli", "helicopter", west).engine(t)
		d := coverage.OnGrid(grid(t, square(middle, 125_000), 5_000), nil)
		r := run(t, e, d)
		bands, err := r.Isochrones([]float64{3600})
		require.NoError(t, err)
		valid(t, bands[0].Polygons)
		long := 60 * 3600.0 / 2
		c := distanceM(west, east) / 2
		ellipse := math.Pi * long * math.Sqrt(long*long-c*c)
		const tolShare = 0.01 // of 5 km cells along the border, and of the plane for the sphere
		assert.InEpsilon(t, ellipse, bands[0].AreaM2, tolShare)
		assert.Less(t, bands[0].AreaM2, math.Pi*4*long*long, "the circle that the helicopter can fly to")
		for i := range d.Cells {
			const tolS = 1e-6
			want := (distanceM(west, d.Cells[i].At) + distanceM(d.Cells[i].At, east)) / 60
			require.InDelta(t, want, r.Outcomes[i].Seconds(), tolS, "definition: the sum of both flights")
		}
	}
}
