package routing_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/routing"
)

// rich is a region in which every shape is possible.
func rich(t testing.TB) *routing.Engine { return richFixture().engine(t) }

func richFixture() *fixture {
	const guest = `"capabilities":["blood_bank","cardiothoracic_surgery","perfusionist","visiting_surgical_team"],` + onCallSurgeon
	return toy().hospital("resident", place(0, 60_000)).
		facility("called", "hospital", place(20, 40_000), guest+`,"pad":{"lit":true,"vehicle_needed":true}`).
		facility("meadow", "landing_site", place(10, 8_000), `"lit":true,"road_access":true`).
		facility("strip", "airfield", place(90, 12_000), `"lit":true,"runway_m":1500,"fuel":true`).
		facility("field", "airfield", place(0, 55_000), `"lit":true,"runway_m":1500`).
		facility("b", "base", place(180, 20_000), `"fuel":true`).facility("n", "base", place(90, 5_000), "").
		facility("f", "base", place(0, 57_000), "").
		asset("amb", "ambulance", `"base":"n","escort_seats":2`).asset("far", "ambulance", `"base":"f","escort_seats":2`).
		asset("car", "response_car", `"base":"n","skills":["physician"]`).
		asset("heli", "helicopter", `"base":"b","escort_seats":2`).
		asset("plane", "aeroplane", `"base":"strip","escort_seats":2`)
}

// by is the calls' times in seconds by whom and where.
func by(o routing.Option) map[string]float64 {
	out := map[string]float64{}
	for _, c := range routing.Calls(o) {
		out[fmt.Sprintf("%s %s", c.Who, c.Facility.ID)] = c.ByS
	}
	return out
}

func assertBy(t *testing.T, want, got map[string]float64) {
	t.Helper()
	assert.Len(t, got, len(want), "%v", got)
	for who, s := range want {
		if assert.Contains(t, got, who) {
			assert.InDelta(t, s, got[who], tolS, who)
		}
	}
}

// Source of every number: identity, the option's plan by hand. A call takes 60 s.
func TestCallsByRoad(t *testing.T) {
	e := toy().hospital("h", place(0, 30_000)).asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	o := ask(t, e).Options[0]
	// at the door at 2390, with the surgeon at 2560; the theatre takes 900.
	assertBy(t, map[string]float64{"theatre h": 2560 - 900 - 60, "receiving_team h": 2390 - 60, "surgeon h": 2560 - 60}, by(o))
	calls := routing.Calls(o)
	assert.Equal(t, routing.CallTheatre, calls[0].Who, "the most urgent first")
	assert.False(t, calls[0].Now)
	assert.WithinDuration(t, noon.Add(1600*time.Second), calls[0].By, 20*time.Millisecond)
	assert.Equal(t, "by 14:26: have the theatre made ready, with its team and perfusionist (the h)", calls[0].Sentence)
}

func TestCallsToASurgeonAtHome(t *testing.T) {
	e := toy().facility("h", "hospital", place(0, 5_000), `"capabilities":["cardiothoracic_surgery","perfusionist"],`+onCallSurgeon).
		asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	o := ask(t, e).Options[0]
	// the surgeon, called at once, is ready at 1560; the theatre may be as late,
	// and so the perfusionist, whom the hospital lists; at the door at 1140.
	assertBy(t, map[string]float64{"surgeon h": 0, "theatre h": 600, "perfusionist h": 600, "receiving_team h": 1080}, by(o))
	first := routing.Calls(o)[0]
	assert.True(t, first.Now)
	assert.Zero(t, first.LateS)
	assert.Equal(t, "now: call in the surgeon (the h)", first.Sentence)
}

