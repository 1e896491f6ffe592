package road

import (
	"errors"
	"math"
	"sync"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// Region is how one drives where the map says nothing else.
type Region struct {
	Factor float64 // road distance over great-circle distance, 1 to 5
	Law    Law     // the region's own; areas' speeds are in proportion to it
}

// Terrain estimates road travel on a map: the way that is quickest at cruise
// speed, around barriers and over crossings, its length the great-circle
// distance of its straight parts times the road factor of the areas they lie
// in. Without barriers and areas it is exactly GreatCircle.
//
// The shortest way among obstacles bends at their corners only, so that it is
// the shortest path in the graph of the corners that see each other: the
// visibility graph (Lozano-Pérez and Wesley 1979, Communications of the ACM
// 22(10), from memory). The graph is made once by NewTerrain; a query adds its
// two ends. Where areas differ, a way that would bend at an area's border to
// spend less time in it is not looked for.
//
// A travel consists of stretches between stops: its ends and ferries. The
// vehicle gathers speed on each; crossing time and wait of a ferry come between.
// A Terrain is safe for concurrent use.
type Terrain struct {
	m        *Map
	region   Region
	simple   bool // nothing to avoid and nowhere different
	ground   *ground
	country  country
	nodes    []node
	ends     int       // nodes from here on are crossing ends, two for each
	crossing []float64 // what a bridge or a pass costs, in metres of the region's road
	first    []int32   // of each node's edges; one more than there are nodes
	edges    []edge

	mu     sync.Mutex
	recent recent
	places map[orb.Point]placed
}

// edge leads to a node that can be seen; cost is in metres of the region's
// road that take as long at cruise.
type edge struct {
	to   int32
	cost float64
}

// NewTerrain prepares a map for a region. It takes a tenth of a second for a map
// of 2,000 barrier positions and some ten seconds for the largest that Decode
// accepts, nearly all of it for finding which corners see each other.
func NewTerrain(m *Map, region Region) (*Terrain, error) {
	if err := errors.Join(inRange("road factor", region.Factor, MinRoadFactor, MaxRoadFactor, ""), region.Law.Check()); err != nil {
		return nil, err
	}
	t := &Terrain{m: m, region: region, ground: m.ground}
	t.simple = m.ground == nil
	if t.simple {
		return t, nil
	}
	t.country = newCountry(m, region)
	t.nodes = t.ground.corners()
	t.ends = len(t.nodes)
	for i := range m.Crossings {
		for _, end := range t.ground.places[i] {
			t.nodes = append(t.nodes, node{at: end.at, unit: end.unit, barrier: -1})
		}
	}
	for i := range t.nodes {
		t.nodes[i].area = t.country.areaAt(t.nodes[i].at)
	}
	t.link()
	t.crossing = make([]float64, len(m.Crossings))
	for i := range m.Crossings {
		t.crossing[i] = t.over(i).cost
	}
	return t, nil
}

// cost is what the straight way from p to q costs, in metres of the region's road.
func (t *Terrain) cost(p, q xy, metres float64) float64 {
	var few [8]piece
	cost := 0.0
	for _, part := range t.country.pieces(few[:0], p, q, metres, t.ground.vector) {
		cost += part.metres * t.country.in(part.area).perMetre()
	}
	return cost
}

// link finds the nodes that see each other. Rows are shared among the
// processors; each is made on its own, so that the graph does not depend on
// how.
func (t *Terrain) link() {
	rows := make([][]edge, len(t.nodes))
	inParallel(len(t.nodes), func(i int) {
		a := &t.nodes[i]
		for j := i + 1; j < len(t.nodes); j++ {
			b := &t.nodes[j]
			if !a.around(b.at) || !b.around(a.at) || t.ground.blocked(a.at, b.at) {
				continue
			}
			rows[i] = append(rows[i], edge{int32(j), t.cost(a.at, b.at, a.unit.Distance(b.unit))})
		}
	})
	t.first = make([]int32, len(t.nodes)+1)
	for i, row := range rows {
		t.first[i+1] += int32(len(row))
		for _, e := range row {
			t.first[e.to+1]++
		}
	}
	for i := range t.nodes {
		t.first[i+1] += t.first[i]
	}
	t.edges = make([]edge, t.first[len(t.nodes)])
	next := append([]int32(nil), t.first...)
	put := func(from int32, e edge) {
		t.edges[next[from]] = e
		next[from]++
	}
	for i, row := range rows {
		for _, e := range row {
			put(int32(i), e)
			put(e.to, edge{int32(i), e.cost})
		}
	}
}

// stretch is a part of a way between two stops.
type stretch struct {
	cost    float64 // metres of the region's road that take as long at cruise
	roadM   float64
	groundM float64 // of its straight parts, by great circle
	pieces  []piece
}

// over is the stretch that a bridge or a pass leads over.
func (t *Terrain) over(i int) stretch {
	c := &t.m.Crossings[i]
	a, b := &t.nodes[t.ends+2*i], &t.nodes[t.ends+2*i+1]
	s := t.straight(a.at, b.at, a.unit.Distance(b.unit))
	if c.LengthM > 0 {
		s.cost *= c.LengthM / s.roadM
		s.roadM = c.LengthM
		for k := range s.pieces {
			s.pieces[k].measured = true
		}
	}
	if c.SpeedMS > 0 {
		s.cost = s.roadM * t.region.Law.CruiseMS / c.SpeedMS
	}
	return s
}

// straight is the stretch of the straight way from p to q.
func (t *Terrain) straight(p, q xy, metres float64) stretch {
	s := stretch{groundM: metres, pieces: t.country.pieces(nil, p, q, metres, t.ground.vector)}
	for _, part := range s.pieces {
		w := t.country.in(part.area)
		s.roadM += part.metres * w.factor
		s.cost += part.metres * w.perMetre()
	}
	return s
}

// join appends a stretch that follows without a stop.
func (s *stretch) join(next stretch) {
	s.cost += next.cost
	s.roadM += next.roadM
	s.groundM += next.groundM
	s.pieces = append(s.pieces, next.pieces...)
}

// median is the time of a stretch of that cost between stops in the areas a
// and b, in seconds: the mean of what the laws of the two areas say for the
// length of their own road that takes as long at cruise. So cruising counts
// where it is done, and gathering speed and slowing down where the vehicle
// starts and stops. Between stops in the same area on its own roads it is
// exactly that area's law over the road distance. It grows with the cost, so
// that the way that is quickest at cruise is the quickest.
func (t *Terrain) median(law Law, cost float64, a, b int16) float64 {
	at := t.lawIn(law, a).median(cost / t.country.in(a).pace)
	if a == b {
		return at
	}
	return (at + t.lawIn(law, b).median(cost/t.country.in(b).pace)) / 2
}

// lawIn is the law as it is in an area.
func (t *Terrain) lawIn(law Law, area int16) Law {
	w := t.country.in(area)
	law.CruiseMS /= w.pace
	law.AccelerationMS2 *= w.gather
	return law
}

// spread is the mean of the spreads of the areas that a stretch leads through,
// each by its share of the time at cruise.
func (t *Terrain) spread(law Law, s *stretch) Spread {
	var sum Spread
	total := 0.0
	same := true
	for _, part := range s.pieces {
		w := t.country.in(part.area)
		own := law.Spread
		if w.spread != nil {
			own, same = *w.spread, false
		}
		weight := part.metres * w.perMetre()
		sum.B0Min2 += weight * own.B0Min2
		sum.B1Min += weight * own.B1Min
		sum.B2 += weight * own.B2
		total += weight
	}
	if same || total == 0 {
		return law.Spread
	}
	return Spread{sum.B0Min2 / total, sum.B1Min / total, sum.B2 / total}
}

// direct is the distance between two places in metres; the same function as
// GreatCircle uses, so that the two agree to the last bit.
func direct(a, b *place) float64 { return geo.Distance(a.road, b.road) }

// chord is the distance through the Earth in metres: never more than the
// distance over it.
func chord(a, b geo.Vector) float64 {
	return geo.MeanRadius * math.Sqrt(square(a[0]-b[0])+square(a[1]-b[1])+square(a[2]-b[2]))
}

func square(x float64) float64 { return x * x }

// never is the cost of what cannot be done.
var never = math.Inf(1)
