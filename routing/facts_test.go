package routing_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/routing"
)

// Source of every number in this file: identity. The toy region's figures are
// added by hand in the comment beside each.

func atS(s float64) time.Time { return noon.Add(time.Duration(s * float64(time.Second))) }

func fact(asset string, event routing.Event, s float64) routing.Fact {
	f := routing.Fact{Asset: asset, Event: event, At: atS(s)}
	if event == routing.AtHospital || event == routing.HandedOver || event == routing.Alerted {
		f.Facility = "h"
	}
	return f
}

// later asks again some seconds after noon with what has happened since.
func later(s float64, facts ...routing.Fact) func(*routing.Question) {
	return func(q *routing.Question) { q.At, q.Facts = atS(s), facts }
}

func option(t testing.TB, ans routing.Answer, id string) routing.Option {
	t.Helper()
	for _, o := range ans.Options {
		if o.ID == id {
			return o
		}
	}
	require.Failf(t, "no such option", "%q is not among %v; %+v", id, ids(ans.Options), ans.NotPossible)
	return routing.Option{}
}

// Asked again when all has gone as planned, the patient is with the surgeon at
// the same time. By air (TestAirFromItsBase): lift-off 300, there 970, loaded
// 1150, at the hospital 2260, unloaded 2370, at the door 2520, handed over
// 2690. The theatre, alerted at 60, is ready at 960.
func TestFactsAsPlannedChangeNothing(t *testing.T) {
	e := airOrRoad().engine(t)
	const total = 2690.0
	// What is left of packaging, until 600, and of the carry, until 720.
	ready := func(atS float64) func(*routing.Question) {
		pack, carry := facilities.Fixed(max(0, 600-atS)), facilities.Fixed(min(120, max(0, 720-atS)))
		return func(q *routing.Question) { q.Patient.ReadyIn, q.Scene.Carry = &pack, &carry }
	}
	lifted, there := fact("x", routing.Lifted, 300), fact("x", routing.Arrived, 970)
	loaded, left := fact("x", routing.PatientLoaded, 1150), fact("x", routing.LeftScene, 1150)
	landed, over, alerted := fact("x", routing.AtHospital, 2260), fact("x", routing.HandedOver, 2690), fact("", routing.Alerted, 60)
	for _, row := range []struct {
		name  string
		atS   float64
		facts []routing.Fact
	}{
		{"lifting off now", 300, []routing.Fact{lifted}},
		{"on the way", 600, []routing.Fact{lifted}},
		{"at the scene", 970, []routing.Fact{lifted, there}},
		{"loaded", 1150, []routing.Fact{loaded}},
		{"leaving", 1150, []routing.Fact{lifted, there, loaded, left}},
		{"on the way with the patient, facts in any order", 1700, []routing.Fact{left, lifted}},
		{"landed", 2260, []routing.Fact{left, landed, alerted}},
		{"between pad and door", 2400, []routing.Fact{landed, alerted}},
		{"at the door for some time", 2600, []routing.Fact{landed, alerted}},
		{"handed over", 2690, []routing.Fact{over, alerted}},
	} {
		ans := ask(t, e, ready(row.atS), later(row.atS, row.facts...))
		o := option(t, ans, "air:x:h")
		assert.InDelta(t, total-row.atS, o.Total.TypicalS, tolS, row.name)
		assert.WithinDuration(t, atS(total), o.WithSurgeon, 20*time.Millisecond, row.name)
		if row.facts[0] == left {
			assert.Equal(t, left.At, o.LeaveScene, row.name)
		}
	}
}

