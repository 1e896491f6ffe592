package routing_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

// Source of every number in this file: identity. The toy region's figures are
// added by hand in the comment beside each.

// airOrRoad is a helicopter that has the patient with the surgeon at 2690
// (TestAirFromItsBase) and an ambulance at the scene that does so at
// 820 + 3020 + 50 + 170 = 4060: 1370 behind.
func airOrRoad() *fixture {
	return toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").
		asset("x", "helicopter", `"base":"b","rotors_turning":true`).asset("a", "ambulance", `"state":"at_scene"`)
}

func deadline(t testing.TB, ans routing.Answer, id string) routing.Deadline {
	t.Helper()
	for _, d := range ans.Until {
		if d.Activity == id {
			return d
		}
	}
	require.Failf(t, "no deadline", "%q has none", id)
	return routing.Deadline{}
}

func TestUntilWhen(t *testing.T) {
	ans := ask(t, airOrRoad().engine(t))
	require.Equal(t, "air:x:h", ans.Options[0].ID)
	for _, row := range []struct {
		id      string
		latestS float64 // planned start and 1370
	}{
		{"mobilise", 1370}, {"travel_to_scene", 300 + 1370}, {"load", 970 + 1370},
		{"travel_to_hospital", 1150 + 1370},
	} {
		d := deadline(t, ans, row.id)
		assert.InDelta(t, 1370, d.DelayS, tolS, row.id)
		assert.WithinDuration(t, noon.Add(time.Duration(row.latestS)*time.Second), d.LatestStart, 20*time.Millisecond, row.id)
		assert.Equal(t, "road:a:h", d.Overtaker, row.id)
	}
	assert.Equal(t, "lift-off of the x after 14:27: rather the a takes the patient by road to the h", deadline(t, ans, "travel_to_scene").Sentence)
	require.NotNil(t, ans.DecideBy)
	assert.Equal(t, "mobilise", ans.DecideBy.Activity, "the call comes before everything else")
	assert.Equal(t, "the call to the x after 14:22: rather the a takes the patient by road to the h", ans.DecideBy.Sentence)
	for _, d := range ans.Until {
		assert.NotContains(t, []string{"package", "carry", "theatre", "pre_alert"}, d.Activity,
			"the ambulance's way needs them as well and has no more slack on them")
		assert.NotContains(t, []string{"unload", "pad_to_door", "handover", "with_surgeon"}, d.Activity, "too late to choose another")
	}
}

// The delay is told to the engine: just less keeps the winner, just more makes
// the named option win.
func TestUntilWhenIsTrue(t *testing.T) {
	for _, row := range []struct {
		name, activity, allowance string
		plannedS                  float64
	}{
		{"mobilisation", "mobilise", "mobilise_helicopter_day", 300},
		{"loading", "load", "load_helicopter_running", 180},
	} {
		d := deadline(t, ask(t, airOrRoad().engine(t)), row.activity)
		for _, late := range []struct {
			byS  float64
			wins string
		}{{d.DelayS - 0.5, "air:x:h"}, {d.DelayS + 0.5, d.Overtaker}} {
			f := airOrRoad()
			f.allowances[row.allowance] = [2]float64{row.plannedS + late.byS, row.plannedS + late.byS}
			assert.Equal(t, late.wins, ask(t, f.engine(t)).Options[0].ID, "%s late by %g s", row.name, late.byS)
		}
	}
}

