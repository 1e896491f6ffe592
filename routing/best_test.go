package routing_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/geo"
	"surgeonward/geo/wind"
	"surgeonward/routing"
)

// TestBestIsTheFirstOption: what is asked for many scenes at once is what the
// desk gets for one, to the last bit, by either rank. Source: identity.
func TestBestIsTheFirstOption(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		random := rand.New(rand.NewPCG(seed, 3))
		e := crowd(random, 2+random.IntN(7), 2+random.IntN(5), random.IntN(6), 40_000+random.Float64()*160_000).withSpread().engine(t)
		q := question()
		q.Scene.Landing = []routing.Landing{routing.LandingPossible, routing.LandingImpossible}[random.IntN(2)]
		q.RankBySlow = random.IntN(3) == 0
		if random.IntN(2) == 0 {
			q.Conditions.Given.Wind = &wind.Wind{FromDeg: random.Float64() * 360, SpeedMS: random.Float64() * 40 * geo.Knot}
		}
		ans, err := e.Options(t.Context(), q)
		require.NoError(t, err)
		best, err := e.Best(t.Context(), q)
		require.NoError(t, err)
		require.Equal(t, len(ans.Options) > 0, best.Reached, "seed %d", seed)
		if !best.Reached {
			return
		}
		first := ans.Options[0]
		require.Equal(t, routing.Best{
			Reached: true, ID: first.ID, Shape: first.Shape, Destination: first.Destination.ID, Assets: first.Assets, Total: first.Total,
		}, best, "seed %d", seed)
	})
}

// TestBestRefuses: a question that Options refuses is refused.
func TestBestRefuses(t *testing.T) {
	_, err := toy().engine(t).Best(t.Context(), routing.Question{})
	require.ErrorAs(t, err, new(*routing.QuestionError))
}
