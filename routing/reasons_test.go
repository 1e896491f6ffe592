package routing_test

import (
	"context"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

// Every reason against a pair appears with its code, and lifting all of them
// makes the pair possible. Source: identity (each reason names a condition the
// row sets up).
func TestEveryReasonAndItsLifting(t *testing.T) {
	none := func(*routing.Question) {}
	needPhysician := func(q *routing.Question) { q.Patient.Escort = "physician" }
	impossible := func(q *routing.Question) { q.Scene.Landing = routing.LandingImpossible }
	away := place(180, 20_000)
	for _, row := range []struct {
		name     string
		bad, ok  func(*fixture)
		question func(*routing.Question)
		lifted   func(*routing.Question)
		want     []routing.ReasonCode
	}{
		{"on divert",
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+","+residentSurgeon+`,"accepting":{"state":"divert","reason":"theatre flooded"}`).asset("a", "ambulance", `"state":"at_scene"`)
			},
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+","+residentSurgeon).asset("a", "ambulance", `"state":"at_scene"`)
			}, none, none, []routing.ReasonCode{routing.ReasonNotAccepting}},
		{"no cardiothoracic surgery",
			func(f *fixture) {
				f.facility("h", "hospital", away, `"capabilities":["trauma_surgery"]`).asset("a", "ambulance", `"state":"at_scene"`)
			},
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+","+residentSurgeon).asset("a", "ambulance", `"state":"at_scene"`)
			}, none, none, []routing.ReasonCode{routing.ReasonLacksCapability}},
		{"surgeon absent",
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+`,"surgeons":{"cardiothoracic_surgery":{"otherwise":{"presence":"absent"}}}`).asset("a", "ambulance", `"state":"at_scene"`)
			},
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+","+residentSurgeon).asset("a", "ambulance", `"state":"at_scene"`)
			}, none, none, []routing.ReasonCode{routing.ReasonSurgeonAbsent}},
		{"no theatre, nobody knows how long",
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+","+residentSurgeon+`,"away":[{"what":"theatre","reason":"flooded"}]`).asset("a", "ambulance", `"state":"at_scene"`)
			},
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+","+residentSurgeon).asset("a", "ambulance", `"state":"at_scene"`)
			}, none, none, []routing.ReasonCode{routing.ReasonTheatreAway}},
		{"surgeon away, whatever the rota says",
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+","+residentSurgeon+`,"away":[{"what":"surgeon"}]`).asset("a", "ambulance", `"state":"at_scene"`)
			},
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+","+residentSurgeon).asset("a", "ambulance", `"state":"at_scene"`)
			}, none, none, []routing.ReasonCode{routing.ReasonSurgeonAbsent}},
		{"a car carries nobody",
			func(f *fixture) { f.hospital("h", away).asset("a", "response_car", `"state":"at_scene"`) },
			func(f *fixture) { f.hospital("h", away).asset("a", "ambulance", `"state":"at_scene"`) },
			none, none, []routing.ReasonCode{routing.ReasonCarriesNoPatient}},
		{"crew off duty",
			func(f *fixture) {
				f.hospital("h", away).facility("b", "base", away, "").asset("a", "ambulance", `"base":"b","hours":{"otherwise":{"state":"closed"}}`)
			},
			func(f *fixture) {
				f.hospital("h", away).facility("b", "base", away, "").asset("a", "ambulance", `"base":"b"`)
			},
			none, none, []routing.ReasonCode{routing.ReasonOffDuty}},
		{"not asked for",
			func(f *fixture) {
				f.hospital("h", away).asset("a", "ambulance", `"state":"at_scene"`).asset("c", "ambulance", `"state":"at_scene"`)
			},
			func(f *fixture) {
				f.hospital("h", away).asset("a", "ambulance", `"state":"at_scene"`).asset("c", "ambulance", `"state":"at_scene"`)
			},
			func(q *routing.Question) { q.Assets.Only = []string{"c"} }, none, []routing.ReasonCode{routing.ReasonNotSelected}},
		{"no night flying",
			func(f *fixture) {
				f.hospital("h", away).facility("b", "base", away, "").asset("a", "helicopter", `"base":"b"`)
			},
			func(f *fixture) {
				f.hospital("h", away).facility("b", "base", away, "").asset("a", "helicopter", `"base":"b","night_flying":true`)
			}, byNight, byNight, []routing.ReasonCode{routing.ReasonNoNightFlying}},
		{"nowhere to land",
			func(f *fixture) {
				f.hospital("h", away).facility("b", "base", away, "").asset("a", "helicopter", `"base":"b"`)
			},
			func(f *fixture) {
				f.hospital("h", away).facility("b", "base", away, "").asset("a", "helicopter", `"base":"b"`)
			},
			impossible, none, []routing.ReasonCode{routing.ReasonNoLanding}},
		{"hospital without a pad",
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+","+residentSurgeon).facility("b", "base", away, "").asset("a", "helicopter", `"base":"b"`)
			},
			func(f *fixture) {
				f.hospital("h", away).facility("b", "base", away, "").asset("a", "helicopter", `"base":"b"`)
			},
			none, none, []routing.ReasonCode{routing.ReasonNoPad}},
		{"pad closed, unlit, too small and too weak at once",
			func(f *fixture) {
				f.facility("h", "hospital", away, centre+","+residentSurgeon+`,"pad":{"lit":false,"hours":{"otherwise":{"state":"closed"}},"max_d_value_m":12,"max_mass_kg":3000}`).
					facility("b", "base", away, "").asset("a", "helicopter", `"base":"b","night_flying":true,"d_value_m":13.6,"mass_kg":3700`)
			},
			func(f *fixture) {
				f.hospital("h", away).facility("b", "base", away, "").asset("a", "helicopter", `"base":"b","night_flying":true,"d_value_m":13.6,"mass_kg":3700`)
			}, byNight, byNight,
			[]routing.ReasonCode{routing.ReasonLandingClosed, routing.ReasonLandingUnlit, routing.ReasonTooLarge, routing.ReasonTooHeavy}},
		{"no physician and no seat",
			func(f *fixture) {
				f.hospital("h", away).asset("a", "ambulance", `"state":"at_scene"`).asset("p", "response_car", `"state":"committed","position":[-29.5,45.5],"skills":["physician"]`)
			},
			func(f *fixture) {
				f.hospital("h", away).asset("a", "ambulance", `"state":"at_scene","escort_seats":1`).asset("p", "response_car", `"state":"at_scene","skills":["physician"]`)
			}, needPhysician, needPhysician, []routing.ReasonCode{routing.ReasonNoSeat, routing.ReasonNoEscort}},
		{"several at once, of asset and hospital",
			func(f *fixture) {
				f.facility("h", "hospital", away, `"capabilities":["trauma_surgery"],"accepting":{"state":"closed"}`).
					facility("b", "base", away, "").asset("a", "helicopter", `"base":"b"`)
			},
			func(f *fixture) {
				f.hospital("h", away).facility("b", "base", away, "").asset("a", "helicopter", `"base":"b","night_flying":true`)
			}, byNight, byNight,
			[]routing.ReasonCode{routing.ReasonNoNightFlying, routing.ReasonNotAccepting, routing.ReasonLacksCapability, routing.ReasonNoPad}},
	} {
		t.Run(row.name, func(t *testing.T) {
			f := toy()
			row.bad(f)
			ans := ask(t, f.engine(t), row.question)
			assert.Equal(t, row.want, codes(ans, "a", "h"))
			for _, o := range ans.Options {
				assert.NotEqual(t, "a", o.Assets[0], "what is not possible is not offered")
			}
			f = toy()
			row.ok(f)
			ans = ask(t, f.engine(t), row.lifted)
			assert.Empty(t, codes(ans, "a", "h"))
			assert.NotEmpty(t, ans.Options)
		})
	}
}

