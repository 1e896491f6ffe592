package routing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/routing"
)

// Source of every number in this file: identity. The toy region's figures are
// added by hand in the comment beside each.

func shapeOf(t testing.TB, ans routing.Answer, shape routing.Shape) routing.Option {
	t.Helper()
	for _, o := range ans.Options {
		if o.Shape == shape {
			return o
		}
	}
	require.Failf(t, "no such option", "none is %s", shape)
	return routing.Option{}
}

func TestRendezvousWhoeverIsFirstWaits(t *testing.T) {
	e := toy().hospital("h", place(0, 90_000)).
		facility("site", "landing_site", place(0, 20_000), `"lit":true,"road_access":true`).
		facility("b", "base", place(0, 50_000), "").
		asset("a", "ambulance", `"state":"at_scene"`).
		asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t)
	ans := ask(t, e, func(q *routing.Question) { q.Scene.Landing = routing.LandingImpossible })
	o := shapeOf(t, ans, routing.Rendezvous)
	// ambulance: loaded at 820, 20 km in 1020, unloaded at 1890. Helicopter:
	// mobilise 300, 30 km in 500 + 40 + 70: there at 910, waits 980. Load 180,
	// 70 km 1166.67 + 40 + 70, unload 110, pad 150, handover 170.
	assert.InDelta(t, 1840, step(t, o, "travel_to_meeting").EndS, tolS)
	assert.InDelta(t, 1890, step(t, o, "meeting_unload").EndS, tolS)
	assert.InDelta(t, 910, step(t, o, "meeting_travel_to_scene").EndS, tolS)
	wait := step(t, o, "wait_after_meeting_travel_to_scene")
	assert.Equal(t, "x", wait.Asset)
	assert.InDelta(t, 980, wait.EndS-wait.StartS, tolS)
	assert.InDelta(t, 1890+180+70_000/60.0+110+110+150+170, o.Total.TypicalS, tolS)
	assert.Equal(t, 1, o.Transfers)
	assert.Equal(t, []string{"a", "x"}, o.Assets)
	assert.Equal(t, "the patient being made ready and carried", o.HeldUpBy)
}

func TestRendezvousAtANearerHospitalsPad(t *testing.T) {
	e := toy().hospital("h", place(0, 90_000)).
		facility("near", "hospital", place(0, 10_000), litPad).
		facility("b", "base", place(0, 50_000), "").
		asset("a", "ambulance", `"state":"at_scene"`).asset("x", "helicopter", `"base":"b"`).engine(t)
	ans := ask(t, e, func(q *routing.Question) { q.Scene.Landing = routing.LandingImpossible })
	assert.Equal(t, "rendezvous:a+x:near:h", shapeOf(t, ans, routing.Rendezvous).ID)
}

func TestAeroplane(t *testing.T) {
	e := toy().facility("h", "hospital", place(0, 250_000), centre+","+residentSurgeon).
		facility("near-field", "airfield", place(0, 10_000), `"runway_m":1200,"lit":true`).
		facility("far-field", "airfield", place(0, 230_000), `"runway_m":1200,"lit":true`).
		facility("short-field", "airfield", place(0, 245_000), `"runway_m":600,"lit":true`).
		facility("b", "base", place(0, 231_000), "").
		asset("a", "ambulance", `"state":"at_scene"`).asset("a2", "ambulance", `"base":"b"`).
		asset("p", "aeroplane", `"base":"near-field","cruise_kt":200,"runway_m":900`).engine(t)
	o := shapeOf(t, ask(t, e), routing.ByAeroplane)
	// loaded 820, 10 km 520, unload 50: 1390; the aeroplane stands there from
	// 1200. Load 240, 220 km at 200 kt 2138.23 + 300 + 400, unload 210; the far
	// ambulance has long been there. Load 100, 20 km 1020, unload 50, handover 170.
	flight := 220_000 / (200 * 1852.0 / 3600)
	assert.InDelta(t, 1390+240+flight+700+210+100+1020+50+170, o.Total.TypicalS, 0.1)
	assert.Equal(t, []string{"a", "p", "a2"}, o.Assets)
	assert.Equal(t, 2, o.Transfers)
	assert.Equal(t, "aeroplane:a+p+a2:near-field:far-field:h", o.ID)
	for _, s := range o.Plan {
		assert.NotEqual(t, "meeting_travel_to_scene", s.ID, "it is based there: no flight to itself")
	}
}

func TestViaANearerHospital(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).
		facility("near", "hospital", place(0, 20_000), `"capabilities":["blood_bank"]`).
		asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	o := shapeOf(t, ask(t, e), routing.ViaHospital)
	// loaded 820, 20 km 1020, unload 50, stop 800, load 100, 40 km 2020, 50, 170.
	assert.InDelta(t, 820+1020+50+800+100+2020+50+170, o.Total.TypicalS, tolS)
	assert.Equal(t, 0, o.Transfers, "the same ambulance goes on")
	longer := ask(t, e, func(q *routing.Question) { q.Patient.Stop = &facilities.Timing{TypicalS: 1000, SlowS: 1200} })
	assert.InDelta(t, 200, shapeOf(t, longer, routing.ViaHospital).Total.TypicalS-o.Total.TypicalS, tolS)
}

func TestViaWithAHelicopterFromThere(t *testing.T) {
	e := toy().hospital("h", place(0, 120_000)).
		facility("near", "hospital", place(0, 10_000), `"capabilities":["trauma_surgery"],`+litPad).
		facility("b", "base", place(0, 60_000), "").
		asset("a", "ambulance", `"state":"at_scene"`).
		asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t)
	ans := ask(t, e, func(q *routing.Question) { q.Scene.Landing = routing.LandingImpossible })
	var o routing.Option
	for _, each := range ans.Options {
		if each.Shape == routing.ViaHospital && each.Transfers == 1 {
			o = each
		}
	}
	// loaded 820, 10 km 520, unload 50, stop 800: 2190, door to pad 150; the
	// helicopter is there long before. Load 180, 110 km 1833.33 + 110, 110, 150, 170.
	require.Equal(t, "via_hospital:a+x:near:h", o.ID)
	assert.InDelta(t, 2190+150+180+110_000/60.0+110+110+150+170, o.Total.TypicalS, tolS)
}

