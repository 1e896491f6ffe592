package routing_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/routing"
)

// missions are those of the question of ask.
func missions(t testing.TB, e *routing.Engine) (routing.Option, []routing.Mission) {
	t.Helper()
	q := question()
	ans := ask(t, e)
	require.NotEmpty(t, ans.Options)
	q.Scene, q.Patient, q.At = ans.Scene, routing.Patient{Needs: []string{"cardiothoracic_surgery"}}, ans.At
	out, err := e.Missions(t.Context(), q)
	require.NoError(t, err)
	return ans.Options[0], out
}

// TestMission: by hand, in the toy region's round numbers. Source: definition.
func TestMission(t *testing.T) {
	centre, far := place(0, 30_000), place(180, 12_000)
	t.Run("an ambulance with its base at the scene drives back what it drove", func(t *testing.T) {
		o, m := missions(t, toy().facility("b", "base", scene, "").hospital("h", centre).asset("a", "ambulance", `"base":"b"`).engine(t))
		drive := step(t, o, "travel_to_hospital").Timing.TypicalS
		require.Len(t, m, 1)
		assert.Equal(t, "a", m[0].Asset)
		assert.True(t, m[0].Back)
		assert.InDelta(t, step(t, o, "handover").EndS+drive, m[0].BusyS, 1e-6)
	})
	t.Run("a helicopter flies back to its base", func(t *testing.T) {
		o, m := missions(t, toy().facility("b", "base", far, "").hospital("h", centre).asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t))
		require.Len(t, m, 1)
		assert.InDelta(t, step(t, o, "handover").EndS+42_000.0/60+40+70, m[0].BusyS, 1e-3, "42 km at 60 m/s, departure and approach")
	})
	t.Run("a helicopter whose base is the hospital is free once it has handed over", func(t *testing.T) {
		o, m := missions(t, toy().hospital("h", centre).asset("x", "helicopter", `"base":"h","rotors_turning":true`).engine(t))
		require.Len(t, m, 1)
		assert.Equal(t, step(t, o, "handover").EndS, m[0].BusyS)
	})
	t.Run("without a base there is no way back", func(t *testing.T) {
		o, m := missions(t, toy().hospital("h", centre).asset("a", "ambulance", `"state":"at_scene"`).engine(t))
		require.Len(t, m, 1)
		assert.False(t, m[0].Back)
		assert.Equal(t, step(t, o, "handover").EndS, m[0].BusyS)
	})
	t.Run("an ambulance that meets a helicopter drives back from there", func(t *testing.T) {
		e := toy().hospital("h", place(0, 90_000)).facility("site", "landing_site", place(0, 20_000), `"lit":true,"road_access":true`).
			facility("b", "base", place(0, 50_000), "").facility("home", "base", scene, "").
			asset("a", "ambulance", `"base":"home"`).asset("x", "helicopter", `"base":"b","rotors_turning":true`).engine(t)
		q := question()
		q.Scene.Landing = routing.LandingImpossible
		o := ask(t, e, func(q *routing.Question) { q.Scene.Landing = routing.LandingImpossible }).Options[0]
		require.Equal(t, routing.Rendezvous, o.Shape)
		m, err := e.Missions(t.Context(), q)
		require.NoError(t, err)
		require.Len(t, m, 2)
		assert.InDelta(t, step(t, o, "meeting_unload").EndS+step(t, o, "travel_to_meeting").Timing.TypicalS, m[0].BusyS, 1e-6)
		assert.InDelta(t, step(t, o, "handover").EndS+40_000.0/60+40+70, m[1].BusyS, 1e-3)
	})
	t.Run("a team that rides along is taken up until the handover", func(t *testing.T) {
		e := toy().hospital("h", centre).facility("home", "base", scene, "").
			asset("a", "ambulance", `"base":"home","escort_seats":1`).asset("c", "response_car", `"base":"home","skills":["physician"]`).engine(t)
		q := question()
		q.Patient.Escort = "physician"
		m, err := e.Missions(t.Context(), q)
		require.NoError(t, err)
		require.Len(t, m, 2)
		assert.Equal(t, "c", m[1].Asset)
		assert.InDelta(t, m[0].BusyS, m[1].BusyS, 1e-6, "both drive back from the hospital to one base")
	})
	t.Run("nobody", func(t *testing.T) {
		e := toy().hospital("h", centre).engine(t)
		q := question()
		got, err := e.Missions(t.Context(), q)
		require.NoError(t, err)
		assert.Empty(t, got)
	})
}

// TestMissionsOutlastTheirSteps: every asset of the first option, once, in its order, taken up at
// least until its own last step. Source: definition.
func TestMissionsOutlastTheirSteps(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		random := rand.New(rand.NewPCG(seed, 11))
		e := crowd(random, 2+random.IntN(7), 2+random.IntN(5), random.IntN(6), 40_000+random.Float64()*160_000).engine(t)
		q := question()
		ans, err := e.Options(t.Context(), q)
		require.NoError(t, err)
		got, err := e.Missions(t.Context(), q)
		require.NoError(t, err)
		if len(ans.Options) == 0 {
			require.Empty(t, got)
			return
		}
		o := ans.Options[0]
		require.Len(t, got, len(o.Assets))
		for i, m := range got {
			require.Equal(t, o.Assets[i], m.Asset, "seed %d", seed)
			for _, s := range o.Plan {
				if s.Asset == m.Asset {
					require.GreaterOrEqual(t, m.BusyS, s.EndS-1e-9, "seed %d: %s", seed, s.ID)
				}
			}
		}
	})
}
