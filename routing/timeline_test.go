package routing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

const tolS = 0.01 // seconds: positions are written with nine decimals

// Source of every number in this file: identity. The toy region's figures are
// added by hand in the comment beside each.

func TestRoadWithTheAmbulanceAtTheScene(t *testing.T) {
	e := toy().hospital("h", place(0, 30_000)).asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	ans := ask(t, e)
	require.Len(t, ans.Options, 1)
	o := ans.Options[0]
	// package 600, carry 120, load 100; 30 km at 20 m/s and 20 s to get there
	// 1520; unload 50, handover 170. Theatre 60 + 900 is ready long before.
	assert.InDelta(t, 600, step(t, o, "package").EndS, tolS)
	assert.InDelta(t, 720, step(t, o, "carry").EndS, tolS)
	assert.InDelta(t, 820, step(t, o, "load").EndS, tolS)
	leg := step(t, o, "travel_to_hospital")
	assert.InDelta(t, 1520, leg.EndS-leg.StartS, tolS)
	assert.InDelta(t, 30_000, leg.DistanceM, tolS)
	assert.InDelta(t, 2340+50+170, o.Total.TypicalS, tolS)
	theatre := step(t, o, "theatre")
	assert.InDelta(t, 960, theatre.EndS, tolS)
	assert.InDelta(t, 2560-960, theatre.SlackS, tolS)
	assert.False(t, theatre.Critical)
	assert.Equal(t, noon.Add(820e9), o.LeaveScene)
	assert.WithinDuration(t, noon.Add(2560e9), o.WithSurgeon, 20e6)
	wait := step(t, o, "wait_after_theatre")
	assert.InDelta(t, 1600, wait.EndS-wait.StartS, tolS, "surgeon and theatre wait for the patient")
}

func TestRoadWithTheAmbulanceComing(t *testing.T) {
	e := toy().hospital("h", place(0, 30_000)).facility("b", "base", place(180, 20_000), "").
		asset("a", "ambulance", `"base":"b"`).engine(t)
	o := ask(t, e).Options[0]
	// mobilise 90, 20 km in 1020: there at 1110; patient carried at 720 waits
	// 390; load 100, 1520, 50, 170.
	assert.InDelta(t, 1110, step(t, o, "travel_to_scene").EndS, tolS)
	wait := step(t, o, "wait_after_carry")
	assert.Equal(t, routing.LanePatient, wait.Lane)
	assert.InDelta(t, 390, wait.EndS-wait.StartS, tolS)
	assert.InDelta(t, 1110+100+1520+50+170, o.Total.TypicalS, tolS)
	assert.InDelta(t, 390, step(t, o, "package").SlackS, tolS)
	assert.True(t, step(t, o, "mobilise").Critical)
	assert.Equal(t, "the a reaching the scene", o.HeldUpBy)
}

func TestAirFromItsBase(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").
		asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t)
	o := ask(t, e).Options[0]
	// mobilise 300; 30 km at 60 m/s 500 + 40 + 130: there at 970; load with
	// rotors turning 180; 60 km 1000 + 40 + 70; unload 110, pad to door 150,
	// handover 170.
	assert.InDelta(t, 970, step(t, o, "travel_to_scene").EndS, tolS)
	assert.InDelta(t, 970+180+1110+110+150+170, o.Total.TypicalS, tolS)
	assert.Equal(t, routing.ByAir, o.Shape)
}

func TestAirWithRotorsStopped(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").
		asset("x", "helicopter", `"base":"b"`).engine(t)
	// as above, but load 300, engine start 140 before the second leg, unload 130.
	assert.InDelta(t, 970+300+140+1110+130+150+170, ask(t, e).Options[0].Total.TypicalS, tolS)
}

