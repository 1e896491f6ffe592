package routing_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities"
	"surgeonward/routing"
)

// opening is the toy region in which opening the chest takes 120 s, 180 s if slow.
func opening() *fixture {
	f := toy()
	f.allowances["open_chest"] = [2]float64{120, 180}
	f.allowances["winch_lower"] = [2]float64{200, 200}
	return f
}

// reach asks who can be with the patient, output lost the given seconds ago.
func reach(t testing.TB, e *routing.Engine, lostAgoS float64, edits ...func(*routing.Question, *routing.ReachQuestion)) routing.Reach {
	t.Helper()
	q := routing.Question{At: noon, Scene: routing.Scene{Position: scene, Landing: routing.LandingPossible}}
	w := routing.ReachQuestion{OutputLostAt: noon.Add(-time.Duration(lostAgoS * float64(time.Second)))}
	for _, edit := range edits {
		edit(&q, &w)
	}
	r, err := e.Reach(t.Context(), q, w)
	require.NoError(t, err)
	return r
}

const canOpen = `"skills":["physician","thoracotomy"]`

// Exactly at each limit, and a millisecond to either side of it. The team
// stands beside the patient and opens the chest in 120 s.
func TestWindowLimits(t *testing.T) {
	const wta = "Western Trauma Association, note B: outside is strictly more than "
	rows := []struct {
		id, source string
		limitS     float64
		atLimit    bool
	}{
		{"common_practice", "common practice, no source: 10 min", 600, true},
		{"wta_blunt", wta + "10 min, blunt", 600, true},
		{"wta_penetrating_torso", wta + "15 min, penetrating torso", 900, true},
		{"wta_penetrating_neck_extremity", wta + "5 min, penetrating neck or extremity", 300, true},
		{"anzcor", "ANZCOR 11.10.1: outside is strictly more than 10 min after onset", 600, true},
		{"erc_2015", "European Resuscitation Council 2015, from memory: at most 10 min", 600, true},
		{"erc_2021", "European Resuscitation Council 2021, from memory: less than 15 min", 900, false},
		{"perkins_2025_tamponade", "Perkins et al. 2025, second hand: no survivor beyond 15 min", 900, true},
		{"perkins_2025_exsanguination", "Perkins et al. 2025, second hand: no survivor beyond 5 min", 300, true},
	}
	e := opening().asset("car", "response_car", `"state":"at_scene",`+canOpen).engine(t)
	var ids []string
	for _, c := range rows {
		ids = append(ids, c.id)
		in := func(q *routing.Question, w *routing.ReachQuestion) { w.Window = c.id }
		before := reach(t, e, c.limitS-120-0.001, in).Teams[0]
		at := reach(t, e, c.limitS-120, in).Teams[0]
		after := reach(t, e, c.limitS-120+0.001, in).Teams[0]
		assert.True(t, before.InWindow, "%s: %s", c.id, c.source)
		assert.Equal(t, c.atLimit, at.InWindow, "%s: %s", c.id, c.source)
		assert.False(t, after.InWindow, "%s: %s", c.id, c.source)
		assert.Zero(t, at.MarginS, c.id)
		assert.InDelta(t, -60, at.MarginSlowS, 1e-9, "%s: 180 s if slow", c.id)
		assert.InDelta(t, -0.001, after.MarginS, 1e-9, c.id)
	}
	var shipped []string
	for _, w := range routing.Windows() {
		shipped = append(shipped, w.ID)
		for _, text := range []string{w.What, w.Source, w.Date, w.Mark, w.Note} {
			assert.NotEmpty(t, text, w.ID)
		}
	}
	assert.Equal(t, ids, shipped, "every shipped window has its row")
	assert.Equal(t, "common_practice", reach(t, e, 0).Window.ID, "the default")
}

// Source of every number from here on: identity, added by hand beside each.