func TestLiftedTakesMobilisationAway(t *testing.T) {
	ans := ask(t, airOrRoad().engine(t), later(600, fact("x", routing.Lifted, 400)))
	o := option(t, ans, "air:x:h")
	// 670 of flight, 200 of it behind it; the patient, packaged from now, is
	// ready at 720. Then 180, 1110, 110, 150, 170.
	leg := step(t, o, "travel_to_scene")
	assert.InDelta(t, 470, leg.Timing.TypicalS, tolS)
	assert.InDelta(t, 470, leg.Timing.SlowS, tolS)
	assert.Contains(t, leg.Basis, "of which 3 min 20 s is behind it")
	assert.InDelta(t, 720+180+1110+110+150+170, o.Total.TypicalS, tolS)
	for _, s := range o.Plan {
		assert.NotEqual(t, routing.KindMobilise, s.Kind)
	}
	for _, d := range ans.Until {
		assert.NotEqual(t, "travel_to_scene", d.Activity, "it has started: nobody can put it off")
	}
	assert.Contains(t, ans.Cautions, "the x has been under way since 14:06 and its position is not given: every way is counted as if it had headed there")

	// Overdue: there any moment, not in the past.
	o = option(t, ask(t, airOrRoad().engine(t), later(3000, fact("x", routing.Lifted, 400))), "air:x:h")
	assert.Zero(t, step(t, o, "travel_to_scene").Timing.TypicalS)

	// With its position, 12 km out, the position counts: 200 + 40 + 130.
	at := place(180, 12_000)
	ans = ask(t, airOrRoad().engine(t), later(600, fact("x", routing.Lifted, 400)), func(q *routing.Question) {
		q.Assets.States = []routing.StateChange{{Asset: "x", State: routing.Moving, Position: &at}}
	})
	assert.InDelta(t, 370, step(t, option(t, ans, "air:x:h"), "travel_to_scene").Timing.TypicalS, tolS)
	for _, c := range ans.Cautions {
		assert.NotContains(t, c, "position is not given")
	}
}

// A cold helicopter that has left has its engine running; one that has only
// loaded has not.
func TestEngineStartIsBehindOneThatHasLeft(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").asset("x", "helicopter", `"base":"b"`).engine(t)
	loaded := option(t, ask(t, e, later(2000, fact("x", routing.PatientLoaded, 1900))), "air:x:h")
	assert.InDelta(t, 140+1110+130+150+170, loaded.Total.TypicalS, tolS)
	assert.Equal(t, "the x bringing the patient to the pad of the h", loaded.HeldUpBy)
	left := option(t, ask(t, e, later(2000, fact("x", routing.LeftScene, 1900))), "air:x:h")
	assert.InDelta(t, 1110-100+130+150+170, left.Total.TypicalS, tolS)
	assert.Equal(t, atS(1900), left.LeaveScene)
}

// With the patient on board the ambulance every way is by the ambulance, alone
// or to meet a helicopter.
func TestPatientOnBoard(t *testing.T) {
	e := toy().hospital("h", place(0, 90_000)).
		facility("near", "hospital", place(0, 30_000), `"capabilities":["blood_bank"]`).
		facility("site", "landing_site", place(0, 20_000), `"lit":true,"road_access":true`).
		facility("b", "base", place(0, 50_000), "").
		asset("a", "ambulance", `"base":"b"`).asset("other", "ambulance", `"state":"at_scene"`).
		asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t)
	ans := ask(t, e, later(3000, fact("a", routing.LeftScene, 2400)))
	for _, o := range ans.Options {
		assert.Equal(t, "a", o.Assets[0])
	}
	// 90 km in 4520, 600 behind; 50, 170.
	assert.InDelta(t, 3920+220, option(t, ans, "road:a:h").Total.TypicalS, tolS)
	// 30 km in 1520, 600 behind; 50, stop 800, 100, 60 km 3020, 220.
	assert.InDelta(t, 920+50+800+100+3020+220, option(t, ans, "via_hospital:a:near:h").Total.TypicalS, tolS)
	// 20 km in 1020, 600 behind, 50: 470; the helicopter 300 + 610: 910, 180,
	// 70 km 1166.67 + 110, 110, 150, 170.
	assert.InDelta(t, 910+180+70_000/60.0+110+110+150+170, option(t, ans, "rendezvous:a+x:site:h").Total.TypicalS, tolS)
	assert.Equal(t, []routing.ReasonCode{routing.ReasonPatientOnBoard}, codes(ans, "other", "h"))
	assert.Contains(t, codes(ans, "x", "h"), routing.ReasonPatientOnBoard)

	// Its position known, 15 km up the road: 5 km to the site in 270.
	at := place(0, 15_000)
	moving := func(q *routing.Question) {
		q.Assets.States = []routing.StateChange{{Asset: "a", State: routing.Moving, Position: &at}}
	}
	ans = ask(t, e, later(3000, fact("a", routing.LeftScene, 2400)), moving)
	assert.InDelta(t, 75_000/20.0+20+220, option(t, ans, "road:a:h").Total.TypicalS, tolS)
	assert.InDelta(t, 270, step(t, option(t, ans, "rendezvous:a+x:site:h"), "travel_to_meeting").EndS, tolS)
	assert.InDelta(t, 75_000/20.0+20+220, option(t, ask(t, e, later(3000, fact("a", routing.PatientLoaded, 2400)), moving), "road:a:h").Total.TypicalS, tolS,
		"on board and moving")
}

