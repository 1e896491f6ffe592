package road_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing/road"
)

// naive is the same map for the slow, obvious method: a plain of longitude and
// latitude near the equator, every corner on every side of it, every pair of
// them tried against every wall, no index. Lengths are great circles.
type naive struct {
	walls    [][2]orb.Point
	nodes    []naiveNode
	crossing [][2]int // nodes that a bridge joins
	sailing  []float64
	isFerry  []bool
	hills    orb.Bound // one area; empty for none
	per      float64   // what a metre in it costs
	pace     float64   // the region's cruise speed over the area's
	dist     [][]float64
}

type naiveNode struct {
	at         orb.Point
	prev, next orb.Point // the corner's neighbours, for ways that bend only there
	corner     bool
}

// clearDeg is a decimetre.
const clearDeg = 0.1 / 111_195

// addWalls enters a line and its corners: on both sides, or where only taut ways
// are wanted on the outer side of the bend.
func (n *naive) addWalls(line []orb.Point, taut bool) {
	closed := line[0] == line[len(line)-1]
	for i := 1; i < len(line); i++ {
		n.walls = append(n.walls, [2]orb.Point{line[i-1], line[i]})
	}
	last := len(line) - 1
	for i, v := range line {
		if closed && i == last {
			break
		}
		var arms []orb.Point
		switch {
		case i > 0:
			arms = append(arms, line[i-1])
		case closed:
			arms = append(arms, line[last-1])
		}
		if i < last {
			arms = append(arms, line[i+1])
		}
		sum := orb.Point{}
		for _, a := range arms {
			l := math.Hypot(a[0]-v[0], a[1]-v[1])
			sum[0] += (a[0] - v[0]) / l
			sum[1] += (a[1] - v[1]) / l
		}
		l := math.Hypot(sum[0], sum[1])
		off := orb.Point{sum[0] / l * clearDeg, sum[1] / l * clearDeg}
		node := naiveNode{at: orb.Point{v[0] - off[0], v[1] - off[1]}, prev: arms[0], next: arms[len(arms)-1], corner: true}
		n.nodes = append(n.nodes, node)
		if !taut && len(arms) > 1 {
			node.at = orb.Point{v[0] + off[0], v[1] + off[1]}
			n.nodes = append(n.nodes, node)
		}
	}
}

func turn(a, b, c orb.Point) float64 {
	return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
}

func (n *naive) free(p, q orb.Point) bool {
	for _, w := range n.walls {
		if turn(p, q, w[0])*turn(p, q, w[1]) <= 0 && turn(w[0], w[1], p)*turn(w[0], w[1], q) <= 0 {
			return false
		}
	}
	return true
}

func (n naiveNode) taut(p orb.Point) bool {
	return !n.corner || turn(p, n.at, n.prev)*turn(p, n.at, n.next) >= 0
}

// cost is the length of a straight way, each metre by what it costs.
func (n *naive) cost(p, q orb.Point) float64 {
	length := geo.Distance(p, q)
	if n.per == 0 {
		return length
	}
	enter, leave := 0.0, 1.0
	for axis := range 2 {
		d := q[axis] - p[axis]
		a, b := (n.hills.Min[axis]-p[axis])/d, (n.hills.Max[axis]-p[axis])/d
		enter, leave = max(enter, min(a, b)), min(leave, max(a, b))
	}
	return length + length*max(leave-enter, 0)*(n.per-1)
}

// solve finds all shortest ways by trying everything (Floyd and Warshall). Nodes
// from places on are ends only.
func (n *naive) solve(taut bool, places int) {
	k := len(n.nodes)
	n.dist = make([][]float64, k)
	for i := range n.dist {
		n.dist[i] = make([]float64, k)
		for j := range n.dist[i] {
			a, b := n.nodes[i], n.nodes[j]
			switch {
			case i == j:
			case n.free(a.at, b.at) && (!taut || a.taut(b.at) && b.taut(a.at)):
				n.dist[i][j] = n.cost(a.at, b.at)
			default:
				n.dist[i][j] = math.Inf(1)
			}
		}
	}
	for i, c := range n.crossing {
		if !n.isFerry[i] {
			d := n.cost(n.nodes[c[0]].at, n.nodes[c[1]].at)
			n.dist[c[0]][c[1]] = min(n.dist[c[0]][c[1]], d)
			n.dist[c[1]][c[0]] = n.dist[c[0]][c[1]]
		}
	}
	for m := range places {
		for i := range k {
			for j := range k {
				n.dist[i][j] = min(n.dist[i][j], n.dist[i][m]+n.dist[m][j])
			}
		}
	}
}

// timeS is the time from node a to node b, ferries included: stretches by the
// law of their ends' areas, tried until nothing gets better.
func (n *naive) timeS(a, b int, law road.Law) float64 {
	drive := func(i, j int) float64 {
		if math.IsInf(n.dist[i][j], 1) {
			return math.Inf(1)
		}
		at := func(k int) float64 {
			own, pace := law, 1.0
			if n.per > 0 && n.hills.Contains(n.nodes[k].at) {
				own.CruiseMS, pace = law.CruiseMS/n.pace, n.pace
			}
			s, err := own.Time(n.dist[i][j] / pace)
			if err != nil {
				panic(err)
			}
			return s
		}
		return (at(i) + at(j)) / 2
	}
	landed := map[int]float64{a: 0}
	for changed := true; changed; {
		changed = false
		for i, c := range n.crossing {
			if !n.isFerry[i] {
				continue
			}
			for _, way := range [2][2]int{{c[0], c[1]}, {c[1], c[0]}} {
				for from, at := range landed {
					s := at + drive(from, way[0]) + n.sailing[i]
					if old, ok := landed[way[1]]; !math.IsInf(s, 1) && (!ok || s < old-1e-9) {
						landed[way[1]], changed = s, true
						break
					}
				}
			}
		}
	}
	best := math.Inf(1)
	for from, at := range landed {
		best = min(best, at+drive(from, b))
	}
	return best
}