func TestTheSurgeonTravels(t *testing.T) {
	e := toy().hospital("centre", place(0, 80_000)).
		facility("near", "hospital", place(180, 10_000), `"capabilities":["visiting_surgical_team"],`+litPad).
		facility("b", "base", place(0, 81_000), "").
		asset("a", "ambulance", `"state":"at_scene"`).
		asset("x", "helicopter", `"base":"b","rotors_turning":true,"escort_seats":2`).engine(t)
	o := shapeOf(t, ask(t, e), routing.SurgeonTravels)
	assert.Equal(t, "near", o.Destination.ID)
	// the patient: 820, 10 km 520, 50, 170: handed over at 1560. The team: asked
	// 60, ready 600, to the pad 150: 810; the helicopter 300, 1 km 16.67 + 110:
	// there at 426.67. Board 65, 90 km 1500 + 110, alight 55, to the door 150,
	// scrub 310.
	assert.InDelta(t, 1560, step(t, o, "handover").EndS, tolS)
	assert.InDelta(t, 810+65+1610+55+150+310, o.Total.TypicalS, tolS)
	assert.True(t, step(t, o, "team_scrub").Critical)
	assert.Equal(t, "the surgical team getting ready", o.HeldUpBy)
	assert.Equal(t, []string{"a", "x"}, o.Assets)
}

func TestTeamNeedsSeats(t *testing.T) {
	e := toy().hospital("centre", place(0, 80_000)).
		facility("near", "hospital", place(180, 10_000), `"capabilities":["visiting_surgical_team"]`).
		asset("a", "ambulance", `"state":"at_scene"`).asset("c", "response_car", `"state":"at_scene","escort_seats":1`).engine(t)
	assert.Equal(t, []routing.ReasonCode{routing.ReasonNoSeats}, codesOf(ask(t, e), "c", "near", routing.SurgeonTravels))
}

func TestWinchReplacesCarryAndLanding(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").
		asset("x", "helicopter", `"base":"b","skills":["winch"]`).engine(t)
	cliff := func(q *routing.Question) {
		q.Scene.Landing, q.Scene.Winch = routing.LandingImpossible, true
		q.Scene.Carry = &facilities.Timing{TypicalS: 3000, SlowS: 4000}
	}
	o := ask(t, e, cliff).Options[0]
	// there at 970 (as by day from its base), winch 500, load with rotors
	// turning 180, no engine start: 1110; rotors stopped at the hospital 130.
	assert.InDelta(t, 970+500+180+1110+130+150+170, o.Total.TypicalS, tolS)
	assert.Equal(t, []routing.ReasonCode{routing.ReasonNoLanding},
		codes(ask(t, e, cliff, func(q *routing.Question) { q.Scene.Winch = false }), "x", "h"))
}

func TestCarryAsADistance(t *testing.T) {
	e := toy().hospital("h", place(0, 30_000)).asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	o := ask(t, e, func(q *routing.Question) { q.Scene.CarryM = 350 }).Options[0]
	carry := step(t, o, "carry")
	assert.InDelta(t, 350/e.Settings.CarryMS, carry.EndS-carry.StartS, tolS)
	assert.InDelta(t, 350, carry.DistanceM, tolS)
}

func TestShuttleThatMustBeCalled(t *testing.T) {
	pad := `"pad":{"lit":true,"vehicle_needed":true,"to_door":{"typical_s":150,"slow_s":150},"shuttle_call":{"typical_s":4000,"slow_s":4000}}`
	e := toy().facility("h", "hospital", place(0, 60_000), centre+","+residentSurgeon+","+pad).
		facility("b", "base", place(180, 30_000), "").asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t)
	o := shapeOf(t, ask(t, e), routing.ByAir)
	// called with the pre-alert, after 60; it comes at 4060, the patient waits for it.
	assert.InDelta(t, 4060, step(t, o, "shuttle").EndS, tolS)
	assert.InDelta(t, 4060+150+170, o.Total.TypicalS, tolS)
	assert.Equal(t, "the road vehicle to the pad", o.HeldUpBy)
}

func TestOneAircraftAtATime(t *testing.T) {
	occupied := `"pad":{"lit":true,"occupied":{"until":"2031-06-10T15:00:00Z"}}`
	e := toy().facility("h", "hospital", place(0, 60_000), centre+","+residentSurgeon+","+occupied).
		facility("b", "base", place(180, 30_000), "").asset("x", "helicopter", `"base":"b"`).engine(t)
	assert.Equal(t, []routing.ReasonCode{routing.ReasonLandingOccupied}, codes(ask(t, e), "x", "h"))
	later := ask(t, e, func(q *routing.Question) { q.At = noon.Add(3600e9) })
	assert.Empty(t, codes(later, "x", "h"))
}

// Two helicopters do not land beside one patient: the second cannot bring the
// escort for the first.
func TestNoSecondHelicopterAsEscort(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").
		asset("x", "helicopter", `"base":"b","escort_seats":1`).
		asset("y", "helicopter", `"base":"b","skills":["physician"]`).engine(t)
	ans := ask(t, e, func(q *routing.Question) { q.Patient.Escort = "physician" })
	assert.Equal(t, []routing.ReasonCode{routing.ReasonNoEscort}, codes(ans, "x", "h"))
}