// An option that needs the same helicopter, but has time to spare for it,
// overtakes before one that does without.
func TestUntilWhenTheSameAssetHasTimeElsewhere(t *testing.T) {
	f := airOrRoad().facility("k", "hospital", place(0, 60_000), centre+","+onCallSurgeon+","+litPad)
	f.allowances["call_in"] = [2]float64{2690 - 60 + 200, 2690 - 60 + 200}
	ans := ask(t, f.engine(t))
	require.Equal(t, "air:x:h", ans.Options[0].ID)
	// To k the helicopter has the patient handed over at 2690, and the surgeon
	// is there at 2890: 200 to spare. Delayed by 200 both are at 2890, and they
	// go on together: k never overtakes. By road it takes 1370.
	d := deadline(t, ans, "mobilise")
	assert.InDelta(t, 1370, d.DelayS, tolS)
	assert.Equal(t, "road:a:h", d.Overtaker)
	// The pre-alert to h, with 1730 to spare, is no part of the ways to k.
	d = deadline(t, ans, "pre_alert")
	assert.Equal(t, "air:x:k", d.Overtaker)
	assert.InDelta(t, 1730+200, d.DelayS, tolS)

	// A second helicopter that stands ready, but farther away, overtakes first.
	f.facility("c", "base", place(180, 36_000), "").asset("y", "helicopter", `"base":"c","rotors_turning":true`)
	d = deadline(t, ask(t, f.engine(t)), "mobilise")
	assert.Equal(t, "air:y:h", d.Overtaker)
	assert.InDelta(t, 100, d.DelayS, tolS, "6 km at 60 m/s")
}

func TestNothingOvertakesTheOnlyOption(t *testing.T) {
	ans := ask(t, toy().hospital("h", place(0, 30_000)).asset("a", "ambulance", `"state":"at_scene"`).engine(t))
	assert.Empty(t, ans.Until)
	assert.Nil(t, ans.DecideBy)
	assert.Nil(t, ans.RunnerUp)
	assert.NotEmpty(t, ans.Sensitivity)
	none := ask(t, toy().asset("a", "ambulance", `"state":"at_scene"`).engine(t))
	assert.Empty(t, none.Sensitivity)
}

func TestRunnerUp(t *testing.T) {
	ans := ask(t, airOrRoad().engine(t))
	require.NotNil(t, ans.RunnerUp)
	assert.Equal(t, "road:a:h", ans.RunnerUp.Option)
	assert.InDelta(t, 1370, ans.RunnerUp.NeedsS, tolS)
	assert.Equal(t, []string{"travel_to_hospital"}, ans.RunnerUp.Activities, "3020 s; packaging takes 600 and is the first's as well")
	assert.Equal(t, "the a takes the patient by road to the h: 23 min behind, which could come from the drive with the patient", ans.RunnerUp.Sentence)

	// Told that the road is so much shorter, the engine agrees.
	f := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").
		facility("c", "base", place(180, 20_000), "").
		asset("x", "helicopter", `"base":"b","rotors_turning":true`).asset("a", "ambulance", `"base":"c"`)
	slowX := ask(t, f.engine(t)).RunnerUp
	// there at 1110, then 100, 3020, 50, 170: 4450, 1760 behind. Mobilising
	// takes 90 and the way there 1020, neither enough.
	assert.InDelta(t, 1760, slowX.NeedsS, tolS)
	assert.Equal(t, []string{"travel_to_hospital"}, slowX.Activities)
	assert.Equal(t, "road:a:h", ask(t, airOrRoad().engine(t), func(q *routing.Question) { q.Limit = 1 }).RunnerUp.Option)
}

func TestRunnerUpThatNoStepCanSave(t *testing.T) {
	// Two helicopters alike but for 30 km: the second is 500 behind. Its way to
	// the scene takes 1170; it could give them all, but for the patient, who is
	// ready at 720 while it is there at 1470: all 500 are there.
	f := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").facility("c", "base", place(180, 60_000), "").
		asset("x", "helicopter", `"base":"b","rotors_turning":true`).asset("y", "helicopter", `"base":"c","rotors_turning":true`)
	r := ask(t, f.engine(t)).RunnerUp
	assert.Equal(t, "air:y:h", r.Option)
	assert.InDelta(t, 500, r.NeedsS, tolS)
	assert.Equal(t, []string{"travel_to_scene", "travel_to_hospital"}, r.Activities)
	// With a patient who is ready at 1420, the way there has only 50 to give.
	f.allowances["package"] = [2]float64{1300, 1300}
	f.allowances["load_helicopter_running"] = [2]float64{20, 20}
	r = ask(t, f.engine(t)).RunnerUp
	assert.InDelta(t, 50, r.NeedsS, tolS)
	f.allowances["mobilise_helicopter_day"] = [2]float64{0, 0}
	r = ask(t, f.engine(t)).RunnerUp
	assert.Zero(t, r.NeedsS, "both wait for the patient")
	assert.Empty(t, r.Activities)
	assert.Contains(t, r.Sentence, "as quick as the first")
}

