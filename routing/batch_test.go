package routing_test

import (
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/geo"
	"surgeonward/geo/wind"
	"surgeonward/routing"
)

// firstOf is the first option of an answer in brief.
func firstOf(ans routing.Answer) routing.Best {
	if len(ans.Options) == 0 {
		return routing.Best{}
	}
	o := ans.Options[0]
	return routing.Best{Reached: true, ID: o.ID, Shape: o.Shape, Destination: o.Destination.ID, Assets: o.Assets, Total: o.Total}
}

// TestBatchIsOptions: each of many scenes of one prepared question, asked from
// two goroutines, has the first option of the desk's answer. Source: identity.
func TestBatchIsOptions(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		random := rand.New(rand.NewPCG(seed, 7))
		e := crowd(random, 2+random.IntN(7), 2+random.IntN(5), random.IntN(6), 40_000+random.Float64()*160_000).withSpread().engine(t)
		q := question()
		q.Limit = 1
		q.Scene.Landing = []routing.Landing{routing.LandingPossible, routing.LandingImpossible, ""}[random.IntN(3)]
		q.RankBySlow = random.IntN(4) == 0
		if random.IntN(2) == 0 {
			q.Conditions.Given.Wind = &wind.Wind{FromDeg: random.Float64() * 360, SpeedMS: random.Float64() * 40 * geo.Knot}
		}
		if assets := e.Fleet.Assets(); random.IntN(3) == 0 {
			q.Assets.States = []routing.StateChange{{Asset: assets[random.IntN(len(assets))].ID,
				State: []routing.AssetState{routing.Committed, routing.AtScene}[random.IntN(2)]}}
		}
		b, err := e.Batch(q)
		require.NoError(t, err)
		scenes := make([]orb.Point, 8)
		got := make([]routing.Best, len(scenes))
		for i := range scenes {
			scenes[i] = geo.Destination(scene, random.Float64()*360, random.Float64()*90_000)
		}
		var wg sync.WaitGroup
		for k := range 2 {
			wg.Go(func() {
				for i := k; i < len(scenes); i += 2 {
					best, err := b.Best(t.Context(), scenes[i])
					assert.NoError(t, err)
					got[i] = best
				}
			})
		}
		wg.Wait()
		for i, at := range scenes {
			q.Scene.Position = at
			ans, err := e.Options(t.Context(), q)
			require.NoError(t, err)
			require.Equal(t, firstOf(ans), got[i], "seed %d, scene %v", seed, at)
		}
	})
}

// TestBatchWithoutAnAsset: without it is with it committed. Source: definition.
func TestBatchWithoutAnAsset(t *testing.T) {
	e := bench().engine(t)
	q := question()
	b, err := e.Batch(q)
	require.NoError(t, err)
	best, err := b.Best(t.Context(), scene)
	require.NoError(t, err)
	require.True(t, best.Reached)
	without, err := b.Without(best.Assets[0])
	require.NoError(t, err)
	second, err := without.Best(t.Context(), scene)
	require.NoError(t, err)
	q.Assets.States = []routing.StateChange{{Asset: best.Assets[0], State: routing.Committed}}
	ans, err := e.Options(t.Context(), q)
	require.NoError(t, err)
	require.Equal(t, firstOf(ans), second)
	require.GreaterOrEqual(t, second.Total.TypicalS, best.Total.TypicalS)
}

// TestBatchRefuses: all faults of the question at once, and of each scene.
func TestBatchRefuses(t *testing.T) {
	e := toy().engine(t)
	_, err := e.Batch(routing.Question{Scene: routing.Scene{Facility: "h1"}, Limit: -1})
	bad := (*routing.QuestionError)(nil)
	require.ErrorAs(t, err, &bad)
	require.Len(t, bad.Faults, 3, "%v", err)
	b, err := e.Batch(question())
	require.NoError(t, err)
	_, err = b.Best(t.Context(), orb.Point{45, 1e9})
	require.ErrorAs(t, err, &bad)
}

// TestBatchAlongAWay: scenes beside each other, which mostly have the same first
// option, have the slow totals that drawing each in full gives. Source: identity.
func TestBatchAlongAWay(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		random := rand.New(rand.NewPCG(seed, 11))
		e := crowd(random, 4+random.IntN(9), 3+random.IntN(6), random.IntN(6), 40_000+random.Float64()*60_000).withSpread().engine(t)
		q := question()
		q.Scene.Landing = []routing.Landing{routing.LandingPossible, routing.LandingImpossible}[random.IntN(2)]
		q.Scene.Winch = random.IntN(3) == 0
		if random.IntN(3) == 0 {
			q.Patient.Escort = "physician"
		}
		if e.Check(q) != nil { // nobody has the skill
			q.Patient.Escort = ""
		}
		b, err := e.Batch(q)
		require.NoError(t, err)
		at := geo.Destination(scene, random.Float64()*360, random.Float64()*60_000)
		bearing, strideM := random.Float64()*360, 20+random.Float64()*600
		for range 25 {
			at = geo.Destination(at, bearing, strideM)
			q.Scene.Position = at
			want, err := e.Best(t.Context(), q)
			require.NoError(t, err)
			got, err := b.Best(t.Context(), at)
			require.NoError(t, err)
			require.Equal(t, want, got, "seed %d, scene %v", seed, at)
			got, err = b.Typical(t.Context(), at)
			require.NoError(t, err)
			want.Total.SlowS = 0
			require.Equal(t, want, got, "seed %d, scene %v", seed, at)
		}
	})
}
