package wire_test

import (
	"encoding/json"
	"math"
	"sync"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities"
	"surgeonward/geo/wind"
	"surgeonward/routing"
)

var at = time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)

var demoRegion = sync.OnceValues(region.Demo)

func demo(t testing.TB) *region.Region {
	t.Helper()
	r, report := demoRegion()
	require.Empty(t, report.Faults)
	return r
}

// answer has one option that ends after totalS, with the activities given.
func answer(totalS float64, plan ...routing.Scheduled) *routing.Answer {
	hospital := &facilities.Facility{ID: "h", Name: "H", Position: orb.Point{-29, 45}, Zone: time.FixedZone("", 3600)}
	return &routing.Answer{At: at, Options: []routing.Option{{
		Rank: 1, ID: "x", Shape: routing.ByAir, Destination: hospital, Assets: []string{"a"}, Plan: plan,
		Total:       facilities.Timing{TypicalS: totalS, SlowS: totalS},
		LeaveScene:  at.Add(time.Duration(totalS / 2 * float64(time.Second))),
		WithSurgeon: at.Add(time.Duration(totalS * float64(time.Second))),
	}}}
}

func step(startS, endS float64) routing.Scheduled {
	return routing.Scheduled{Activity: routing.Activity{ID: "s", Timing: facilities.Fixed(endS - startS)}, StartS: startS, EndS: endS}
}

// TestRounding: start and end are rounded, never the length, so that steps
// still meet. Source: definition.
func TestRounding(t *testing.T) {
	tests := []struct {
		name                          string
		startS, endS, slackS          float64
		wantStart, wantEnd, wantSlack int64
		wantSlow                      int64
	}{
		{"whole", 10, 70, 5, 10, 70, 5, 60},
		{"half up", 0.5, 1.5, 0, 1, 2, 0, 1},
		{"longer by rounding", 0.4, 1.6, 0, 0, 2, 0, 2},
		{"shorter by rounding", 0.6, 1.4, 0, 1, 1, 0, 1},
		{"slack is rounded down", 0, 1, 59.9, 0, 1, 59, 1},
		{"slack with residue", 0, 1, 60 - 1e-9, 0, 1, 60, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := step(tt.startS, tt.endS)
			s.SlackS = tt.slackS
			out, err := wire.Encode(answer(100, s), &wire.Request{}, demo(t), "test")
			require.NoError(t, err)
			a := out.Options[0].Activities[0]
			assert.Equal(t, tt.wantStart, a.StartS)
			assert.Equal(t, tt.wantEnd, a.EndS)
			assert.Equal(t, tt.wantSlack, a.SlackS)
			assert.Equal(t, tt.wantSlow, a.SlowS)
		})
	}
}

// TestRoundingProperties: neighbours meet, nothing ends before it starts, and
// the clock time at the end is the total after the decision time.
func TestRoundingProperties(t *testing.T) {
	r := demo(t)
	rapid.Check(t, func(t *rapid.T) {
		second := rapid.Float64Range(0, 7200)
		first, next := second.Draw(t, "first"), second.Draw(t, "next")
		out, err := wire.Encode(answer(first+next, step(0, first), step(first, first+next)), &wire.Request{}, r, "test")
		require.NoError(t, err)
		o := out.Options[0]
		a, b := o.Activities[0], o.Activities[1]
		assert.Equal(t, a.EndS, b.StartS)
		assert.GreaterOrEqual(t, a.EndS, a.StartS)
		assert.GreaterOrEqual(t, a.SlowS, a.EndS-a.StartS)
		assert.Equal(t, o.Total.TypicalS, b.EndS)
		with, err := time.Parse(time.RFC3339, o.WithSurgeonAt)
		require.NoError(t, err)
		assert.Equal(t, o.Total.TypicalS, int64(with.Sub(at)/time.Second))
		local, err := time.Parse(time.RFC3339, o.WithSurgeonLocal)
		require.NoError(t, err)
		assert.True(t, local.Equal(with))
		assert.Contains(t, o.WithSurgeonLocal, "+01:00")
	})
}