func TestReachByRoad(t *testing.T) {
	e := opening().facility("b", "base", place(180, 5_000), "").facility("n", "base", place(0, 1_000), "").
		asset("car", "response_car", `"base":"b",`+canOpen).asset("amb", "ambulance", `"base":"n","skills":["paramedic"]`).engine(t)
	r := reach(t, e, 60)
	require.Len(t, r.Teams, 1)
	car := r.Teams[0]
	// mobilise 60; 5 km at 20 m/s and 20 s to get there: 270; there at 330, open
	// at 450, or 510 if slow; output was lost 60 s before: 510 and 570 of 600 s.
	// In time when it opens in 210 s: ln(210/120) is 1.77 of its sigma ln(180/120)/1.2816.
	assert.InDelta(t, 330, car.Arrives.TypicalS, tolS)
	assert.InDelta(t, 450, car.Opens.TypicalS, tolS)
	assert.InDelta(t, 510, car.Opens.SlowS, tolS)
	assert.InDelta(t, 90, car.MarginS, tolS)
	assert.InDelta(t, 30, car.MarginSlowS, tolS)
	assert.True(t, car.InWindow && car.InWindowIfSlow)
	assert.Equal(t, noon.Add(9*time.Minute), r.Closes)
	assert.Equal(t, "the car (physician, thoracotomy) is with the patient at 14:05:30, 14:05:30 if slow; "+
		"chest open at 14:07:30, 14:08:30 if slow: 1 min 30 s inside the window, 30 s inside the window if slow, chance to be in time 96 %.", car.Sentence)
	// the ambulance: mobilise 90, 1 km in 70: there at 160.
	assert.InDelta(t, 160, r.Others[0].Arrives.TypicalS, tolS)
	assert.Zero(t, r.Others[0].Opens)
	assert.Zero(t, r.Others[0].Open)
	assert.Equal(t, "the amb (paramedic) is with the patient at 14:02:40, 14:02:40 if slow, and cannot open the chest.", r.Others[0].Sentence)
	assert.Equal(t, "the car is first: chest open at 14:07:30, 1 min 30 s inside the window of 10 min, 30 s inside the window if slow, chance to be in time 96 %; "+
		"first with the patient: the amb at 14:02:40, which cannot open the chest", r.Headline)
	var ids []string
	for _, s := range car.Plan {
		ids = append(ids, s.ID)
	}
	assert.Equal(t, []string{"mobilise", "travel_to_scene", "open_chest"}, ids)
}

func TestReachByAirCountsTheWalk(t *testing.T) {
	base := func(members string) *fixture {
		return opening().facility("b", "base", place(180, 30_000), "").
			facility("far", "landing_site", place(90, 400), `"lit":true`).
			facility("near", "landing_site", place(270, 250), `"lit":true`).
			asset("x", "helicopter", `"base":"b",`+members+canOpen)
	}
	impossible := func(q *routing.Question, _ *routing.ReachQuestion) { q.Scene.Landing = routing.LandingImpossible }
	leg := func(x routing.ReachTeam) routing.Scheduled { return planStep(t, x.Plan, "travel_to_scene") }

	x := reach(t, base("").engine(t), 0, impossible).Teams[0]
	// mobilise 300; flight at 60 m/s, 40 + 70 to a known site; 250 m at 5 km/h: 180.
	assert.InDelta(t, 300+leg(x).DistanceM/60+110+180, x.Arrives.TypicalS, tolS, "the nearer site")
	assert.InDelta(t, 250, planStep(t, x.Plan, "walk_to_patient").DistanceM, tolS)

	x = reach(t, base("").engine(t), 0).Teams[0]
	// beside the patient: 300 + 500 + 40 + 130, and no walk.
	assert.InDelta(t, 970, x.Arrives.TypicalS, tolS)

	x = reach(t, base("").engine(t), 0, func(q *routing.Question, _ *routing.ReachQuestion) { q.Scene.CarryM = 500 }).Teams[0]
	assert.InDelta(t, 970+360, x.Arrives.TypicalS, tolS, "500 m of carry at 5 km/h: 360 s")

	carry := facilities.Timing{TypicalS: 600, SlowS: 800}
	x = reach(t, base("").engine(t), 0, func(q *routing.Question, _ *routing.ReachQuestion) { q.Scene.Carry = &carry }).Teams[0]
	assert.InDelta(t, 970+300, x.Arrives.TypicalS, tolS, "600 s at 2.5 km/h are 300 s at 5 km/h")
	assert.InDelta(t, 970+400, x.Arrives.SlowS, tolS)

	winch := `"base":"b","skills":["thoracotomy","winch"]`
	e := opening().facility("b", "base", place(180, 30_000), "").asset("x", "helicopter", winch).engine(t)
	r := reach(t, e, 0, impossible)
	assert.Equal(t, routing.ReasonNoLanding, r.Teams[0].Reasons[0].Code)
	x = reach(t, e, 0, impossible, func(q *routing.Question, _ *routing.ReachQuestion) { q.Scene.Winch = true }).Teams[0]
	assert.InDelta(t, 970+200, x.Arrives.TypicalS, tolS, "lowered in 200 s")
}