func TestOnCallSurgeonSetsThePace(t *testing.T) {
	e := toy().facility("h", "hospital", place(0, 5_000), centre+","+onCallSurgeon).
		asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	o := ask(t, e).Options[0]
	// the patient is handed over at 820 + 270 + 220 = 1310; the surgeon, called
	// at 60, is ready at 1560.
	assert.InDelta(t, 1310, step(t, o, "handover").EndS, tolS)
	assert.InDelta(t, 1560, o.Total.TypicalS, tolS)
	assert.InDelta(t, 250, step(t, o, "handover").SlackS, tolS)
	assert.True(t, step(t, o, "call_in").Critical)
	assert.Equal(t, "the surgeon's call-in", o.HeldUpBy)
	assert.Equal(t, routing.LanePatient, step(t, o, "wait_after_handover").Lane, "the patient waits for the surgeon")
}

func TestSurgeonWhoseHoursBeginSoon(t *testing.T) {
	surgeons := `"surgeons":{"cardiothoracic_surgery":{"otherwise":{"presence":"on_call"},
		"weekly":[{"days":["tue"],"from":"14:10","to":"18:00","presence":"resident"}]}}`
	e := toy().facility("h", "hospital", place(0, 5_000), centre+","+surgeons).
		asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	o := ask(t, e).Options[0] // noon is a Tuesday, 14:00
	assert.InDelta(t, 600, step(t, o, "call_in").EndS, tolS, "in the hospital from 14:10 anyway")
	assert.InDelta(t, 1310, o.Total.TypicalS, tolS)
}

func TestNightMobilisation(t *testing.T) {
	e := toy().hospital("h", place(0, 30_000)).facility("b", "base", place(180, 20_000), "").
		asset("a", "ambulance", `"base":"b"`).engine(t)
	assert.InDelta(t, 30, ask(t, e, byNight).Options[0].Total.TypicalS-ask(t, e).Options[0].Total.TypicalS, tolS,
		"120 s by night, 90 s by day, on the critical path")
}

func TestCommittedAndMoving(t *testing.T) {
	f := toy().hospital("h", place(0, 30_000)).facility("b", "base", place(180, 20_000), "")
	f.asset("a", "ambulance", `"base":"b"`)
	e := f.engine(t)
	at := place(180, 10_000)
	state := func(s routing.StateChange) func(*routing.Question) {
		return func(q *routing.Question) { q.Assets.States = []routing.StateChange{s} }
	}
	moving := ask(t, e, state(routing.StateChange{Asset: "a", State: routing.Moving, Position: &at})).Options[0]
	assert.InDelta(t, 520, step(t, moving, "travel_to_scene").EndS, tolS, "no mobilisation, 10 km")
	free := ask(t, e, state(routing.StateChange{Asset: "a", State: routing.Committed, Position: &at, FreeAt: noon.Add(900e9)})).Options[0]
	assert.InDelta(t, 900+520, step(t, free, "travel_to_scene").EndS, tolS, "free where it is")
	home := ask(t, e, state(routing.StateChange{Asset: "a", State: routing.Committed, FreeAt: noon.Add(900e9)})).Options[0]
	assert.InDelta(t, 900+90+1020, step(t, home, "travel_to_scene").EndS, tolS, "free at its base, mobilises again")
	unknown := ask(t, e, state(routing.StateChange{Asset: "a", State: routing.Committed}))
	assert.Equal(t, []routing.ReasonCode{routing.ReasonCommitted}, codes(unknown, "a", "h"))
}