// scene is a random map for both methods, with places to travel between.
type scene struct {
	features []feature
	naive    naive
	places   []orb.Point
	first    int // the places' first node
}

// random makes a map of some walls and rings that may cross each other,
// crossings over some of them, and an area.
func random(r *rand.Rand, ferries, hills bool) scene {
	var s scene
	point := func() orb.Point { return orb.Point{0.4*r.Float64() - 0.2, 0.4*r.Float64() - 0.2} }
	var all [][]orb.Point
	for range 1 + r.IntN(5) {
		at, corners := point(), 2+r.IntN(4)
		var line []orb.Point
		if ring := r.IntN(3) == 0; ring {
			for k := range corners + 1 {
				angle, size := 2*math.Pi*float64(k)/float64(corners+1), 0.03+0.08*r.Float64()
				line = append(line, orb.Point{at[0] + size*math.Cos(angle), at[1] + size*math.Sin(angle)})
			}
			line = append(line, line[0])
		} else {
			for range corners {
				line = append(line, at)
				at = orb.Point{at[0] + 0.2*r.Float64() - 0.1, at[1] + 0.2*r.Float64() - 0.1}
			}
		}
		all = append(all, line)
		s.features = append(s.features, wall(line...))
		s.naive.addWalls(line, hills)
	}
	crossings := r.IntN(4)
	if ferries {
		crossings = r.IntN(9)
	}
	for k := range crossings {
		line := all[r.IntN(len(all))]
		i, share := 1+r.IntN(len(line)-1), 0.2+0.6*r.Float64()
		a, b := line[i-1], line[i]
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		mid := orb.Point{a[0] + share*(b[0]-a[0]), a[1] + share*(b[1]-a[1])}
		off := orb.Point{-(b[1] - a[1]) / length * 0.004, (b[0] - a[0]) / length * 0.004}
		ends := [2]orb.Point{{mid[0] + off[0], mid[1] + off[1]}, {mid[0] - off[0], mid[1] - off[1]}}
		const intervalS, boardS = 600.0, 60.0
		ferry := ferries && r.IntN(2) == 0
		kind, more := "bridge", props(nil)
		sailS := 60 + 900*r.Float64()
		if ferry {
			kind = "ferry"
			more = props{"interval_s": intervalS,
				"sailing":  props{"typical_s": sailS, "slow_s": sailS},
				"boarding": props{"typical_s": boardS, "slow_s": boardS}}
		}
		s.features = append(s.features, crossing(kind, fmt.Sprintf("crossing %d", k), ends[0], ends[1], more))
		first := len(s.naive.nodes)
		s.naive.nodes = append(s.naive.nodes, naiveNode{at: ends[0]}, naiveNode{at: ends[1]})
		s.naive.crossing = append(s.naive.crossing, [2]int{first, first + 1})
		s.naive.isFerry = append(s.naive.isFerry, ferry)
		s.naive.sailing = append(s.naive.sailing, boardS+intervalS/2+sailS)
	}
	if hills {
		low := point()
		high := orb.Point{low[0] + 0.05 + 0.15*r.Float64(), low[1] + 0.05 + 0.15*r.Float64()}
		s.naive.hills = orb.Bound{Min: low, Max: high}
		s.naive.pace = 20 / (10 + 5*r.Float64())
		factor := 1 + r.Float64()
		s.naive.per = factor * s.naive.pace
		s.features = append(s.features, area(props{"road_factor": factor, "cruise_kmh": 20 / s.naive.pace * 3.6},
			low, orb.Point{high[0], low[1]}, high, orb.Point{low[0], high[1]}))
	}
	s.first = len(s.naive.nodes)
	for range 4 {
		p := point()
		s.places = append(s.places, p)
		s.naive.nodes = append(s.naive.nodes, naiveNode{at: p})
	}
	s.naive.solve(hills, s.first)
	return s
}

// The fast way agrees with the naive one on what can be reached, how far it is
// and how long it takes.
func TestAgainstNaiveVisibilityGraph(t *testing.T) {
	for _, kind := range []struct {
		name           string
		ferries, hills bool
		maps           int
	}{
		{"walls and bridges", false, false, 120},
		{"ferries too", true, false, 80},
		{"an area too", true, true, 80},
	} {
		t.Run(kind.name, func(t *testing.T) {
			reached, bent, cut := 0, 0, 0
			for seed := range uint64(kind.maps) {
				r := rand.New(rand.NewPCG(seed, 1979))
				s := random(r, kind.ferries, kind.hills)
				tr := terrain(t, straightRoads, s.features...)
				for i := range s.places {
					for j := range s.places {
						wantS := s.naive.timeS(s.first+i, s.first+j, plain)
						got, err := tr.Route(s.places[i], s.places[j], plain, noon)
						if math.IsInf(wantS, 1) {
							require.ErrorIs(t, err, road.ErrUnreachable, "seed %d from %d to %d", seed, i, j)
							cut++
							continue
						}
						require.NoError(t, err, "seed %d from %d to %d", seed, i, j)
						const tolS = 0.1 // 2 m at cruise speed: corners are passed at a decimetre
						if !assert.InDelta(t, wantS, got.TypicalS, tolS, "seed %d from %v to %v: %s", seed, s.places[i], s.places[j], got.Basis) {
							return
						}
						reached++
						if len(got.Path) > 2 {
							bent++
						}
					}
				}
			}
			assert.Greater(t, bent, reached/10, "definition: the test is of ways around")
			assert.Greater(t, cut, 10, "definition: and of there being none")
		})
	}
}