func TestReachOnATransfer(t *testing.T) {
	e := opening().facility("from", "hospital", scene, `"pad":{"lit":true,"to_door":{"typical_s":210,"slow_s":240}}`).
		facility("b", "base", place(180, 30_000), "").asset("x", "helicopter", `"base":"b",`+canOpen).engine(t)
	x := reach(t, e, 0, func(q *routing.Question, _ *routing.ReachQuestion) { q.Scene.Facility = "from" }).Teams[0]
	// mobilise 300, 500 + 40 + 70 to the pad, 210 to the door.
	assert.InDelta(t, 300+610+210, x.Arrives.TypicalS, tolS)
	assert.InDelta(t, 300+610+240, x.Arrives.SlowS, tolS)
}

func TestReachFuel(t *testing.T) {
	base := func(more string) *fixture {
		f := opening().facility("b", "base", place(180, 30_000), `"fuel":true`)
		if more != "" {
			f.facility(more, "base", place(180, 15_000), `"fuel":true`)
		}
		return f.asset("x", "helicopter", `"base":"b","endurance_s":2400,"fuel_s":2100,`+canOpen)
	}
	// 970 - 300 s of flight to the scene, 500 + 110 back to fuel, 1200 s reserve
	// = 2480 s, of 2100 s; a full tank at the base would be 2400 s.
	x := reach(t, base("").engine(t), 0).Teams[0]
	require.Len(t, x.Reasons, 1)
	assert.Equal(t, routing.ReasonBeyondEndurance, x.Reasons[0].Code)
	assert.Zero(t, x.Arrives)
	// With fuel halfway home 250 + 110 are enough to get to it: 2230 s, of 2100 s
	// without a stop and of 2400 s from a full tank. Filling up at the base takes
	// 900 and then 670; a stop halfway 360, 900 and 420, which is later.
	x = reach(t, base("half").engine(t), 0).Teams[0]
	require.True(t, x.Can(), x.Sentence)
	assert.InDelta(t, 300+900+670, x.Arrives.TypicalS, tolS)
}