func TestEscort(t *testing.T) {
	base := func() *fixture {
		return toy().hospital("h", place(0, 30_000)).facility("b", "base", place(180, 20_000), "").
			asset("car", "response_car", `"base":"b","skills":["physician"]`)
	}
	withPhysician := func(q *routing.Question) { q.Patient.Escort = "physician" }

	e := base().asset("a", "ambulance", `"state":"at_scene","escort_seats":1`).engine(t)
	o := ask(t, e, withPhysician).Options[0]
	// the car: mobilise 60, 1020: there at 1080, takes its seats in 30; load waits for it.
	assert.InDelta(t, 1080, step(t, o, "escort_travel_to_scene").EndS, tolS)
	assert.InDelta(t, 1110+100+1520+50+170, o.Total.TypicalS, tolS)
	assert.Equal(t, []string{"a", "car"}, o.Assets)
	assert.Equal(t, "the escort, the car, reaching the scene", o.HeldUpBy)
	assert.InDelta(t, 2560, ask(t, e).Options[0].Total.TypicalS, tolS, "nobody asked for one: no wait")

	e = base().asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	assert.Equal(t, []routing.ReasonCode{routing.ReasonNoSeat}, codes(ask(t, e, withPhysician), "a", "h"))

	e = base().asset("a", "ambulance", `"state":"at_scene","skills":["physician"]`).engine(t)
	assert.Equal(t, []string{"a"}, ask(t, e, withPhysician).Options[0].Assets, "the own crew is enough")

	e = base().asset("a", "ambulance", `"state":"at_scene","escort_seats":1`).engine(t)
	alone := ask(t, e, withPhysician, func(q *routing.Question) { q.Assets.Only = []string{"a"} })
	assert.Equal(t, []routing.ReasonCode{routing.ReasonNoEscort}, codes(alone, "a", "h"))
}

func TestCarryToALandingSite(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").
		facility("near", "landing_site", place(90, 400), `"lit":true`).
		facility("nearer", "landing_site", place(270, 200), `"lit":true,"max_d_value_m":10`).
		asset("x", "helicopter", `"base":"b","rotors_turning":true,"d_value_m":13`).engine(t)
	impossible := func(q *routing.Question) { q.Scene.Landing = routing.LandingImpossible }
	o := ask(t, e, impossible).Options[0]
	carry := step(t, o, "carry")
	assert.InDelta(t, 400, carry.DistanceM, 0.01, "the nearer site is too small for it")
	assert.InDelta(t, 120+400/e.Settings.CarryMS, carry.EndS-carry.StartS, tolS)
	assert.InDelta(t, 70+40, step(t, o, "travel_to_scene").Timing.TypicalS-step(t, o, "travel_to_scene").DistanceM/60, tolS,
		"a known site needs no reconnaissance from the air")
}

func TestTransferFromAHospital(t *testing.T) {
	e := toy().facility("from", "hospital", scene, `"pad":{"lit":true,"to_door":{"typical_s":200,"slow_s":200}}`).
		hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").
		asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t)
	ans := ask(t, e, func(q *routing.Question) { q.Scene = routing.Scene{Facility: "from"} })
	o := ans.Options[0]
	assert.Equal(t, scene[1], ans.Scene.Position[1])
	assert.InDelta(t, 800, step(t, o, "door_to_pad").EndS, tolS, "package 600, door to pad 200")
	for _, n := range ans.NotPossible {
		assert.NotEqual(t, "from", n.Destination, "the patient is already there")
	}
}

func TestChild(t *testing.T) {
	e := toy().hospital("adults", place(0, 10_000)).
		facility("children", "hospital", place(0, 30_000), `"capabilities":["paediatric_cardiothoracic_surgery"],
			"surgeons":{"paediatric_cardiothoracic_surgery":{"otherwise":{"presence":"resident"}}}`).
		asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	for _, row := range []struct {
		name, want string
		age        float64
	}{{"child", "children", 15.9}, {"adult from the boundary on", "adults", 16}} {
		ans := ask(t, e, func(q *routing.Question) { q.Patient.AgeYears = &row.age })
		require.Len(t, ans.Options, 1, row.name)
		assert.Equal(t, row.want, ans.Options[0].Destination.ID, row.name)
	}
	unknown := ask(t, e, func(q *routing.Question) { q.Patient.AgeYears = nil })
	assert.Contains(t, unknown.Cautions, "the patient's age is not stated: taken as an adult")
}
