package testdata_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing"
)

// Each scenario must go on telling its story in every weather, whatever else
// changes: the stories are the ones in scenarios/README.md.
func TestScenariosTellTheirStories(t *testing.T) {
	const either = ""
	for _, s := range []struct {
		scenario    string
		weathers    []string
		destination string
		shape       routing.Shape
		uses        string // an asset
		critical    routing.ActivityKind
	}{
		{"harbour-stabbing", weathers, "ossuvaune-general", routing.ByRoad, "amb-11", routing.KindCallIn},
		{"village-child", []string{noWeather, clearDay, windy}, "luorimaune-childrens", routing.ByAir, "heli-2", routing.KindTravel},
		{"village-child", []string{foggy}, "luorimaune-childrens", routing.ByAeroplane, "aero-5", routing.KindTravel},
		{"cliff-path", []string{noWeather, clearDay, windy}, "ettuquar-chest", routing.ByAir, "heli-2", routing.KindCarry},
		{"cliff-path", []string{foggy}, "ossuvaune-general", routing.ByRoad, "amb-31", routing.KindCarry},
		{"hospital-transfer", []string{noWeather, clearDay}, "ossuvaune-general", routing.ByAir, "heli-2", routing.KindPadToDoor},
		{"hospital-transfer", []string{windy}, either, routing.ByAir, "heli-2", routing.KindPadToDoor},
		{"hospital-transfer", []string{foggy}, "ossuvaune-general", routing.ByRoad, "amb-21", routing.KindPackage},
		{"not-the-nearest", weathers, "ettuquar-chest", routing.ByRoad, "amb-72", routing.KindTravel},
		{"far-island", []string{noWeather, clearDay, windy}, "quessimaune-hospital", routing.SurgeonTravels, "heli-1", routing.KindTravel},
		{"far-island", []string{foggy}, "ettuquar-chest", routing.ByAeroplane, "aero-5", routing.KindTravel},
		{"woods-by-night", []string{noWeather, clearDay, windy}, "ettuquar-chest", routing.Rendezvous, "heli-1", routing.KindTravel},
		{"woods-by-night", []string{foggy}, "ettuquar-chest", routing.ByRoad, "amb-61", routing.KindTravel},
	} {
		for _, kind := range s.weathers {
			t.Run(s.scenario+" "+kind, func(t *testing.T) {
				best := ask(t, s.scenario, kind).Options[0]
				if s.destination != either {
					assert.Equal(t, s.destination, best.Destination.ID)
				}
				assert.Equal(t, s.shape, best.Shape)
				assert.Contains(t, best.Assets, s.uses)
				assert.True(t, criticalKinds(best)[s.critical], "%s is not on the critical path", s.critical)
			})
		}
	}
}

func TestScenariosAreByDayAndByNight(t *testing.T) {
	for name, night := range map[string]bool{
		"harbour-stabbing": true, "not-the-nearest": true, "woods-by-night": true,
		"village-child": false, "cliff-path": false, "hospital-transfer": false, "far-island": false,
	} {
		assert.Equal(t, night, ask(t, name, noWeather).Night, name)
	}
}

func TestTheNearestSurgeonByMapIsNotTheSoonest(t *testing.T) {
	for _, kind := range weathers {
		ans := ask(t, "not-the-nearest", kind)
		near, ok := engine(t).Facilities.Get("ossuvaune-general")
		require.True(t, ok)
		assert.Less(t, geo.Distance(ans.Scene.Position, near.Position),
			geo.Distance(ans.Scene.Position, ans.Options[0].Destination.Position)-2000)
		other := bestTo(t, ans, near.ID)
		assert.Greater(t, other.Total.TypicalS, ans.Options[0].Total.TypicalS+120)
	}
}

func TestOnlyByAirIsTheChildrensSurgeonSoon(t *testing.T) {
	for _, kind := range weathers {
		for _, o := range ask(t, "village-child", kind).Options {
			switch o.Shape {
			case routing.ByRoad:
				assert.Greater(t, o.Total.TypicalS, 2*3600.0, kind)
			case routing.ByAir:
				assert.Equal(t, "luorimaune-childrens", o.Destination.ID)
				assert.Less(t, o.Total.TypicalS, 6000.0, kind)
			}
		}
	}
}

func TestTwoHospitalsAreLevelAndTheSlowFigureTurnsThemRound(t *testing.T) {
	for _, kind := range []string{noWeather, clearDay, windy} {
		ans := ask(t, "hospital-transfer", kind)
		nearer, farther := bestTo(t, ans, "ossuvaune-general"), bestTo(t, ans, "ettuquar-chest")
		assert.InDelta(t, nearer.Total.TypicalS, farther.Total.TypicalS, 180, kind)
		assert.Less(t, farther.Total.SlowS, nearer.Total.SlowS, kind)
	}
}

// The surgeon comes to the island although a helicopter could land beside the
// patient: it is sent for the team in place of the patient.
func TestTheSurgeonTravelsBecauseItIsSooner(t *testing.T) {
	ans := ask(t, "far-island", clearDay)
	i := slices.IndexFunc(ans.Options, func(o routing.Option) bool { return o.Shape == routing.ByAir })
	require.Positive(t, i)
	assert.Greater(t, ans.Options[i].Total.TypicalS, ans.Options[0].Total.TypicalS+300)
}

// The racecourse is under the lower cloud of the west, the stadium is not.
func TestTheWindyNightMovesTheMeetingPlaceEast(t *testing.T) {
	assert.Contains(t, ask(t, "woods-by-night", clearDay).Options[0].ID, ":ls-lorquamise:")
	assert.Contains(t, ask(t, "woods-by-night", windy).Options[0].ID, ":ls-tharuvel:")
	best := ask(t, "woods-by-night", windy).Options[0]
	assert.Contains(t, reasonsToLand(t, "woods-by-night", "heli-1", "ls-lorquamise"), routing.ReasonBelowMinima)
	assert.NotContains(t, reasonsToLand(t, "woods-by-night", "heli-1", "ls-tharuvel"), routing.ReasonBelowMinima)
	assert.True(t, criticalKinds(best)[routing.KindPackage], "the longer drive makes the helicopter wait")
}

// reasonsToLand are the codes against a helicopter that goes to a site in the
// windy night.
func reasonsToLand(t *testing.T, name, asset, site string) []routing.ReasonCode {
	var codes []routing.ReasonCode
	for _, r := range atSite(t, name, windy, asset, site) {
		codes = append(codes, r.Code)
	}
	return codes
}

// atSite asks for a patient who lies at the site instead, and returns what
// speaks against the asset's flying them anywhere.
func atSite(t *testing.T, name, kind, asset, site string) []routing.Reason {
	t.Helper()
	s := scenarios(t)[name]
	q := s.question(t)
	f, ok := engine(t).Facilities.Get(site)
	require.True(t, ok, site)
	q.Scene.Position, q.Scene.Facility, q.Scene.Landing = f.Position, "", routing.LandingPossible
	q.Assets = routing.Selection{Only: []string{asset}}
	q.Conditions.Reports = reports(t, kind, s.At)
	ans, err := engine(t).Options(t.Context(), q)
	require.NoError(t, err)
	for _, n := range ans.NotPossible {
		if n.Asset == asset && n.Shape == routing.ByAir {
			return n.Reasons
		}
	}
	return nil
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