// Every carrier or not, every hospital: each pair is either offered or
// explained, once.
func TestNothingIsDroppedInSilence(t *testing.T) {
	f := toy().hospital("h", place(0, 30_000)).hospital("h2", place(90, 60_000)).
		facility("plain", "hospital", place(10, 5_000), "").facility("b", "base", place(180, 20_000), "").
		asset("a", "ambulance", `"base":"b"`).asset("c", "response_car", `"base":"b"`).asset("x", "helicopter", `"base":"b"`)
	for _, at := range []time.Time{noon, midnight} {
		ans := ask(t, f.engine(t), func(q *routing.Question) { q.At = at })
		seen, pairs := map[[3]string]int{}, map[[2]string]bool{}
		for _, o := range ans.Options {
			if o.Shape == routing.ByRoad || o.Shape == routing.ByAir {
				seen[[3]string{o.Assets[0], o.Destination.ID, string(o.Shape)}]++
				pairs[[2]string{o.Assets[0], o.Destination.ID}] = true
			}
		}
		for _, n := range ans.NotPossible {
			require.NotEmpty(t, n.Reasons)
			for _, r := range n.Reasons {
				assert.NotEmpty(t, r.Detail)
			}
			seen[[3]string{n.Asset, n.Destination, string(n.Shape)}]++
			pairs[[2]string{n.Asset, n.Destination}] = true
		}
		assert.Len(t, pairs, 9)
		for pair, n := range seen {
			assert.Equal(t, 1, n, "%v", pair)
		}
	}
}

func TestFaultsOfAQuestionAllAtOnce(t *testing.T) {
	e := toy().hospital("north-hospital", place(0, 30_000)).asset("amb-1", "ambulance", `"state":"at_scene"`).engine(t)
	age := 131.0
	_, err := e.Options(t.Context(), routing.Question{
		Scene:   routing.Scene{Facility: "north-hospitol", Position: orb.Point{45.5, 190}, Landing: "maybe"},
		Patient: routing.Patient{AgeYears: &age, Needs: []string{"cardiothorasic_surgery"}, Escort: "physican"},
		Assets: routing.Selection{Only: []string{"amb-2"}, States: []routing.StateChange{
			{Asset: "amb-1", State: routing.Moving}, {Asset: "amb-1", State: routing.AtScene}}},
		Limit: -1,
	})
	var bad *routing.QuestionError
	require.ErrorAs(t, err, &bad)
	at := map[string]string{}
	for _, f := range bad.Faults {
		at[f.Pointer] += f.Detail
	}
	for pointer, says := range map[string]string{
		"/at": "missing", "/scene/facility": `did you mean "north-hospital"`, "/scene/position": "lat",
		"/scene/landing": "possible", "/patient/age_years": "130", "/patient/needs/0": `did you mean "cardiothoracic_surgery"`,
		"/patient/escort": "no crew", "/assets/only/0": `did you mean "amb-1"`, "/assets/states/0/position": "position",
		"/assets/states/1/asset": "twice", "/limit": "0",
	} {
		assert.Contains(t, at[pointer], says, pointer)
	}
	assert.Len(t, bad.Faults, 11)
}

func TestEndedContext(t *testing.T) {
	e := toy().hospital("h", place(0, 30_000)).asset("a", "ambulance", `"state":"at_scene"`).engine(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := e.Options(ctx, routing.Question{At: noon, Scene: routing.Scene{Position: scene}})
	assert.ErrorIs(t, err, context.Canceled)
}
