package wire_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/wire"
	"surgeonward/facilities"
	"surgeonward/routing"
)

// reach has one team with the skill.
func reach(marginS float64) *routing.Reach {
	return &routing.Reach{At: at, OutputLostAt: at, Closes: at.Add(10 * time.Minute),
		Teams: []routing.ReachTeam{{Asset: "a", Arrives: facilities.Fixed(60), Opens: facilities.Fixed(180), MarginS: marginS, MarginSlowS: marginS}}}
}

// TestReachMargins are rounded down: a margin is never promised that is not
// there. Source: definition.
func TestReachMargins(t *testing.T) {
	for _, tt := range []struct {
		name    string
		marginS float64
		want    int64
	}{
		{"whole", 60, 60}, {"nearly", 59.999, 59}, {"none", 0, 0}, {"just too late", -0.001, -1}, {"too late", -60, -60},
	} {
		t.Run(tt.name, func(t *testing.T) {
			out, err := wire.EncodeReach(reach(tt.marginS), &wire.ReachRequest{}, demo(t), "test")
			require.NoError(t, err)
			assert.Equal(t, tt.want, out.Teams[0].Opening.MarginS)
			assert.Equal(t, tt.want, out.Teams[0].Opening.MarginSlowS)
		})
	}
}

// TestReachTimes are rounded up, residue apart. Source: definition.
func TestReachTimes(t *testing.T) {
	for _, tt := range []struct {
		name  string
		s     float64
		wantS int64
	}{{"whole", 60, 60}, {"a little more", 60.001, 61}, {"residue", 60 + 1e-9, 60}, {"nothing", 0, 0}} {
		a := reach(0)
		a.Teams[0].Arrives = facilities.Fixed(tt.s)
		out, err := wire.EncodeReach(a, &wire.ReachRequest{}, demo(t), "test")
		require.NoError(t, err)
		assert.Equal(t, wire.Duration{TypicalS: tt.wantS, SlowS: tt.wantS}, out.Teams[0].Arrival.After, tt.name)
	}
}

func TestReachNoNonsense(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300} {
		_, err := wire.EncodeReach(reach(bad), &wire.ReachRequest{}, demo(t), "test")
		assert.ErrorIs(t, err, wire.ErrNotFinite)
		a := reach(0)
		a.Teams[0].Arrives.SlowS = bad
		_, err = wire.EncodeReach(a, &wire.ReachRequest{}, demo(t), "test")
		assert.ErrorIs(t, err, wire.ErrNotFinite)
		a = reach(0)
		a.OpenChest.Timing.TypicalS = bad
		_, err = wire.EncodeReach(a, &wire.ReachRequest{}, demo(t), "test")
		assert.ErrorIs(t, err, wire.ErrNotFinite)
	}
}

// TestReachWithoutTime: a team that cannot come has no times, and one without
// the skill opens nothing. Source: definition.
func TestReachWithoutTime(t *testing.T) {
	a := reach(0)
	a.Teams[0].Reasons = []routing.Reason{{Code: routing.ReasonCommitted, Detail: "busy"}}
	a.Others = []routing.ReachTeam{{Asset: "b", Arrives: facilities.Fixed(60)}}
	out, err := wire.EncodeReach(a, &wire.ReachRequest{}, demo(t), "test")
	require.NoError(t, err)
	assert.Nil(t, out.Teams[0].Arrival)
	assert.Nil(t, out.Teams[0].Opening)
	require.NotNil(t, out.Others[0].Arrival)
	assert.Equal(t, "2031-03-14T21:41:00Z", out.Others[0].Arrival.At)
	assert.Nil(t, out.Others[0].Opening)
	text, err := wire.JSON(out)
	require.NoError(t, err)
	assert.NotContains(t, string(text), "null")
}
