package routing_test

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

// TestDrawerIsOptions: the draws of a batch at a scene are those that the answer's spread is
// made of, whatever was asked for before. Source: identity, to the last bit.
func TestDrawerIsOptions(t *testing.T) {
	for seed := range uint64(16) {
		f, random := spreadCrowd(seed)
		e, q := f.engine(t), question()
		q.RankBySlow, q.Limit = seed%2 == 1, 1
		if seed%4 > 1 { // each scene is then a question of its own
			q.Assets.States = []routing.StateChange{{Asset: e.Fleet.Assets()[0].ID, State: routing.AtScene}}
		}
		batch, err := e.Batch(q)
		require.NoError(t, err)
		drawer := batch.Drawer()
		for range 4 {
			at := place(random.Float64()*360, random.Float64()*60_000)
			best, drawn, err := drawer.Best(t.Context(), at)
			require.NoError(t, err)
			q.Scene.Position = at
			ans, err := e.Options(t.Context(), q)
			require.NoError(t, err)
			first := firstOf(ans)
			slowS := first.Total.SlowS
			first.Total.SlowS = 0
			require.Equal(t, first, best)
			if !best.Reached {
				require.Nil(t, drawn)
				continue
			}
			require.Len(t, drawn, routing.Draws)
			r, want := routing.RangeOf(slices.Clone(drawn)), ans.Options[0].Spread
			require.Equal(t, []float64{want.P10S, want.P50S, want.P90S}, []float64{r.Low, r.Median, max(r.High, best.Total.TypicalS)})
			brief, err := batch.Best(t.Context(), at)
			require.NoError(t, err)
			require.Equal(t, slowS, brief.Total.SlowS)
			require.Equal(t, brief.Total.SlowS, max(r.High, brief.Total.TypicalS))
		}
	}
}

// TestDrawersShareTheirWorld: another batch, and another region in which something else
// has changed, draw the same for what they share. Source: definition of common random
// numbers.
func TestDrawersShareTheirWorld(t *testing.T) {
	for seed := range uint64(16) {
		draw := func(more bool) (routing.Best, []float64) {
			f, _ := spreadCrowd(seed)
			if more {
				f.facility("base-far-off", "base", place(10, 900_000), "").asset("far-off", "ambulance", `"base":"base-far-off"`)
			}
			batch, err := f.engine(t).Batch(question())
			require.NoError(t, err)
			best, drawn, err := batch.Drawer().Best(t.Context(), scene)
			require.NoError(t, err)
			return best, drawn
		}
		was, before := draw(false)
		is, after := draw(true)
		require.Equal(t, was, is)
		require.Equal(t, before, after)
	}
}

func TestDrawerRefuses(t *testing.T) {
	b, err := toy().engine(t).Batch(question())
	require.NoError(t, err)
	_, _, err = b.Drawer().Best(t.Context(), orb.Point{45, 1e9})
	bad := (*routing.QuestionError)(nil)
	require.ErrorAs(t, err, &bad)
}
