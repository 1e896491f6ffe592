package testdata_test

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/geo"
	"surgeonward/geo/position"
	"surgeonward/routing"
	"surgeonward/testdata"
)

func engine(t *testing.T) *routing.Engine {
	t.Helper()
	read := func(name string) []byte {
		data, err := fs.ReadFile(testdata.Demo, name)
		require.NoError(t, err)
		return data
	}
	settings, faults, warnings := routing.DecodeSettings(read("settings.json"))
	require.Empty(t, faults)
	require.Empty(t, warnings)
	list, bad, doubts := facilities.Decode(read("facilities.geojson"), facilities.DecodeOptions{Zone: settings.Zone})
	require.Empty(t, bad)
	require.Empty(t, doubts)
	fleet, faults, warnings := routing.DecodeFleet(read("fleet.json"), list, settings)
	require.Empty(t, faults)
	require.Empty(t, warnings)
	return routing.NewEngine(list, fleet, settings)
}

// question turns a scenario into what the engine is asked.
func (s scenario) question(t *testing.T) routing.Question {
	t.Helper()
	q := routing.Question{At: s.At, RankBySlow: s.RankBy == "slow", Limit: s.Limit}
	switch {
	case s.Scene.Position != nil:
		q.Scene.Position = *s.Scene.Position
	case s.Scene.PositionText != "":
		parsed, err := position.Parse(s.Scene.PositionText)
		require.NoError(t, err)
		q.Scene.Position = parsed.Point
	}
	q.Scene.Facility, q.Scene.UncertaintyM = s.Scene.Facility, s.Scene.UncertaintyM
	q.Scene.Landing = routing.Landing(s.Scene.Landing)
	q.Scene.Carry = s.Scene.Carry
	q.Patient = routing.Patient{
		AgeYears: &s.Patient.AgeYears, Needs: s.Patient.Needs, Escort: s.Patient.Escort, ReadyIn: &s.Patient.ReadyIn,
	}
	for _, c := range s.Assets.States {
		q.Assets.States = append(q.Assets.States, routing.StateChange{Asset: c.Asset, State: routing.AssetState(c.State)})
	}
	return q
}

// Each scenario must go on telling its story, whatever else changes: the
// stories are the ones in scenarios/README.md.
func TestScenariosTellTheirStories(t *testing.T) {
	e, all := engine(t), scenarios(t)
	ask := func(name string) routing.Answer {
		ans, err := e.Options(t.Context(), all[name].question(t))
		require.NoError(t, err, name)
		require.NotEmpty(t, ans.Options, name)
		return ans
	}
	for _, s := range []struct {
		name, destination string
		shape             routing.Shape
		night             bool
		critical          routing.ActivityKind
	}{
		{"harbour-stabbing", "ossuvaune-general", routing.ByRoad, true, routing.KindCallIn},
		{"village-child", "luorimaune-childrens", routing.ByAir, false, routing.KindTravel},
		{"cliff-path", "ettuquar-chest", routing.ByAir, false, routing.KindCarry},
		{"hospital-transfer", "ossuvaune-general", routing.ByAir, false, routing.KindPadToDoor},
		{"not-the-nearest", "ettuquar-chest", routing.ByRoad, true, routing.KindTravel},
	} {
		t.Run(s.name, func(t *testing.T) {
			ans := ask(s.name)
			best := ans.Options[0]
			assert.Equal(t, s.destination, best.Destination.ID)
			assert.Equal(t, s.shape, best.Shape)
			assert.Equal(t, s.night, ans.Night)
			assert.True(t, criticalKinds(best)[s.critical], "%s is not on the critical path", s.critical)
		})
	}

	t.Run("the nearest surgeon by map is not the soonest", func(t *testing.T) {
		ans := ask("not-the-nearest")
		near, ok := e.Facilities.Get("ossuvaune-general")
		require.True(t, ok)
		assert.Less(t, geo.Distance(ans.Scene.Position, near.Position),
			geo.Distance(ans.Scene.Position, ans.Options[0].Destination.Position)-2000)
		other := bestTo(t, ans, near.ID)
		assert.Greater(t, other.Total.TypicalS, ans.Options[0].Total.TypicalS+120)
	})
	t.Run("the nearer helicopter does not win the cliff", func(t *testing.T) {
		ans := ask("cliff-path")
		assert.Equal(t, []string{"heli-2"}, ans.Options[0].Assets)
	})
	t.Run("only a helicopter reaches the children's surgeon within 100 minutes", func(t *testing.T) {
		for _, o := range ask("village-child").Options {
			assert.Equal(t, "luorimaune-childrens", o.Destination.ID)
			if o.Shape == routing.ByRoad {
				assert.Greater(t, o.Total.TypicalS, 6000.0)
			}
		}
	})
	t.Run("two hospitals are level, and the slow figure turns them round", func(t *testing.T) {
		ans := ask("hospital-transfer")
		nearer, farther := bestTo(t, ans, "ossuvaune-general"), bestTo(t, ans, "ettuquar-chest")
		assert.InDelta(t, nearer.Total.TypicalS, farther.Total.TypicalS, 180)
		assert.Less(t, farther.Total.SlowS, nearer.Total.SlowS)
	})
}

func criticalKinds(o routing.Option) map[routing.ActivityKind]bool {
	out := map[routing.ActivityKind]bool{}
	for _, a := range o.Plan {
		if a.Critical {
			out[a.Kind] = true
		}
	}
	return out
}

// bestTo is the answer's first option to a hospital.
func bestTo(t *testing.T, ans routing.Answer, hospital string) routing.Option {
	t.Helper()
	for _, o := range ans.Options {
		if o.Destination.ID == hospital {
			return o
		}
	}
	require.Fail(t, "no option to "+hospital)
	return routing.Option{}
}