// Nobody has to bring the escort once the patient is on board.
func TestEscortIsOnBoard(t *testing.T) {
	e := toy().hospital("h", place(0, 30_000)).facility("b", "base", place(180, 20_000), "").
		asset("car", "response_car", `"base":"b","skills":["physician"]`).asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	ans := ask(t, e, later(1000, fact("a", routing.PatientLoaded, 900)), func(q *routing.Question) { q.Patient.Escort = "physician" })
	assert.InDelta(t, 1520+50+170, option(t, ans, "road:a:h").Total.TypicalS, tolS)
}

func TestAtTheHospital(t *testing.T) {
	f := airOrRoad().hospital("k", place(0, 70_000))
	ans := ask(t, f.engine(t), later(3000, fact("x", routing.AtHospital, 2900)))
	// Nobody has said that h was alerted: 60 + 900 from now.
	require.Len(t, ans.Options, 1)
	assert.InDelta(t, 960, ans.Options[0].Total.TypicalS, tolS)
	assert.InDelta(t, 10, step(t, ans.Options[0], "unload").EndS, tolS)
	assert.Equal(t, []routing.ReasonCode{routing.ReasonPatientAtHospital}, codes(ans, "x", "k"))
	assert.Equal(t, []routing.ReasonCode{routing.ReasonPatientOnBoard}, codes(ans, "a", "h"))

	ans = ask(t, f.engine(t), later(3000, fact("x", routing.HandedOver, 2900)))
	o := ans.Options[0]
	assert.InDelta(t, 960, o.Total.TypicalS, tolS)
	var kinds []routing.ActivityKind
	for _, s := range o.Plan {
		if s.Kind != routing.KindWait {
			kinds = append(kinds, s.Kind)
		}
	}
	assert.Equal(t, []routing.ActivityKind{routing.KindPreAlert, routing.KindTheatre, routing.KindSurgeon}, kinds, "only the hospital's side is left")
	assert.Equal(t, "the theatre being made ready", o.HeldUpBy)

	// Nobody takes them from there to an airfield and back.
	f = airOrRoad().facility("f1", "airfield", place(0, 5_000), `"lit":true,"runway_m":1500`).
		facility("f2", "airfield", place(0, 55_000), `"lit":true,"runway_m":1500`).
		asset("e", "ambulance", `"base":"f2"`).asset("p", "aeroplane", `"base":"f1"`)
	shapeOf(t, ask(t, f.engine(t)), routing.ByAeroplane)
	ans = ask(t, f.engine(t), later(3000, fact("a", routing.AtHospital, 2900)))
	assert.Len(t, ans.Options, 1)
	assert.Equal(t, []routing.ReasonCode{routing.ReasonPatientOnBoard}, codesOf(ans, "p", "h", routing.ByAeroplane))

	// A divert does not matter to a patient who is there, a surgeon who is not
	// there does.
	gone := toy().facility("h", "hospital", place(0, 60_000), centre+","+residentSurgeon+`,"accepting":{"state":"divert"}`).
		asset("a", "ambulance", `"state":"at_scene"`)
	assert.Len(t, ask(t, gone.engine(t), later(3000, fact("a", routing.AtHospital, 2900))).Options, 1)
}