func TestCallsByAirToAPadAwayFromTheDoor(t *testing.T) {
	e := toy().facility("h", "hospital", place(0, 60_000), centre+","+residentSurgeon+`,"pad":{"lit":true,"vehicle_needed":true}`).
		facility("b", "base", place(180, 30_000), "").asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t)
	o := ask(t, e).Options[0]
	// landing at 2260, beside the helicopter at 2370, by vehicle 400 to the door
	// at 2770, handed over at 2940. The vehicle is there 60 + 350 after its call.
	assertBy(t, map[string]float64{"shuttle h": 2370 - 410, "theatre h": 2940 - 960, "pad_guard h": 2260 - 60,
		"receiving_team h": 2770 - 60, "surgeon h": 2940 - 60}, by(o))
}

func TestCallsTooLate(t *testing.T) {
	f := toy().hospital("h", place(0, 100)).asset("a", "ambulance", `"state":"at_scene"`)
	for id, s := range map[string]float64{"package": 0, "carry": 0, "load_ambulance": 5, "unload_ambulance": 5} {
		f.allowances[id] = [2]float64{s, s}
	}
	o := ask(t, f.engine(t)).Options[0]
	// 5 s, 100 m in 2 sqrt(100/1) = 20 s, 5 s: at the door at 30, before a call of
	// 60 s is over.
	for _, c := range routing.Calls(o) {
		if c.Who == routing.CallReceivingTeam {
			assert.True(t, c.Now)
			assert.Zero(t, c.ByS)
			assert.InDelta(t, 30, c.LateS, tolS)
			assert.Contains(t, c.Sentence, "now, and already 3")
			return
		}
	}
	assert.Fail(t, "no call to the receiving team")
}

func TestCallsOfEveryShape(t *testing.T) {
	e := rich(t)
	seen := map[routing.Shape]map[routing.Callee]bool{}
	for _, o := range ask(t, e).Options {
		if seen[o.Shape] == nil {
			seen[o.Shape] = map[routing.Callee]bool{}
		}
		for i, c := range routing.Calls(o) {
			seen[o.Shape][c.Who] = true
			require.NotNil(t, c.Facility, "%s %s", o.ID, c.Who)
			assert.False(t, c.By.Before(noon.Add(-time.Millisecond)), o.ID)
			if i > 0 {
				assert.GreaterOrEqual(t, c.ByS, routing.Calls(o)[i-1].ByS)
			}
		}
	}
	assert.Len(t, seen, 6)
	for shape, who := range seen {
		assert.True(t, who[routing.CallTheatre] && who[routing.CallReceivingTeam], shape)
		assert.Equal(t, shape == routing.SurgeonTravels, who[routing.CallSurgicalTeam], shape)
	}
	assert.False(t, seen[routing.ByRoad][routing.CallPadGuard])
	assert.True(t, seen[routing.ByAir][routing.CallPadGuard])
	assert.Empty(t, routing.Calls(routing.Option{}))
}

func TestCallsToATravellingTeam(t *testing.T) {
	e := toy().facility("near", "hospital", place(0, 20_000), `"capabilities":["cardiothoracic_surgery","visiting_surgical_team"],"surgeons":{"cardiothoracic_surgery":{"otherwise":{"presence":"absent"}}}`).
		facility("home", "hospital", place(0, 40_000), centre+","+onCallSurgeon).facility("v", "base", place(0, 40_000), "").
		asset("amb", "ambulance", `"state":"at_scene"`).asset("van", "ambulance", `"base":"v","escort_seats":2`).engine(t)
	for _, o := range ask(t, e).Options {
		if o.Shape != routing.SurgeonTravels {
			continue
		}
		calls := routing.Calls(o)
		// called 60, in 1500, ready 600, boards 65, 20 km 1020, alights 55, scrubs
		// 310: 3610; the patient is handed over at 820 + 1020 + 50 + 170 = 2060.
		assert.InDelta(t, 3610, o.Total.TypicalS, tolS)
		assertBy(t, map[string]float64{"surgical_team home": 0, "theatre near": 3610 - 960, "receiving_team near": 2060 - 170 - 60}, by(o))
		assert.Equal(t, "now: call in the surgical team, which travels (the home)", calls[0].Sentence)
		return
	}
	assert.Fail(t, "no surgeon travels")
}

