package road_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities"
	"surgeonward/routing/road"
)

// closed returns the features with one more crossing closed, if there is one.
func closed(features []feature, which int) ([]feature, bool) {
	out := append([]feature(nil), features...)
	var crossings []int
	for i, f := range out {
		if f.props["kind"] == "crossing" {
			crossings = append(crossings, i)
		}
	}
	if len(crossings) == 0 {
		return nil, false
	}
	i := crossings[which%len(crossings)]
	out[i].props = out[i].props.with(props{"closed": props{"reason": "flooding"}})
	return out, true
}

// Closing a crossing never makes a way quicker, nor does opening one make it
// slower, on maps with everything in them.
func TestClosingNeverImproves(t *testing.T) {
	changed := 0
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		s := random(rand.New(rand.NewPCG(seed, 1)), true, rapid.Bool().Draw(t, "hills"))
		fewer, ok := closed(s.features, rapid.IntRange(0, 9).Draw(t, "which"))
		if !ok {
			return // nothing to close on this map
		}
		open, shut := terrain(t, straightRoads, s.features...), terrain(t, straightRoads, fewer...)
		for _, a := range s.places {
			for _, b := range s.places {
				before, errBefore := open.Route(a, b, plain, noon)
				after, errAfter := shut.Route(a, b, plain, noon)
				if errBefore != nil {
					assert.ErrorIs(t, errAfter, road.ErrUnreachable, "closing opens no way")
					continue
				}
				if errAfter != nil {
					assert.ErrorContains(t, errAfter, "is closed: flooding; no other way", "opening it would help, so it is named")
					changed++
					continue
				}
				const tolS = 1e-6
				assert.GreaterOrEqual(t, after.TypicalS, before.TypicalS-tolS)
				if after.TypicalS > before.TypicalS+tolS {
					changed++
				}
			}
		}
	})
	assert.Positive(t, changed, "definition: closings that matter were among those tried")
}

// Where nothing is in the way, the answer is GreatCircle's, to the last bit.
func TestWithoutBarriersIsGreatCircle(t *testing.T) {
	region := road.Region{Factor: 1.3, Law: calgary}
	empty := terrain(t, region)
	far := terrain(t, region, wall(orb.Point{8, 8}, orb.Point{8, 8.1}), coast("the islet", orb.Point{7, 7}, orb.Point{7.1, 7}, orb.Point{7, 7.1}))
	rapid.Check(t, func(t *rapid.T) {
		point := rapid.Custom(func(t *rapid.T) orb.Point {
			return orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-90, 90).Draw(t, "lat")}
		})
		a, b := point.Draw(t, "a"), point.Draw(t, "b")
		want, errWant := road.GreatCircle{Factor: 1.3}.Route(a, b, calgary, noon)
		got, err := empty.Route(a, b, calgary, time.Time{})
		assert.Equal(t, errWant, err)
		assert.Equal(t, want, got)
	})
	// On the islet, away from its coast, in sight of each other.
	rapid.Check(t, func(t *rapid.T) {
		point := rapid.Custom(func(t *rapid.T) orb.Point {
			return orb.Point{7 + rapid.Float64Range(0.001, 0.049).Draw(t, "lon"), 7 + rapid.Float64Range(0.001, 0.049).Draw(t, "lat")}
		})
		a, b := point.Draw(t, "a"), point.Draw(t, "b")
		want, err := road.GreatCircle{Factor: 1.3}.Route(a, b, calgary, noon)
		require.NoError(t, err)
		got, err := far.Route(a, b, calgary, time.Time{})
		require.NoError(t, err)
		assert.Equal(t, want, got)
	})
}

// Without ferries, and without one-way timetables, the way back takes as long.
func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		s := random(rand.New(rand.NewPCG(seed, 2)), false, rapid.Bool().Draw(t, "hills"))
		tr := terrain(t, straightRoads, s.features...)
		for _, a := range s.places {
			for _, b := range s.places {
				there, errThere := tr.Route(a, b, calgary, noon)
				back, errBack := tr.Route(b, a, calgary, noon)
				require.Equal(t, errThere == nil, errBack == nil)
				const tolS, tolM = 1e-6, 1e-4
				assert.InDelta(t, there.TypicalS, back.TypicalS, tolS)
				assert.InDelta(t, there.DistanceM, back.DistanceM, tolM)
				assert.Equal(t, len(there.Path), len(back.Path))
			}
		}
	})
}