// The hospital's clock runs from the pre-alert: surgeon, theatre and the road
// vehicle to the pad.
func TestAlerted(t *testing.T) {
	pad := `"pad":{"lit":true,"vehicle_needed":true,"to_door":{"typical_s":150,"slow_s":150},"shuttle_call":{"typical_s":4000,"slow_s":4000}}`
	e := toy().facility("h", "hospital", place(0, 60_000), centre+","+onCallSurgeon+","+pad).
		facility("b", "base", place(180, 30_000), "").asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t)
	before := shapeOf(t, ask(t, e), routing.ByAir)
	assert.InDelta(t, 4060+150+170, before.Total.TypicalS, tolS)
	o := shapeOf(t, ask(t, e, later(700, fact("x", routing.Lifted, 300), fact("", routing.Alerted, 60))), routing.ByAir)
	assert.Zero(t, step(t, o, "pre_alert").EndS)
	assert.InDelta(t, 4000-640, step(t, o, "shuttle").EndS, tolS)
	assert.InDelta(t, 1500-640, step(t, o, "call_in").EndS, tolS)
	assert.InDelta(t, 900-640, step(t, o, "theatre").EndS, tolS)
	assert.InDelta(t, before.Total.TypicalS-700, o.Total.TypicalS, tolS)

	// Landed at 2260 and unloaded at 2370, the patient waits for the vehicle,
	// which comes at 4060: 140 later they are all but at the door.
	landed := []routing.Fact{fact("x", routing.AtHospital, 2260), fact("", routing.Alerted, 60)}
	o = shapeOf(t, ask(t, e, later(3000, landed...)), routing.ByAir)
	assert.InDelta(t, before.Total.TypicalS-3000, o.Total.TypicalS, tolS)
	o = shapeOf(t, ask(t, e, later(4200, landed...)), routing.ByAir)
	assert.InDelta(t, 10, step(t, o, "pad_to_door").EndS, tolS)
	assert.InDelta(t, before.Total.TypicalS-4200, o.Total.TypicalS, tolS)
}

// Fuel that has been flown off is gone: 1000 of flight to come and 110, with
// 1200 in reserve, beside 670 that were flown.
func TestFlownFuelIsGone(t *testing.T) {
	build := func(endurance int) *routing.Engine {
		return toy().facility("h", "hospital", place(0, 60_000), centre+","+residentSurgeon+","+`"pad":{"lit":true,"fuel":true}`).facility("b", "base", place(180, 30_000), "").
			asset("x", "helicopter", fmt.Sprintf(`"base":"b","endurance_s":%d`, endurance)).engine(t)
	}
	facts := later(2000, fact("x", routing.Lifted, 300), fact("x", routing.Arrived, 970), fact("x", routing.LeftScene, 2000))
	assert.Empty(t, codes(ask(t, build(2981), facts), "x", "h"), "2980 of it")
	assert.Equal(t, []routing.ReasonCode{routing.ReasonBeyondEndurance}, codes(ask(t, build(2979), facts), "x", "h"), "a second short")
	fuel := 140 + 1110 + 1201.0 // a second to spare, with the engine started again
	stated := func(q *routing.Question) {
		q.Assets.States = []routing.StateChange{{Asset: "x", State: routing.AtScene, FuelS: &fuel}}
	}
	assert.Empty(t, codes(ask(t, build(2979), later(2000, fact("x", routing.Lifted, 300), fact("x", routing.Arrived, 970)), stated), "x", "h"),
		"what is left is stated: nothing is taken off it")
}