// finishWith is the finish of a plan whose activities start no sooner than given.
func finishWith(p routing.Plan, notBefore map[string]float64) float64 {
	ends, last := map[string]float64{}, 0.0
	for _, s := range p {
		if s.Kind == routing.KindWait {
			continue
		}
		start := notBefore[s.ID]
		for _, a := range s.After {
			start = math.Max(start, ends[a])
		}
		ends[s.ID] = start + s.Timing.TypicalS
		last = math.Max(last, ends[s.ID])
	}
	return last
}

// All calls made at their latest times leave the total where it is; made a
// second later, each one that the plan waits for moves it by that second.
func TestCallsAtTheirLatestTimesDoNotDelay(t *testing.T) {
	options := func(t testing.TB, rt *rapid.T) []routing.Option {
		f := richFixture()
		for id, v := range f.allowances {
			s := rapid.Float64Range(0, 2*v[0]).Draw(rt, id)
			if id == "pre_alert" {
				s = rapid.Float64Range(0, 60).Draw(rt, "a call")
			}
			f.allowances[id] = [2]float64{s, s}
		}
		return ask(t, f.engine(t)).Options
	}
	binding := 0
	rapid.Check(t, func(rt *rapid.T) {
		for _, o := range options(t, rt) {
			callS := step(t, o, "pre_alert").Timing.TypicalS
			all := map[string]float64{}
			for _, c := range routing.Calls(o) {
				if c.LateS > 0 {
					continue
				}
				start := c.ByS + callS
				switch c.Who {
				case routing.CallShuttle, routing.CallSurgicalTeam:
					start = c.ByS // the call is part of the activity
				case routing.CallPadGuard:
					continue // holds up the landing, which is the leg's end
				}
				all[c.For] = math.Max(all[c.For], start)
				act := step(t, o, c.For)
				later := finishWith(o.Plan, map[string]float64{c.For: start + 1})
				if c.Who == routing.CallReceivingTeam && !act.Critical {
					continue
				}
				binding++
				assert.InDelta(rt, o.Total.TypicalS+1, later, 2e-3, "%s %s", o.ID, c.Who)
			}
			assert.InDelta(rt, o.Total.TypicalS, finishWith(o.Plan, all), 1e-6, o.ID)
		}
	})
	assert.Positive(t, binding)
}

// A hospital that has been alerted is not called again, but for its pad.
// Source: definition.
func TestCallsAfterTheAlert(t *testing.T) {
	e := toy().facility("h", "hospital", place(0, 60_000), centre+","+onCallSurgeon+`,"pad":{"lit":true,"vehicle_needed":true}`).
		asset("x", "helicopter", `"state":"at_scene","rotors_turning":true`).engine(t)
	alerted := func(hospital string) func(q *routing.Question) {
		return func(q *routing.Question) {
			q.Facts = []routing.Fact{{Event: routing.Alerted, At: noon.Add(-30 * time.Second), Facility: hospital}}
		}
	}
	before, after := by(ask(t, e).Options[0]), by(ask(t, e, alerted("h")).Options[0])
	assert.Len(t, before, 5, "surgeon, theatre, shuttle, receiving team and pad: %v", before)
	assertBy(t, map[string]float64{"pad_guard h": before["pad_guard h"]}, after)

	called := 0
	for _, o := range ask(t, rich(t), alerted("called")).Options {
		if o.Destination.ID == "called" {
			called++
			for _, c := range routing.Calls(o) {
				assert.True(t, c.Who == routing.CallPadGuard || c.Facility.ID != "called", "%s: %s", o.ID, c.Sentence)
			}
		} else {
			assert.Contains(t, by(o), "theatre "+o.Destination.ID, o.ID)
		}
	}
	assert.Positive(t, called)
}
