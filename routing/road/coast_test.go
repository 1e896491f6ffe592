package road_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing/road"
)

func TestTakenToTheShore(t *testing.T) {
	metre := 1 / geo.Distance(orb.Point{0, 0}, orb.Point{1, 0}) // in degrees at the equator
	island := coast("the coast", box(0, -0.1, 0.2, 0.1)...)
	tr := terrain(t, road.Region{Factor: 2, Law: plain}, island)
	inland := orb.Point{0.1, 0}
	const tolM = 0.5 // the shore is met a decimetre inland
	for _, c := range []struct {
		name  string
		offM  float64 // west of the western coast; negative is inland
		roadM float64
		says  string
	}{
		{"on land", -1, 2 * (0.1/metre - 1), "road 22.2 km: great circle 11.1 km x 2"},
		{"on the coast", 0, 2 * 0.1 / metre, "great circle"},
		{"on the beach", 40, 2 * (0.1/metre + 40), "; the end is 40 m off the coast and taken to the shore; great circle 11.2 km in all"},
		{"just near enough", 499, 2 * (0.1/metre + 499), "the end is 499 m off the coast"},
		{"too far", 501, 0, "not reachable by road: no road leads to a point 501 m off the coast (the coast)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := orb.Point{-c.offM * metre, 0}
			got, err := tr.Route(inland, p, plain, noon)
			back, errBack := tr.Route(p, inland, plain, noon)
			if c.roadM == 0 {
				require.ErrorIs(t, err, road.ErrUnreachable)
				assert.EqualError(t, err, c.says)
				assert.EqualError(t, errBack, "not reachable by road: no road leads from a point 501 m off the coast (the coast)")
				return
			}
			require.NoError(t, err)
			require.NoError(t, errBack)
			assert.InDelta(t, c.roadM, got.DistanceM, tolM, "identity: as if the land went on")
			assert.InDelta(t, got.TypicalS, back.TypicalS, 1e-6)
			assert.Contains(t, got.Basis, c.says)
			assert.Equal(t, p, got.Path[len(got.Path)-1], "the path ends where it was asked to")
		})
	}

	m, faults, _ := road.Decode(document(island), road.DecodeOptions{SnapM: 50})
	require.Empty(t, faults)
	strict, err := road.NewTerrain(m, straightRoads)
	require.NoError(t, err)
	_, err = strict.Route(inland, orb.Point{-60 * metre, 0}, plain, noon)
	assert.ErrorContains(t, err, "60 m off the coast", "definition: the tolerance is a setting")
}

// With water on each possible side of each kind of barrier.
func TestWhereTheWaterIs(t *testing.T) {
	ring, hole := box(0, 0, 0.3, 0.3), box(0.1, 0.1, 0.2, 0.2)
	inHole, inRing, outside := orb.Point{0.15, 0.15}, orb.Point{0.05, 0.05}, orb.Point{0.4, 0.4}
	closed := func(ring []orb.Point) []orb.Point { return append(append([]orb.Point(nil), ring...), ring[0]) }
	reversed := func(line []orb.Point) []orb.Point {
		out := make([]orb.Point, len(line))
		for i := range line {
			out[len(line)-1-i] = line[i]
		}
		return out
	}
	line := []orb.Point{{0, 0}, {0, 0.1}, {0.1, 0.1}, {0.1, 0.3}}
	west, east := orb.Point{-0.05, 0.2}, orb.Point{0.2, 0.05}
	for _, c := range []struct {
		name     string
		geometry string
		line     any
		water    string
		wet, dry []orb.Point
	}{
		{"island", "LineString", closed(ring), "outside", []orb.Point{outside}, []orb.Point{inRing, inHole}},
		{"island, clockwise", "LineString", reversed(closed(ring)), "outside", []orb.Point{outside}, []orb.Point{inRing, inHole}},
		{"lake", "LineString", closed(ring), "inside", []orb.Point{inRing, inHole}, []orb.Point{outside}},
		{"lake, clockwise", "LineString", reversed(closed(ring)), "inside", []orb.Point{inRing, inHole}, []orb.Point{outside}},
		{"wall", "LineString", closed(ring), "none", nil, []orb.Point{inRing, inHole, outside}},
		{"atoll", "Polygon", [][]orb.Point{closed(ring), reversed(closed(hole))}, "outside", []orb.Point{outside, inHole}, []orb.Point{inRing}},
		{"atoll, rings the wrong way", "Polygon", [][]orb.Point{reversed(closed(ring)), closed(hole)}, "outside", []orb.Point{outside, inHole}, []orb.Point{inRing}},
		{"ring of water", "Polygon", [][]orb.Point{closed(ring), closed(hole)}, "inside", []orb.Point{inRing}, []orb.Point{outside, inHole}},
		{"coast drawn northward, sea in the west", "LineString", line, "left", []orb.Point{west}, []orb.Point{east}},
		{"coast drawn northward, sea in the east", "LineString", line, "right", []orb.Point{east}, []orb.Point{west}},
		{"coast drawn southward", "LineString", reversed(line), "right", []orb.Point{west}, []orb.Point{east}},
	} {
		t.Run(c.name, func(t *testing.T) {
			data, err := json.Marshal(props{"type": "FeatureCollection", "features": []any{props{
				"type": "Feature", "id": "b", "properties": props{"kind": "barrier", "name": "the shore", "water": c.water},
				"geometry": props{"type": c.geometry, "coordinates": c.line}}}})
			require.NoError(t, err)
			m, faults, _ := road.Decode(data, road.DecodeOptions{})
			require.Empty(t, faults)
			tr, err := road.NewTerrain(m, straightRoads)
			require.NoError(t, err)
			for _, p := range c.wet {
				_, err := tr.Route(p, p, plain, noon)
				require.ErrorIs(t, err, road.ErrUnreachable, "%v is wet", p)
				assert.ErrorContains(t, err, "off the coast (the shore)")
			}
			for _, p := range c.dry {
				_, err := tr.Route(p, p, plain, noon)
				assert.NoError(t, err, "%v is dry", p)
			}
		})
	}
}

// What is in the water is what the even-odd rule says is outside the island,
// at every kind of corner.
func TestWaterAgainstEvenOdd(t *testing.T) {
	wet, dry := 0, 0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 5))
		var ring []orb.Point
		n := 4 + r.IntN(12)
		for k := range n {
			angle, size := 2*math.Pi*float64(k)/float64(n), 0.02+0.15*r.Float64()
			ring = append(ring, orb.Point{size * math.Cos(angle), size * math.Sin(angle)})
		}
		m, faults, _ := road.Decode(document(coast("the coast", ring...)), road.DecodeOptions{SnapM: 0.01})
		require.Empty(t, faults)
		tr, err := road.NewTerrain(m, straightRoads)
		require.NoError(t, err)
		for range 100 {
			p := orb.Point{0.4*r.Float64() - 0.2, 0.4*r.Float64() - 0.2}
			inside := false
			for i := range ring {
				a, b := ring[i], ring[(i+1)%n]
				if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(b[0]-a[0])*(p[1]-a[1])/(b[1]-a[1]) {
					inside = !inside
				}
			}
			_, err := tr.Route(orb.Point{0, 0}, p, plain, noon)
			if !inside {
				require.ErrorContains(t, err, "off the coast", "seed %d, %v", seed, p)
				wet++
			} else {
				require.NoError(t, err, "seed %d, %v", seed, p)
				dry++
			}
		}
	}
	assert.Greater(t, wet, 500)
	assert.Greater(t, dry, 500)
}