func sensitivity(t testing.TB, ans routing.Answer, cause string) routing.Sensitivity {
	t.Helper()
	for _, s := range ans.Sensitivity {
		if s.Cause == cause {
			return s
		}
	}
	require.Failf(t, "no such row", "%q is not among %+v", cause, ans.Sensitivity)
	return routing.Sensitivity{}
}

func TestSensitivity(t *testing.T) {
	f := airOrRoad()
	f.allowances["mobilise_helicopter_day"] = [2]float64{300, 2000}
	f.allowances["package"] = [2]float64{600, 1000}
	f.allowances["load_helicopter_running"] = [2]float64{180, 240}
	f.allowances["theatre_ready"] = [2]float64{900, 2000}
	f.allowances["unload_ambulance"] = [2]float64{50, 90}
	ans := ask(t, f.engine(t))
	require.Equal(t, "air:x:h", ans.Options[0].ID)
	for _, row := range []struct {
		cause   string
		changeS float64
		first   string
	}{
		{"mobilise:x", 1700, "road:a:h"}, // past the 1370 that the road is behind
		{"package", 150, "air:x:h"},      // ready at 1120, the helicopter there at 970
		{"load:x", 60, "air:x:h"},
		{"road_factor", 0, "air:x:h"},
		{"theatre:h", 0, "air:x:h"}, // ready at 2060
		{"wind", 0, "air:x:h"},      // the toy region has none
	} {
		s := sensitivity(t, ans, row.cause)
		assert.InDelta(t, row.changeS, s.ChangeS, tolS, row.cause)
		assert.InDelta(t, 2690+row.changeS, s.TotalS, tolS, row.cause)
		assert.Equal(t, row.first, s.First, row.cause)
		assert.NotEmpty(t, s.What)
	}
	var order []string
	for _, s := range ans.Sensitivity {
		order = append(order, s.Cause)
	}
	assert.Equal(t, []string{"mobilise:x", "package", "load:x", "road_factor", "theatre:h", "wind"}, order,
		"what varies in the first option, and the two that are always there")
	assert.Equal(t, "slow: mobilisation, the x", ans.Sensitivity[0].What)
	assert.Equal(t, "slow: making the theatre ready, the h", sensitivity(t, ans, "theatre:h").What)
}

// What the rows say is what the engine finds when it is told so.
func TestSensitivityAgainstTheEngine(t *testing.T) {
	byRoad := func() *fixture {
		return toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 20_000), "").asset("a", "ambulance", `"base":"b"`)
	}
	row := sensitivity(t, ask(t, byRoad().engine(t)), "road_factor")
	longer := byRoad()
	longer.roadFactor = 1.1
	assert.InDelta(t, ask(t, longer.engine(t)).Options[0].Total.TypicalS, row.TotalS, tolS, "roads 10 % longer")

	f := airOrRoad()
	f.settings = map[string]any{"wind_slow_kt": 8}
	ans := ask(t, f.engine(t))
	slow := 60 - 8*1852.0/3600
	assert.InDelta(t, 30_000/slow-500+60_000/slow-1000, sensitivity(t, ans, "wind").ChangeS, tolS)
	assert.Equal(t, "head wind 8 kt stronger on every flight", sensitivity(t, ans, "wind").What)
	assert.InDelta(t, sensitivity(t, ans, "wind").ChangeS, sensitivity(t, ans, "air").ChangeS, tolS, "nothing else of a flight varies here")
}

func TestDeadlinesHold(t *testing.T) {
	n := 0
	for seed := range uint64(40) {
		f, random := spreadCrowd(seed)
		q := question()
		q.Scene.Landing = []routing.Landing{routing.LandingPossible, routing.LandingImpossible}[random.IntN(2)]
		n += f.engine(t).DeadlinesHold(t, q)
	}
	assert.Greater(t, n, 100)
}