func TestNobodyCan(t *testing.T) {
	late := opening().facility("b", "base", place(180, 10_000), "").asset("car", "response_car", `"base":"b",`+canOpen)
	// mobilise 60, 520: there at 580; open at 700.
	r := reach(t, late.engine(t), 0)
	assert.InDelta(t, -100, r.Teams[0].MarginS, tolS)
	assert.Equal(t, "nobody can open the chest within the window of 10 min: the first could, the car, at 14:11:40, 1 min 40 s too late", r.Headline)

	over := reach(t, late.engine(t), 3600)
	assert.InDelta(t, -3700, over.Teams[0].MarginS, tolS)

	r = reach(t, opening().asset("amb", "ambulance", `"state":"at_scene"`).engine(t), 0)
	assert.Empty(t, r.Teams)
	assert.Equal(t, "nobody can open the chest: no team has the skill thoracotomy; first with the patient: the amb at 14:00:00, which cannot open the chest", r.Headline)

	r = reach(t, opening().engine(t), 0)
	assert.Equal(t, "nobody can open the chest: no team has the skill thoracotomy", r.Headline)

	off := `"hours":{"weekly":[{"days":["wed"],"from":"08:00","to":"20:00","state":"open"}],"otherwise":{"state":"closed"}},`
	e := opening().facility("b", "base", place(180, 5_000), "").asset("car", "response_car", `"base":"b",`+off+canOpen).engine(t)
	r = reach(t, e, 0) // noon is a Tuesday, 14:00
	assert.Equal(t, routing.ReasonOffDuty, r.Teams[0].Reasons[0].Code)
	assert.Equal(t, "nobody can open the chest: no team with the skill thoracotomy can be with the patient", r.Headline)
	assert.Contains(t, r.Teams[0].Sentence, "no crew on duty")

	erc := opening().asset("car", "response_car", `"state":"at_scene",`+canOpen).engine(t)
	r = reach(t, erc, 780, func(_ *routing.Question, w *routing.ReachQuestion) { w.Window = "erc_2021" })
	assert.Equal(t, "nobody is expected to open the chest within the window of 15 min: the first could, the car, at 14:02:00, "+
		"at the window's limit, which is too late, chance to be in time 50 %", r.Headline)
}

// A shift that begins soon counts from its beginning.
func TestReachOffDutyForNow(t *testing.T) {
	off := `"hours":{"weekly":[{"days":["tue"],"from":"14:02","to":"20:00","state":"open"}],"otherwise":{"state":"closed"}},`
	e := opening().facility("b", "base", place(180, 1_000), "").asset("car", "response_car", `"base":"b",`+off+canOpen).engine(t)
	// off duty 120, mobilise 60, 1 km in 70.
	assert.InDelta(t, 250, reach(t, e, 0).Teams[0].Arrives.TypicalS, tolS)
}

func TestReachCautions(t *testing.T) {
	e := opening().facility("b", "base", place(180, 30_000), "").
		asset("x", "helicopter", `"base":"b","night_flying":true,`+canOpen).engine(t)
	unknown := func(q *routing.Question, _ *routing.ReachQuestion) { q.Scene.Landing = routing.LandingUnknown }
	dark := func(q *routing.Question, w *routing.ReachQuestion) { q.At, w.OutputLostAt = midnight, midnight }
	const fuel, unsure, night = "the endurance of the x is not stated: fuel is not checked",
		"landing at the scene is not confirmed", "landing at an unprepared scene by night"
	assert.Equal(t, []string{fuel}, reach(t, e, 0).Teams[0].Cautions)
	assert.Equal(t, []string{fuel, unsure, night}, reach(t, e, 0, unknown, dark).Teams[0].Cautions)
	assert.Contains(t, reach(t, e, 0).Cautions, "no carry is stated: a vehicle at the scene is taken to stand beside the patient")
}

func TestReachTooLong(t *testing.T) {
	f := opening().facility("b", "base", place(180, 5_000), "").asset("car", "response_car", `"base":"b",`+canOpen)
	f.allowances["mobilise_response_car_day"] = [2]float64{60, facilities.MaxTiming}
	car := reach(t, f.engine(t), 0).Teams[0]
	require.Len(t, car.Reasons, 1)
	assert.Equal(t, routing.ReasonTooLong, car.Reasons[0].Code)
	assert.Zero(t, car.Opens)
}