// One search for many destinations gives what one search for each gives, and
// what was asked before changes nothing; its time alone is the same.
func TestTreeIsRoute(t *testing.T) {
	for seed := range uint64(20) {
		s := random(rand.New(rand.NewPCG(seed, 3)), true, true)
		asked, fresh := terrain(t, straightRoads, s.features...), terrain(t, straightRoads, s.features...)
		for range 3 {
			for _, a := range s.places {
				tree, err := road.From(asked, a, calgary, noon)
				require.NoError(t, err)
				for _, b := range s.places {
					got, errGot := tree.To(b)
					want, errWant := fresh.Route(a, b, calgary, noon)
					require.Equal(t, errWant, errGot, "seed %d", seed)
					require.Equal(t, want, got, "seed %d", seed)
					timing, errTime := road.Time(tree, b)
					require.Equal(t, errWant == nil, errTime == nil, "seed %d", seed)
					require.Equal(t, facilities.Timing{TypicalS: want.TypicalS, SlowS: want.SlowS}, timing, "seed %d", seed)
				}
			}
		}
	}
}

// A map is the same wherever on the Earth it lies: moved along the equator
// across the antimeridian, every way is as long.
func TestAcrossTheAntimeridian(t *testing.T) {
	bent := 0
	for seed := range uint64(40) {
		s := random(rand.New(rand.NewPCG(seed, 180)), true, true)
		move := func(p orb.Point) orb.Point {
			lon := p[0] + 180
			if lon >= 180 {
				lon -= 360
			}
			return orb.Point{lon, p[1]}
		}
		var moved []feature
		for _, f := range s.features {
			line := make([]orb.Point, len(f.line))
			for i, p := range f.line {
				line[i] = move(p)
			}
			moved = append(moved, feature{f.props, line})
		}
		here, there := terrain(t, straightRoads, s.features...), terrain(t, straightRoads, moved...)
		for _, a := range s.places {
			for _, b := range s.places {
				want, errWant := here.Route(a, b, plain, noon)
				got, err := there.Route(move(a), move(b), plain, noon)
				require.Equal(t, errWant == nil, err == nil, "seed %d", seed)
				const tolS = 1e-5
				require.InDelta(t, want.TypicalS, got.TypicalS, tolS, "seed %d", seed)
				if len(got.Path) > 2 {
					bent++
				}
			}
		}
	}
	assert.Positive(t, bent, "definition: there were ways around")
}

// The same at a pole, where every longitude meets.
func TestAtAPole(t *testing.T) {
	tr := terrain(t, straightRoads, wall(orb.Point{0, 89.9}, orb.Point{180, 89.9}))
	got, err := tr.Route(orb.Point{90, 89.95}, orb.Point{-90, 89.95}, plain, noon)
	require.NoError(t, err)
	want := lengthM([]orb.Point{{90, 89.95}, {0, 89.9}, {-90, 89.95}})
	assert.InDelta(t, want, got.DistanceM, 1, "identity: round the end of a wall across the pole")
}

// Many at once get the same as one alone.
func TestConcurrentUse(t *testing.T) {
	s := random(rand.New(rand.NewPCG(7, 4)), true, true)
	tr := terrain(t, straightRoads, s.features...)
	want, errWant := terrain(t, straightRoads, s.features...).Route(s.places[0], s.places[1], calgary, noon)
	done := make(chan struct{})
	for range 8 {
		go func() {
			defer func() { done <- struct{}{} }()
			for range 20 {
				got, err := tr.Route(s.places[0], s.places[1], calgary, noon)
				assert.Equal(t, errWant, err)
				assert.Equal(t, want, got)
			}
		}()
	}
	for range 8 {
		<-done
	}
}

func TestTerrainRefuses(t *testing.T) {
	m, faults, _ := road.Decode(document(), road.DecodeOptions{})
	require.Empty(t, faults)
	_, err := road.NewTerrain(m, road.Region{})
	assert.ErrorContains(t, err, "road factor 0 is outside 1 to 5")
	assert.ErrorContains(t, err, "cruise speed 0")

	tr := terrain(t, straightRoads, wall(orb.Point{0, 0}, orb.Point{0, 1}))
	for _, c := range []struct {
		name     string
		from, to orb.Point
		law      road.Law
		says     string
	}{
		{"start", orb.Point{45, -129}, orb.Point{}, plain, "start of the road travel: latitude -129"},
		{"end", orb.Point{}, orb.Point{45, -129}, plain, "end of the road travel: latitude -129"},
		{"law", orb.Point{}, orb.Point{}, road.Law{}, "cruise speed 0"},
	} {
		_, err := tr.Route(c.from, c.to, c.law, noon)
		assert.ErrorContains(t, err, c.says)
		assert.NotErrorIs(t, err, road.ErrUnreachable, "a fault in the input is not an answer")
	}
	_, err = tr.Route(orb.Point{0.1, 0}, orb.Point{180, 0}, plain, noon)
	// Half the Earth (20,015 km) less the half degree from the equator to the middle.
	assert.EqualError(t, err, "not reachable by road: no road leads to a point 19960 km from the middle of the road map")
}