// A fact that equals the estimate leaves the time where it was and makes it
// surer.
func TestFactsNarrowTheSpread(t *testing.T) {
	for seed := range uint64(25) {
		random := rand.New(rand.NewPCG(seed, 5))
		f := toy().withSpread().hospital("h", place(random.Float64()*360, 20_000+random.Float64()*80_000)).
			facility("b", "base", place(random.Float64()*360, 10_000+random.Float64()*40_000), "")
		kind, id := "ambulance", "road:x:h"
		if seed%2 == 0 {
			kind, id = "helicopter", "air:x:h"
		}
		e := f.asset("x", kind, `"base":"b"`+map[string]string{"helicopter": `,"rotors_turning":true`}[kind]).engine(t)
		nothing := func(q *routing.Question) {
			q.Patient.ReadyIn, q.Scene.Carry = &facilities.Timing{}, &facilities.Timing{}
		}
		before := option(t, ask(t, e, nothing), id)
		at := func(activity string) float64 { return step(t, before, activity).StartS }
		alerted := fact("", routing.Alerted, step(t, before, "pre_alert").EndS)
		width := before.Spread.P90S - before.Spread.P10S
		var facts []routing.Fact
		for _, next := range []struct {
			event routing.Event
			s     float64
		}{
			{routing.Lifted, at("travel_to_scene")}, {routing.Arrived, step(t, before, "travel_to_scene").EndS},
			{routing.PatientLoaded, step(t, before, "load").EndS}, {routing.LeftScene, at("travel_to_hospital")},
			{routing.AtHospital, at("unload")}, {routing.HandedOver, step(t, before, "handover").EndS},
		} {
			facts = append(facts, fact("x", next.event, next.s))
			now := later(next.s, facts...)
			if next.s >= alerted.At.Sub(noon).Seconds() {
				now = later(next.s, append(facts, alerted)...)
			}
			o := option(t, ask(t, e, nothing, now), id)
			assert.InDelta(t, before.Total.TypicalS-next.s, o.Total.TypicalS, 0.05, "seed %d, %s", seed, next.event)
			got := o.Spread.P90S - o.Spread.P10S
			assert.LessOrEqual(t, got, width*1.01+0.01, "seed %d, %s", seed, next.event)
			width = got
		}
		assert.InDelta(t, 0, width, 0.01, "seed %d: nothing is left to vary", seed)
	}
}

// The search by bounds finds what trying everything finds, with facts too.
func TestSearchWithFactsAgainstBruteForce(t *testing.T) {
	for seed := range uint64(150) {
		random := rand.New(rand.NewPCG(seed, 6))
		e := crowd(random, 3+random.IntN(6), 2+random.IntN(5), random.IntN(6), 40_000+random.Float64()*100_000).engine(t)
		q := question()
		q.Scene.Landing = []routing.Landing{routing.LandingPossible, routing.LandingImpossible}[random.IntN(2)]
		q.At = atS(1800)
		carried := false
		for _, a := range e.Fleet.Assets() {
			ago := random.Float64() * 1700
			switch n := random.IntN(6); {
			case n == 0:
				q.Facts = append(q.Facts, fact(a.ID, routing.Lifted, 1800-ago))
			case n == 1:
				q.Facts = append(q.Facts, fact(a.ID, routing.Arrived, 1800-ago))
			case n == 2 && a.Kind != routing.Aeroplane && a.Carries() && !carried:
				carried = true
				q.Facts = append(q.Facts, fact(a.ID, []routing.Event{routing.PatientLoaded, routing.LeftScene}[random.IntN(2)], 1800-ago))
				if random.IntN(2) == 0 {
					at := place(random.Float64()*360, random.Float64()*30_000)
					q.Assets.States = append(q.Assets.States, routing.StateChange{Asset: a.ID, State: routing.Moving, Position: &at})
				}
			}
		}
		ans, err := e.Options(t.Context(), q)
		require.NoError(t, err)
		brute, err := e.Naive(q)
		require.NoError(t, err)
		require.Equal(t, ids(brute), ids(ans.Options), "seed %d", seed)
		for i := range brute {
			assert.InDelta(t, brute[i].Total.TypicalS, ans.Options[i].Total.TypicalS, 1e-6, "seed %d, rank %d", seed, i+1)
		}
	}
}