func TestReachOrderAndOwnWindow(t *testing.T) {
	f := opening().facility("b", "base", place(180, 5_000), "").facility("n", "base", place(0, 2_000), "")
	f.asset("z", "response_car", `"base":"b",`+canOpen).asset("m", "response_car", `"base":"b",`+canOpen).
		asset("c", "response_car", `"base":"n",`+canOpen).asset("gone", "response_car", `"base":"n","state":"committed",`+canOpen).
		asset("plane", "aeroplane", `"base":"n",`+canOpen)
	r := reach(t, f.engine(t), 0, func(_ *routing.Question, w *routing.ReachQuestion) { w.WindowS = 200 })
	var ids []string
	for _, team := range r.Teams {
		ids = append(ids, team.Asset)
	}
	assert.Equal(t, []string{"c", "m", "z", "gone", "plane"}, ids)
	assert.Equal(t, 200.0, r.Window.LimitS)
	// c: mobilise 60, 2 km in 120, open 120: 300 of 200 s.
	assert.InDelta(t, -100, r.Teams[0].MarginS, tolS)

	// By slow, the one with the smaller spread comes first; the headline still
	// names who is typically first.
	f = opening().facility("b", "base", place(180, 5_000), "")
	f.asset("sure", "response_car", `"base":"b","mobilise":{"day":{"typical_s":100,"slow_s":100},"night":{"typical_s":100,"slow_s":100}},`+canOpen)
	f.asset("wild", "response_car", `"base":"b","mobilise":{"day":{"typical_s":50,"slow_s":500},"night":{"typical_s":50,"slow_s":500}},`+canOpen)
	r = reach(t, f.engine(t), 0, func(q *routing.Question, _ *routing.ReachQuestion) { q.RankBySlow = true })
	assert.Equal(t, "sure", r.Teams[0].Asset)
	assert.Contains(t, r.Headline, "the wild is first")
}

func TestReachFaults(t *testing.T) {
	e := opening().asset("car", "response_car", `"state":"at_scene",`+canOpen).engine(t)
	good := routing.Question{At: noon, Scene: routing.Scene{Position: scene}}
	for _, c := range []struct {
		name, pointer, says string
		w                   routing.ReachQuestion
	}{
		{"later than now", "/output_lost_at", "after the decision time", routing.ReachQuestion{OutputLostAt: noon.Add(1)}},
		{"years ago", "/output_lost_at", "before the decision time", routing.ReachQuestion{OutputLostAt: noon.AddDate(-400, 0, 0)}},
		{"unknown window", "/window", `did you mean "wta_blunt"`, routing.ReachQuestion{Window: "wta-blunt"}},
		{"two windows", "/window_s", "keep one", routing.ReachQuestion{Window: "anzcor", WindowS: 60}},
		{"negative", "/window_s", "more than 0", routing.ReachQuestion{WindowS: -1}},
		{"not a number", "/window_s", "more than 0", routing.ReachQuestion{WindowS: math.NaN()}},
		{"for ever", "/window_s", "more than 0", routing.ReachQuestion{WindowS: math.Inf(1)}},
		{"unknown skill", "/skill", `did you mean "thoracotomy"`, routing.ReachQuestion{Skill: "thoractomy"}},
	} {
		_, err := e.Reach(t.Context(), good, c.w)
		var bad *routing.QuestionError
		require.ErrorAs(t, err, &bad, c.name)
		require.Len(t, bad.Faults, 1, c.name)
		assert.Equal(t, c.pointer, bad.Faults[0].Pointer, c.name)
		assert.Contains(t, bad.Faults[0].Detail, c.says, c.name)
	}
	_, err := e.Reach(t.Context(), routing.Question{At: noon, Limit: -1, Scene: routing.Scene{Position: scene}}, routing.ReachQuestion{WindowS: -1, Skill: "nothing"})
	var bad *routing.QuestionError
	require.ErrorAs(t, err, &bad)
	assert.Len(t, bad.Faults, 3, "all at once")

	r, err := e.Reach(t.Context(), good, routing.ReachQuestion{})
	require.NoError(t, err)
	assert.Equal(t, noon, r.OutputLostAt)
	assert.Contains(t, r.Cautions, "when output was lost is not stated: counted from the decision time")

	cancelled, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = e.Reach(cancelled, good, routing.ReachQuestion{})
	assert.ErrorIs(t, err, context.Canceled)
}