// TestNoNonsense: a number that JSON cannot hold gives no answer at all, in
// either form, wherever it stands.
func TestNoNonsense(t *testing.T) {
	r := demo(t)
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300} {
		places := map[string]func(*routing.Answer){
			"total":       func(a *routing.Answer) { a.Options[0].Total.TypicalS = bad },
			"slow":        func(a *routing.Answer) { a.Options[0].Total.SlowS = bad },
			"10th":        func(a *routing.Answer) { a.Options[0].Spread.P10S = bad },
			"median":      func(a *routing.Answer) { a.Options[0].Spread.P50S = bad },
			"90th":        func(a *routing.Answer) { a.Options[0].Spread.P90S = bad },
			"quickest":    func(a *routing.Answer) { a.Options[0].Spread.Quickest = bad },
			"within":      func(a *routing.Answer) { a.Options[0].Spread.Within = &bad },
			"other":       func(a *routing.Answer) { a.QuickestOther = bad },
			"start":       func(a *routing.Answer) { a.Options[0].Plan[0].StartS = bad },
			"end":         func(a *routing.Answer) { a.Options[0].Plan[0].EndS = bad },
			"slack":       func(a *routing.Answer) { a.Options[0].Plan[0].SlackS = bad },
			"step slow":   func(a *routing.Answer) { a.Options[0].Plan[0].Timing.SlowS = bad },
			"distance":    func(a *routing.Answer) { a.Options[0].Plan[0].DistanceM = bad },
			"scene":       func(a *routing.Answer) { a.Scene.Position[0] = bad },
			"uncertainty": func(a *routing.Answer) { a.Scene.UncertaintyM = bad },
			"meeting":     func(a *routing.Answer) { a.Options[0].Meeting = &facilities.Facility{Position: orb.Point{bad, 0}} },
			"station":     func(a *routing.Answer) { a.Weather = []routing.StationWeather{{SceneM: bad}} },
			"wind":        func(a *routing.Answer) { a.Weather = []routing.StationWeather{{Wind: &wind.Wind{SpeedMS: bad}}} },
			"since":       func(a *routing.Answer) { a.Options[0].SinceLost = &facilities.Timing{TypicalS: bad} },
			"since slow":  func(a *routing.Answer) { a.Options[0].SinceRegained = &facilities.Timing{SlowS: bad} },
			"delay":       func(a *routing.Answer) { a.Until = []routing.Deadline{{DelayS: bad}} },
			"needs":       func(a *routing.Answer) { a.RunnerUp = &routing.RunnerUp{NeedsS: bad} },
			"then":        func(a *routing.Answer) { a.Sensitivity = []routing.Sensitivity{{TotalS: bad}} },
			"longer by":   func(a *routing.Answer) { a.Sensitivity = []routing.Sensitivity{{ChangeS: bad}} },
			"hospital":    func(a *routing.Answer) { a.Options[0].Destination.Position[1] = bad },
		}
		for name, spoil := range places {
			a := answer(100, step(0, 100))
			spoil(a)
			_, err := wire.Encode(a, &wire.Request{}, r, "test")
			assert.ErrorIs(t, err, wire.ErrNotFinite, "%s %v", name, bad)
			_, err = wire.EncodeGeoJSON(a, &wire.Request{}, r, "test")
			assert.ErrorIs(t, err, wire.ErrNotFinite, "%s %v", name, bad)
		}
		a := answer(100, step(0, 100))
		a.Options[0].Plan[0].Path = []orb.Point{{0, 0}, {bad, bad}}
		_, err := wire.EncodeGeoJSON(a, &wire.Request{}, r, "test")
		assert.ErrorIs(t, err, wire.ErrNotFinite, "path %v", bad)
		a.Options[0].Plan[0].Kind = routing.KindTravel
		_, err = wire.Encode(a, &wire.Request{}, r, "test")
		assert.ErrorIs(t, err, wire.ErrNotFinite, "path %v", bad)
	}
}

// TestEmptyLists: absent lists are [] in JSON, never null.
func TestEmptyLists(t *testing.T) {
	out, err := wire.Encode(&routing.Answer{At: at}, &wire.Request{}, demo(t), "test")
	require.NoError(t, err)
	text, err := wire.JSON(out)
	require.NoError(t, err)
	assert.NotContains(t, string(text), "null")
	assert.Contains(t, string(text), `"weather":[],"options":[],"until":[],"sensitivity":[],"not_possible":[]`)
}

func TestNotesBecomeCautions(t *testing.T) {
	out, err := wire.Encode(&routing.Answer{At: at, Cautions: []string{"second"}}, &wire.Request{Notes: []string{"first"}}, demo(t), "test")
	require.NoError(t, err)
	assert.Equal(t, []string{"first", "second"}, out.Cautions)
}

// TestPositions are rounded to a centimetre, without a negative zero.
func TestPositions(t *testing.T) {
	a := &routing.Answer{At: at, Scene: routing.Scene{Position: orb.Point{-29.416666666666668, math.Copysign(0, -1)}}}
	out, err := wire.Encode(a, &wire.Request{}, demo(t), "test")
	require.NoError(t, err)
	text, err := json.Marshal(out.Scene.Position)
	require.NoError(t, err)
	assert.Equal(t, `[-29.4166667,0]`, string(text))
}