func TestFactFaults(t *testing.T) {
	e := airOrRoad().facility("field", "airfield", place(90, 5_000), `"runway_m":1200`).hospital("k", place(0, 70_000)).
		asset("c", "response_car", `"base":"b"`).asset("p", "aeroplane", `"base":"field"`).engine(t)
	at := place(0, 1_000)
	for _, row := range []struct {
		name     string
		facts    []routing.Fact
		state    routing.StateChange
		pointers []string
	}{
		{"in the future", []routing.Fact{fact("x", routing.Lifted, 3601)}, routing.StateChange{}, []string{"/happened/0/at"}},
		{"yesterday", []routing.Fact{fact("x", routing.Lifted, 3599-86400)}, routing.StateChange{}, []string{"/happened/0/at"}},
		{"at no time", []routing.Fact{{Asset: "x", Event: routing.Lifted}}, routing.StateChange{}, []string{"/happened/0/at"}},
		{"unknown asset", []routing.Fact{fact("y", routing.Lifted, 0)}, routing.StateChange{}, []string{"/happened/0/asset"}},
		{"unknown event", []routing.Fact{fact("x", "landed", 0)}, routing.StateChange{}, []string{"/happened/0/event"}},
		{"out of order", []routing.Fact{fact("x", routing.Arrived, 100), fact("x", routing.Lifted, 200)}, routing.StateChange{}, []string{"/happened/0/at"}},
		{"twice", []routing.Fact{fact("x", routing.Lifted, 100), fact("x", routing.Lifted, 100)}, routing.StateChange{}, []string{"/happened/1/event"}},
		{"on two assets", []routing.Fact{fact("x", routing.PatientLoaded, 100), fact("a", routing.LeftScene, 200)}, routing.StateChange{}, []string{"/happened/1/asset"}},
		{"on a car", []routing.Fact{fact("c", routing.PatientLoaded, 100)}, routing.StateChange{}, []string{"/happened/0/asset"}},
		{"on an aeroplane", []routing.Fact{fact("p", routing.PatientLoaded, 100)}, routing.StateChange{}, []string{"/happened/0/asset"}},
		{"at no hospital", []routing.Fact{{Asset: "x", Event: routing.AtHospital, At: noon}}, routing.StateChange{}, []string{"/happened/0/facility"}},
		{"at a base", []routing.Fact{{Asset: "x", Event: routing.AtHospital, At: noon, Facility: "b"}}, routing.StateChange{}, []string{"/happened/0/facility"}},
		{"nowhere known", []routing.Fact{{Asset: "x", Event: routing.AtHospital, At: noon, Facility: "z"}}, routing.StateChange{}, []string{"/happened/0/facility"}},
		{"at two hospitals", []routing.Fact{fact("x", routing.AtHospital, 0), {Asset: "x", Event: routing.HandedOver, At: noon, Facility: "k"}},
			routing.StateChange{}, []string{"/happened/1/facility"}},
		{"lifted at a hospital", []routing.Fact{{Asset: "x", Event: routing.Lifted, At: noon, Facility: "h"}}, routing.StateChange{}, []string{"/happened/0/facility"}},
		{"alerted by an asset", []routing.Fact{{Asset: "x", Event: routing.Alerted, At: noon, Facility: "h"}}, routing.StateChange{}, []string{"/happened/0/asset"}},
		{"alerted twice", []routing.Fact{fact("", routing.Alerted, 0), fact("", routing.Alerted, 1)}, routing.StateChange{}, []string{"/happened/1/event"}},
		{"stated at its base", []routing.Fact{fact("x", routing.Lifted, 0)}, routing.StateChange{Asset: "x", State: routing.AtBase}, []string{"/happened/0/event"}},
		{"stated as committed", []routing.Fact{fact("x", routing.Arrived, 0)}, routing.StateChange{Asset: "x", State: routing.Committed}, []string{"/happened/0/event"}},
		{"stated at the scene", []routing.Fact{fact("x", routing.LeftScene, 0)}, routing.StateChange{Asset: "x", State: routing.AtScene}, []string{"/happened/0/event"}},
		{"stated as moving", []routing.Fact{fact("x", routing.Arrived, 0)}, routing.StateChange{Asset: "x", State: routing.Moving, Position: &at}, []string{"/happened/0/event"}},
		{"all at once", []routing.Fact{fact("y", "landed", 0), fact("y", routing.Lifted, 9999)}, routing.StateChange{}, []string{"/happened/0/event", "/happened/1/at", "/happened/1/asset"}},
		{"nothing wrong", []routing.Fact{fact("x", routing.Lifted, 100), fact("x", routing.Arrived, 100), fact("a", routing.Lifted, 0), fact("", routing.Alerted, 5),
			{Event: routing.Alerted, At: noon, Facility: "k"}}, routing.StateChange{}, nil},
	} {
		q := question()
		later(3600, row.facts...)(&q)
		if row.state.Asset != "" {
			q.Assets.States = []routing.StateChange{row.state}
		}
		var pointers []string
		if bad := (*routing.QuestionError)(nil); errors.As(e.Check(q), &bad) {
			for _, f := range bad.Faults {
				pointers = append(pointers, f.Pointer)
				assert.NotEmpty(t, f.Detail)
			}
		}
		assert.Equal(t, row.pointers, pointers, row.name)
	}
}

