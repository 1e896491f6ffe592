package road_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing/road"
)

// The way over the letters is seen in the drawing; its length is arithmetic.
func TestWaysAroundToyMaps(t *testing.T) {
	const source = "definition: the shortest way, seen in the drawing"
	for _, c := range []struct {
		name, source string
		art          string
		walls        []string // letters of lines
		bridges      []string // letters of their ends
		want         string   // letters of the way from S to T, "" where there is none
		says         string   // part of the basis, or of the reason
	}{
		{name: "nothing between", source: source, art: `
			S.......T
			....a....
			....b....`,
			walls: []string{"ab"}, want: "ST", says: "great circle"},
		{name: "round the nearer end", source: source, art: `
			....a....
			.........
			S.......T
			....b....`,
			walls: []string{"ab"}, want: "SbT", says: "round the wall"},
		{name: "over the bridge", source: source, art: `
			....a....
			.........
			S.......T
			...p.q...
			.........
			.........
			....b....`,
			walls: []string{"ab"}, bridges: []string{"pq"}, want: "SpqT", says: "by bridge pq"},
		{name: "the bridge is a detour", source: source, art: `
			S.......T
			....a....
			.........
			.........
			...p.q...
			....b....`,
			walls: []string{"ab"}, bridges: []string{"pq"}, want: "ST", says: "great circle"},
		{name: "the nearer of two bridges", source: source, art: `
			....a....
			...p.q...
			S........
			........T
			...r.s...
			.........
			.........
			....b....`,
			walls: []string{"ab"}, bridges: []string{"pq", "rs"}, want: "SrsT", says: "by bridge rs"},
		{name: "slalom", source: source, art: `
			....a..c.....
			.............
			S.....b.....T
			....d........
			.............
			.......e.....`,
			// Two walls: the first ends below the line of sight, the second above.
			walls: []string{"ad", "be"}, want: "SdbT", says: "round the wall"},
		{name: "out of a fjord", source: source, art: `
			a.......b
			.........
			....S...T
			.........
			d.......c`,
			walls: []string{"badc"}, want: "ST", says: "great circle"},
		{name: "into a fjord from behind", source: source, art: `
			...a....b
			.........
			T.....S..
			.........
			...d...c.`,
			walls: []string{"badc"}, want: "ScdT", says: "round the wall"},
		{name: "out of a ring over its bridge", source: source, art: `
			a......b...
			...........
			..S...p.q.T
			...........
			d......c...`,
			walls: []string{"abcda"}, bridges: []string{"pq"}, want: "SpqT", says: "by bridge pq"},
		{name: "a ring without a bridge", source: source, art: `
			a......b...
			...........
			..S.......T
			...........
			d......c...`,
			walls: []string{"abcda"}, want: "", says: "the wall lies between, and no crossing leads there"},
		{name: "two rings and a chain of bridges", source: source, art: `
			a....b...e....f...
			..................
			..S.p.q.r.s.......
			..........T.......
			d....c...h....g...`,
			walls: []string{"abcda", "efghe"}, bridges: []string{"pq", "rs"}, want: "SpqrsT", says: "by bridge pq and bridge rs"},
		{name: "walls that cross leave no gap", source: source, art: `
			....a....
			.........
			S...x...T
			.........
			....b....`,
			// Closed off by a ring that the wall between them runs through on both sides.
			walls: []string{"ab", "SaTbS"}, want: "", says: "no crossing leads there"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := draw(strings.ReplaceAll(c.art, "\t", ""))
			from, to := s['S'], s['T']
			if c.name == "walls that cross leave no gap" { // S and T are corners of the ring: stay inside it
				from, to = orb.Point{from[0] + 0.001, from[1]}, orb.Point{to[0] - 0.001, to[1]}
			}
			var features []feature
			for _, w := range c.walls {
				features = append(features, wall(s.line(w)...))
			}
			for _, b := range c.bridges {
				ends := s.line(b)
				features = append(features, crossing("bridge", "bridge "+b, ends[0], ends[1], nil))
			}
			for _, mirrored := range []bool{false, true} {
				if mirrored {
					from, to = to, from
				}
				got, err := terrain(t, straightRoads, features...).Route(from, to, plain, noon)
				if c.want == "" {
					require.ErrorIs(t, err, road.ErrUnreachable)
					assert.ErrorContains(t, err, c.says)
					continue
				}
				require.NoError(t, err)
				want := s.line(c.want)
				const tolM = 1.0 // a path passes corners at a decimetre
				assert.InDelta(t, lengthM(want), got.DistanceM, tolM, c.source)
				require.Len(t, got.Path, len(want), "corners of %v", got.Path)
				for i := range want {
					at := i
					if mirrored {
						at = len(want) - 1 - i
					}
					assert.InDelta(t, 0, geo.Distance(want[i], got.Path[at]), tolM, "corner %d", i)
				}
				if !mirrored {
					assert.Contains(t, got.Basis, c.says)
				}
				wantS, err := plain.Time(got.DistanceM)
				require.NoError(t, err)
				assert.InDelta(t, wantS, got.TypicalS, 1e-9, "identity: the law over the whole way, without a stop at corners")
			}
		})
	}
}

// A path may run along a barrier, and begin or end on one, but never touch it
// on the way.
func TestEndsOnABarrier(t *testing.T) {
	s := draw(`
a..S..b
.......
...T...`)
	tr := terrain(t, straightRoads, wall(s.line("ab")...))
	got, err := tr.Route(s['S'], s['T'], plain, noon)
	require.NoError(t, err)
	// Drawn from west to east, the wall's left is its northern side.
	assert.InDelta(t, lengthM(s.line("SaT")), got.DistanceM, 1, "definition: on a wall is on its left")
	got, err = tr.Route(s['a'], s['T'], plain, noon)
	require.NoError(t, err)
	assert.InDelta(t, lengthM(s.line("aT")), got.DistanceM, 1, "from its end one can go either way")
}

// With a fence across the land and a coast round it, the fence's end on the
// coast leaves no way past it.
func TestWallFromCoastToCoast(t *testing.T) {
	s := draw(`
a..e..b
.......
..S.T..
.......
d..f..c`)
	island := coast("the coast", s.line("aebcfd")...)
	tr := terrain(t, straightRoads, island, wall(s.line("ef")...))
	_, err := tr.Route(s['S'], s['T'], plain, noon)
	require.ErrorIs(t, err, road.ErrUnreachable)
	assert.EqualError(t, err, "not reachable by road: the wall lies between, and no crossing leads there")

	short := s['f']
	short[1] += 0.001 // 111 m before the coast
	got, err := terrain(t, straightRoads, island, wall(s['e'], short)).Route(s['S'], s['T'], plain, noon)
	require.NoError(t, err)
	assert.InDelta(t, lengthM([]orb.Point{s['S'], short, s['T']}), got.DistanceM, 1)
}