// rescuers is a random region in which some teams can open the chest.
func rescuers(t *rapid.T) *fixture {
	s := draw(t)
	f := opening()
	for i, p := range s.bases {
		f.facility(fmt.Sprintf("b%d", i), "base", p, "")
		skills := rapid.SampledFrom([]string{`"skills":["paramedic"]`, canOpen}).Draw(t, fmt.Sprint("skills ", i))
		f.asset(fmt.Sprintf("a%d", i), s.kinds[i], fmt.Sprintf(`"base":"b%d",%s`, i, skills))
	}
	return f
}

// The later output was lost, the more of the window is left.
func TestLaterLossNeverReducesTheMargin(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		e := rescuers(rt).engine(t)
		ago := rapid.Float64Range(0, 7200).Draw(rt, "lost ago")
		sooner := rapid.Float64Range(0, ago).Draw(rt, "lost later")
		before, after := reach(t, e, ago), reach(t, e, sooner)
		for i := range before.Teams {
			assert.Equal(rt, before.Teams[i].Asset, after.Teams[i].Asset)
			assert.GreaterOrEqual(rt, after.Teams[i].MarginS, before.Teams[i].MarginS)
			assert.GreaterOrEqual(rt, after.Teams[i].MarginSlowS, before.Teams[i].MarginSlowS)
			assert.True(rt, after.Teams[i].InWindow || !before.Teams[i].InWindow)
		}
	})
}

// Another team changes nothing about those that are there already.
func TestAnotherTeamRemovesNone(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := rescuers(rt)
		before := reach(t, f.engine(t), 60)
		f.facility("extra", "base", place(rapid.Float64Range(0, 360).Draw(rt, "bearing"), rapid.Float64Range(0, 90_000).Draw(rt, "metres")), "")
		f.asset("more", rapid.SampledFrom([]string{"ambulance", "helicopter"}).Draw(rt, "kind"), `"base":"extra",`+canOpen)
		after := reach(t, f.engine(t), 60)
		known := map[string]routing.ReachTeam{}
		for _, team := range append(after.Teams, after.Others...) {
			known[team.Asset] = team
		}
		for _, team := range append(before.Teams, before.Others...) {
			assert.Equal(rt, team, known[team.Asset])
		}
		assert.Len(rt, known, len(before.Teams)+len(before.Others)+1)
	})
}

// The same engine: a road team is there when the options say so, and the
// order of the files changes nothing.
func TestReachAgreesWithOptions(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := rescuers(rt).hospital("h", place(45, 20_000))
		e := f.engine(t)
		r := reach(t, e, 60)
		arrives := map[string]float64{}
		for _, team := range append(r.Teams, r.Others...) {
			arrives[team.Asset] = team.Arrives.TypicalS
		}
		for _, o := range ask(t, e).Options {
			if o.Shape == routing.ByRoad || o.Shape == routing.ByAir {
				assert.InDelta(rt, step(t, o, "travel_to_scene").EndS, arrives[o.Assets[0]], 1e-9, o.ID)
			}
		}
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 1))
		random.Shuffle(len(f.assets), func(i, j int) { f.assets[i], f.assets[j] = f.assets[j], f.assets[i] })
		random.Shuffle(len(f.features), func(i, j int) { f.features[i], f.features[j] = f.features[j], f.features[i] })
		assert.Equal(rt, r, reach(t, f.engine(t), 60))
	})
}

func planStep(t testing.TB, p routing.Plan, id string) routing.Scheduled {
	t.Helper()
	return step(t, routing.Option{Plan: p}, id)
}

