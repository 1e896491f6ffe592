package road_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/road"
)

// archipelago is four ragged islands with n barrier positions in all, joined
// by bridges, with some sites on each and a scene on the first.
func archipelago(n, sites int) (features []feature, scene orb.Point, at []orb.Point, rings [][]orb.Point) {
	r := rand.New(rand.NewPCG(uint64(n), 7))
	for k := range 4 {
		middle := orb.Point{0.9 * float64(k%2), 0.9 * float64(k/2)}
		var phase [8]float64
		for i := range phase {
			phase[i] = 2 * math.Pi * r.Float64()
		}
		var ring []orb.Point
		for i := range n / 4 {
			angle := 2 * math.Pi * float64(i) / float64(n/4)
			size := 0.25 + 0.004*r.Float64()
			for h, p := range phase {
				size += 0.08 / float64(h+3) * math.Sin(float64(h*h+h+2)*angle+p)
			}
			ring = append(ring, orb.Point{middle[0] + size*math.Cos(angle), middle[1] + size*math.Sin(angle)})
		}
		rings = append(rings, ring)
		features = append(features, coast(fmt.Sprint("island ", k), ring...))
		for range sites / 4 {
			// On land, anywhere between the middle and the coast.
			p, share := ring[r.IntN(len(ring))], 0.95*r.Float64()
			at = append(at, orb.Point{middle[0] + share*(p[0]-middle[0]), middle[1] + share*(p[1]-middle[1])})
		}
	}
	for k, pair := range [][2]int{{0, 1}, {0, 2}, {1, 3}} {
		a, b := orb.Point{0.9 * float64(pair[0]%2), 0.9 * float64(pair[0]/2)}, orb.Point{0.9 * float64(pair[1]%2), 0.9 * float64(pair[1]/2)}
		ends := [2]orb.Point{{a[0] + 0.1*(b[0]-a[0]), a[1] + 0.1*(b[1]-a[1])}, {a[0] + 0.9*(b[0]-a[0]), a[1] + 0.9*(b[1]-a[1])}}
		features = append(features, crossing("bridge", fmt.Sprint("bridge ", k), ends[0], ends[1], nil))
	}
	return features, at[0], at, rings
}

// slowly is the same for the naive method, solved, with the first site's node.
func slowly(features []feature, at []orb.Point, rings [][]orb.Point) (slow naive, first int) {
	for _, ring := range rings {
		slow.addWalls(append(append([]orb.Point(nil), ring...), ring[0]), false)
	}
	for _, f := range features[len(rings):] {
		end := len(slow.nodes)
		slow.nodes = append(slow.nodes, naiveNode{at: f.line[0]}, naiveNode{at: f.line[1]})
		slow.crossing, slow.isFerry = append(slow.crossing, [2]int{end, end + 1}), append(slow.isFerry, false)
	}
	first = len(slow.nodes)
	for _, p := range at {
		slow.nodes = append(slow.nodes, naiveNode{at: p})
	}
	slow.solve(false, first)
	return slow, first
}

// One scene to 200 sites: prepared once, asked one by one, and, on the smaller
// map, by the naive method. The sum of
// the times is reported beside.
func BenchmarkSceneToSites(b *testing.B) {
	const sites = 200
	for _, n := range []int{200, 2000} {
		features, scene, at, rings := archipelago(n, sites)
		tr := terrain(b, straightRoads, features...)
		b.Run(fmt.Sprintf("%d positions, tree", n), func(b *testing.B) {
			b.ReportAllocs()
			sumS := 0.0
			for k := 0; b.Loop(); k++ {
				sumS = 0
				// A scene that has not been asked about before, some nanometres off.
				tree, err := tr.From(orb.Point{scene[0] + 1e-13*float64(k), scene[1]}, plain, noon)
				require.NoError(b, err)
				for _, p := range at {
					route, err := tree.To(p)
					require.NoError(b, err)
					sumS += route.TypicalS
				}
			}
			b.ReportMetric(sumS, "sum_s")
		})
		b.Run(fmt.Sprintf("%d positions, one route each, all new", n), func(b *testing.B) {
			b.ReportAllocs()
			sumS := 0.0
			for k := 0; b.Loop(); k++ {
				sumS = 0
				for i, p := range at {
					route, err := tr.Route(orb.Point{scene[0] + 1e-13*float64(sites*k+i), scene[1]}, p, plain, noon)
					require.NoError(b, err)
					sumS += route.TypicalS
				}
			}
			b.ReportMetric(sumS, "sum_s")
		})
		if n > 200 {
			continue
		}
		b.Run(fmt.Sprintf("%d positions, naive", n), func(b *testing.B) {
			b.ReportAllocs()
			sumS := 0.0
			for b.Loop() {
				slow, first := slowly(features, at, rings)
				sumS = 0
				for i := range at {
					sumS += slow.timeS(first, first+i, plain)
				}
			}
			b.ReportMetric(sumS, "sum_s")
		})
	}
}

// What a map costs once, before the first question.
func BenchmarkNewTerrain(b *testing.B) {
	for _, n := range []int{200, 2000} {
		features, _, _, _ := archipelago(n, 4)
		m, faults, _ := road.Decode(document(features...), road.DecodeOptions{})
		require.Empty(b, faults)
		b.Run(fmt.Sprintf("%d positions", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, err := road.NewTerrain(m, straightRoads)
				require.NoError(b, err)
			}
		})
	}
}

// The ways of an archipelago that the benchmark takes are those of the naive
// method.
func TestArchipelago(t *testing.T) {
	features, scene, at, rings := archipelago(60, 12)
	slow, first := slowly(features, at, rings)
	tr := terrain(t, straightRoads, features...)
	for i, p := range at {
		got, err := tr.Route(scene, p, plain, noon)
		require.NoError(t, err)
		const tolS = 0.1
		require.InDelta(t, slow.timeS(first, first+i, plain), got.TypicalS, tolS, "site %d: %s", i, got.Basis)
	}
}
