package planning_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/planning"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/routing/coverage"
)

func box(west, south, east, north float64) orb.Polygon {
	return orb.Bound{Min: orb.Point{west, south}, Max: orb.Point{east, north}}.ToPolygon()
}

// TestCheckPlaces: what is refused before a grid is laid. Source: arithmetic, a degree of a
// great circle is 111 km.
func TestCheckPlaces(t *testing.T) {
	jagged := orb.Ring{}
	for k := range 200_000 {
		jagged = append(jagged, orb.Point{float64(k%2) / 10, float64(k) / 200_000})
	}
	for _, row := range []struct {
		name   string
		places wire.Places
		says   string // empty: taken
	}{
		{"points", wire.Places{}, ""},
		{"a degree in kilometres", wire.Places{CellM: 1000, Area: coverage.Area{box(0, 0, 1, 1)}}, ""},
		{"the world in kilometres", wire.Places{CellM: 1000, Area: coverage.Area{box(-180, -85, 180, 85)}}, "choose larger cells"},
		{"two sides of the antimeridian", wire.Places{CellM: 1000, Area: coverage.Area{box(179, 0, 180, 1), box(-180, 0, -179, 1)}}, ""},
		{"two islands far apart", wire.Places{CellM: 1000, Area: coverage.Area{box(0, 0, 0.1, 0.1), box(60, 60, 60.1, 60.1)}}, "choose larger cells"},
		{"a border of too many corners", wire.Places{CellM: 100, Area: coverage.Area{{append(jagged, jagged[0])}}}, "simplify its borders"},
		{"cells of no size", wire.Places{CellM: math.SmallestNonzeroFloat64, Area: coverage.Area{box(0, 0, 1, 1)}}, "choose larger cells"},
	} {
		why := planning.CheckPlaces(row.places)
		if row.says == "" {
			assert.Empty(t, why, row.name)
		} else {
			assert.Contains(t, why, row.says, row.name)
		}
	}
}

// TestTooManyPoints: points and cells are refused together where each alone is taken.
func TestTooManyPoints(t *testing.T) {
	r, report := region.Demo()
	require.Empty(t, report.Faults)
	q := &wire.CoverageRequest{Situations: make([]coverage.Situation, 1),
		Places: wire.Places{CellM: 1000, Area: coverage.Area{box(0, 0, 4, 4)}, Points: make([]coverage.Cell, 20_000)}}
	_, err := planning.Coverage(t.Context(), r, q, "test", planning.Here, func(int, int, string) {})
	assert.ErrorContains(t, err, "20000 points and")
}