// An asset's own durations come before the region's, and decide who is first.
// The car comes later, and is first as soon as it opens the chest sooner by more
// than that. Source: identity.
func TestReachOwnAllowances(t *testing.T) {
	arrives := func(ownS float64) routing.Reach {
		own := fmt.Sprintf(`"allowances":{"open_chest":{"typical_s":%v,"slow_s":%v}},`, ownS, ownS)
		return reach(t, opening().facility("b", "base", place(0, 8_000), "").facility("c", "base", place(0, 10_000), "").
			asset("amb", "ambulance", `"base":"b","state":"moving","position":[-29.5,45.55],`+canOpen).
			asset("car", "response_car", `"base":"c","state":"moving","position":[-29.5,45.56],`+own+canOpen).engine(t), 0)
	}
	plain := arrives(120)
	require.Len(t, plain.Teams, 2)
	gapS := plain.Teams[1].Arrives.TypicalS - plain.Teams[0].Arrives.TypicalS
	require.Equal(t, "amb", plain.Teams[0].Asset)
	require.Greater(t, gapS, 20.0)
	require.Less(t, gapS, 100.0)
	for _, ownS := range []float64{120 - gapS + 1, 120 - gapS - 1} {
		r := arrives(ownS)
		first := map[bool]string{true: "car", false: "amb"}[ownS < 120-gapS]
		assert.Equal(t, first, r.Teams[0].Asset)
		assert.Contains(t, r.Headline, "the "+first+" is first")
		for _, team := range r.Teams {
			want := map[string]float64{"amb": 120, "car": ownS}[team.Asset]
			assert.InDelta(t, want, team.Opens.TypicalS-team.Arrives.TypicalS, tolS)
			assert.Equal(t, team.Asset == "car", strings.Contains(team.Plan[len(team.Plan)-1].Basis, "own"), team.Plan[len(team.Plan)-1].Basis)
		}
		assert.InDelta(t, 120, r.OpenChest.Timing.TypicalS, 0, "the region's")
	}
}

// 100 m on foot at 7.2 km/h are 50 s; lowering by winch takes the asset's own
// time. Source: identity.
func TestReachWalkAndOwnWinch(t *testing.T) {
	f := opening().asset("amb", "ambulance", `"state":"moving","position":[-29.5,45.55],`+canOpen)
	near := reach(t, f.engine(t), 0).Teams[0].Arrives.TypicalS
	f.settings = map[string]any{"team_walk_kmh": 7.2}
	walked := reach(t, f.engine(t), 0, func(q *routing.Question, _ *routing.ReachQuestion) { q.Scene.CarryM = 100 }).Teams[0].Arrives.TypicalS
	assert.InDelta(t, 50, walked-near, tolS)

	lowered := func(own string) float64 {
		e := opening().facility("b", "base", place(180, 10_000), "").
			asset("x", "helicopter", `"base":"b","skills":["thoracotomy","winch"]`+own).engine(t)
		return reach(t, e, 0, func(q *routing.Question, _ *routing.ReachQuestion) {
			q.Scene.Winch, q.Scene.Landing = true, routing.LandingImpossible
		}).Teams[0].Arrives.TypicalS
	}
	assert.InDelta(t, 200-90, lowered("")-lowered(`,"allowances":{"winch_lower":{"typical_s":90,"slow_s":90}}`), tolS)
}

// A check finds what an answer would refuse, and nothing else. Source: definition.
func TestCheckReach(t *testing.T) {
	e := opening().asset("amb", "ambulance", `"state":"at_scene",`+canOpen).engine(t)
	q := routing.Question{At: noon, Scene: routing.Scene{Position: scene, Landing: routing.LandingPossible}}
	require.NoError(t, e.CheckReach(q, routing.ReachQuestion{}))
	q.TargetS = -1
	w := routing.ReachQuestion{Window: "nope", Skill: "magic"}
	_, want := e.Reach(t.Context(), q, w)
	require.Error(t, want)
	assert.Equal(t, want, e.CheckReach(q, w))
}