func TestTimesSinceThePatientsEvents(t *testing.T) {
	e := airOrRoad().engine(t)
	lost, regained := atS(-600), atS(-240)
	o := ask(t, e, func(q *routing.Question) { q.OutputLostAt, q.OutputRegainedAt = &lost, &regained }).Options[0]
	require.NotNil(t, o.SinceLost)
	require.NotNil(t, o.SinceRegained)
	assert.InDelta(t, 2690+600, o.SinceLost.TypicalS, tolS)
	assert.InDelta(t, 2690+240, o.SinceRegained.TypicalS, tolS)
	assert.InDelta(t, o.Total.SlowS+600, o.SinceLost.SlowS, tolS)
	assert.InDelta(t, o.Total.SlowS+240, o.SinceRegained.SlowS, tolS)
	assert.Nil(t, ask(t, e).Options[0].SinceLost, "not stated")
	for _, bad := range []time.Time{atS(1), atS(-86401)} {
		q := question()
		q.OutputLostAt, q.OutputRegainedAt = &bad, &bad
		err := e.Check(q)
		require.Error(t, err)
		assert.Contains(t, err.Error(), "/output_lost_at")
		assert.Contains(t, err.Error(), "/output_regained_at")
	}
}

// Whatever is said to have happened is either refused or answered: no panic,
// no time before now, chances that add up.
func TestAnyFacts(t *testing.T) {
	answered := 0
	for seed := range uint64(80) {
		random := rand.New(rand.NewPCG(seed, 7))
		e := crowd(random, 3+random.IntN(5), 2+random.IntN(5), random.IntN(6), 90_000).withSpread().engine(t)
		q := question()
		q.At, q.Limit, q.RankBySlow = atS(3600), 5, random.IntN(2) == 0
		events := []routing.Event{routing.Lifted, routing.Arrived, routing.PatientLoaded, routing.LeftScene, routing.AtHospital, routing.HandedOver, routing.Alerted}
		assets := e.Fleet.Assets()
		asset := assets[random.IntN(len(assets))].ID
		first := random.IntN(3)
		for i, event := range events[first : first+1+random.IntN(len(events)-first)] {
			f := fact(asset, event, float64(600*i)+random.Float64()*600)
			if event == routing.Alerted {
				f.Asset = ""
			}
			if f.Facility != "" {
				f.Facility = fmt.Sprintf("h%02d", random.IntN(3))
			}
			q.Facts = append(q.Facts, f)
		}
		ans, err := e.Options(t.Context(), q)
		if err != nil {
			require.ErrorAs(t, err, new(*routing.QuestionError))
			continue
		}
		answered++
		sum := ans.QuickestOther
		for _, o := range ans.Options {
			sum += o.Spread.Quickest
			assert.NotEmpty(t, o.HeldUpBy)
			for _, s := range o.Plan {
				assert.True(t, s.StartS >= 0 && s.EndS >= s.StartS && s.SlackS >= 0, "seed %d, %+v", seed, s)
			}
		}
		if ans.Found > 0 {
			assert.InDelta(t, 1, sum, 1e-9)
		}
	}
	assert.Greater(t, answered, 15)
}

func TestTooManyFacts(t *testing.T) {
	q := question()
	q.Facts = make([]routing.Fact, 501)
	err := airOrRoad().engine(t).Check(q)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "/happened: has 501, over the limit of 500")
}
