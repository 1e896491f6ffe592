package wire_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/api/wire"
	"surgeonward/routing"
)

// TestOutlookRounding: a deadline is never told to be later than it is, by less
// than a second earlier, and what is told of totals adds up with the totals that
// are told. Source: definition.
func TestOutlookRounding(t *testing.T) {
	r := demo(t)
	rapid.Check(t, func(t *rapid.T) {
		second := rapid.Float64Range(0, 7200)
		startS, delayS, totalS, needsS, changeS := second.Draw(t, "start"), second.Draw(t, "delay"), second.Draw(t, "total"), second.Draw(t, "needs"), second.Draw(t, "change")
		a := answer(totalS, step(startS, startS+1))
		other := a.Options[0]
		other.ID, other.Rank, other.Total.TypicalS = "y", 2, totalS+needsS
		a.Options = append(a.Options, other)
		latest := at.Add(time.Duration((startS + delayS) * float64(time.Second))).Round(time.Millisecond)
		a.Until = []routing.Deadline{{Activity: "s", LatestStart: latest, DelayS: delayS, Overtaker: "y", Sentence: "x"}}
		a.DecideBy = &a.Until[0]
		a.RunnerUp = &routing.RunnerUp{Option: "y", NeedsS: other.Total.TypicalS - totalS}
		a.Sensitivity = []routing.Sensitivity{{Cause: "roads", TotalS: totalS + changeS, ChangeS: totalS + changeS - totalS, First: "x"}}
		out, err := wire.Encode(a, &wire.Request{}, r, "test")
		require.NoError(t, err)

		d := out.Until[0]
		assert.Equal(t, d, *out.DecideBy)
		told, err := time.Parse(time.RFC3339, d.LatestStartAt)
		require.NoError(t, err)
		assert.Equal(t, at.Add(time.Duration(d.LatestStartS)*time.Second), told)
		assert.False(t, told.After(latest))
		assert.Less(t, latest.Sub(told), time.Second)
		assert.LessOrEqual(t, d.DelayS, int64(delayS+0.001))

		first := out.Options[0].Total.TypicalS
		assert.InDelta(t, out.Options[1].Total.TypicalS-first, out.RunnerUp.NeedsS, 1)
		assert.Equal(t, []string{}, out.RunnerUp.Activities)
		assert.Equal(t, out.Sensitivity[0].TotalS, first+out.Sensitivity[0].ChangeS)
	})
}
