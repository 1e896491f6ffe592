package testdata_test

import (
	"io/fs"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/geo/weather"
	"surgeonward/routing"
	"surgeonward/testdata"
)

// One report from each station within the hour before each scenario, so that
// every scenario can be told under every weather.
func TestWeatherHasAReportForEveryScenario(t *testing.T) {
	files, err := fs.Glob(testdata.Demo, "weather/*.txt")
	require.NoError(t, err)
	require.Equal(t, []string{"weather/clear-day.txt", "weather/foggy-morning.txt", "weather/windy-night.txt"}, files)
	stations := engine(t).Settings.Stations
	require.Len(t, stations, 4)
	for _, kind := range weathers[1:] {
		for name, s := range scenarios(t) {
			fresh := map[string]int{}
			for _, line := range weatherLines(t, kind) {
				r, err := weather.ParseReport(line, s.At)
				require.NoError(t, err, line)
				if age := s.At.Sub(r.Issued); age >= 0 && age <= time.Hour {
					fresh[r.Station]++
				}
			}
			assert.Len(t, fresh, len(stations), "%s: %s", kind, name)
			for _, w := range stations {
				assert.Equal(t, 1, fresh[w.Code], "%s: %s of %s", kind, name, w.Code)
			}
		}
	}
}

func TestEveryGroupOfTheWeatherIsRead(t *testing.T) {
	for _, kind := range weathers[1:] {
		for _, line := range weatherLines(t, kind) {
			r, err := weather.ParseReport(line, time.Date(2031, 6, 15, 0, 0, 0, 0, time.UTC))
			require.NoError(t, err, line)
			assert.Equal(t, "METAR", r.Kind, line)
			assert.Empty(t, r.Unread, line)
			assert.Empty(t, r.Remarks, line)
			assert.False(t, r.Missing, line)
			assert.NotNil(t, r.Base.Wind, line)
			_, known := r.Base.LowestVisibility()
			assert.True(t, known, line)
			_, state := r.Base.Ceiling()
			assert.NotEqual(t, weather.CeilingUnknown, state, line)
			assert.False(t, r.Base.Thunderstorm() || r.Base.Freezing(), line)
		}
	}
}

// Source: the words in scenarios/UNDER_WEATHER.md.
func TestTheWeatherIsWhatItIsCalled(t *testing.T) {
	for _, kind := range weathers[1:] {
		for _, line := range weatherLines(t, kind) {
			r, err := weather.ParseReport(line, time.Date(2031, 6, 15, 0, 0, 0, 0, time.UTC))
			require.NoError(t, err, line)
			windKt := r.Base.Wind.SpeedMS / geo.Knot
			visibility, _ := r.Base.LowestVisibility()
			ceilingFt := math.Inf(1)
			if m, state := r.Base.Ceiling(); state == weather.CeilingKnown {
				ceilingFt = m / geo.Foot
			}
			switch kind {
			case clearDay:
				assert.LessOrEqual(t, windKt, 10.5, line)
				assert.True(t, math.IsInf(ceilingFt, 1), line)
				assert.GreaterOrEqual(t, visibility.M, 9999.0, line)
			case windy:
				assert.InDelta(t, 33.5, windKt, 6, line)
				assert.InDelta(t, 245, r.Base.Wind.FromDeg, 15, line)
				assert.InDelta(t, 1600, ceilingFt, 650, line)
				assert.GreaterOrEqual(t, visibility.M, 5000.0, line)
			case foggy:
				assert.LessOrEqual(t, windKt, 4.5, line)
				assert.LessOrEqual(t, ceilingFt, 650.0, line)
				assert.LessOrEqual(t, visibility.M, 4500.0, line)
			}
		}
	}
}

// In the fog no helicopter leaves its base, and the answer says so for every
// helicopter and hospital, alone or with an ambulance that meets it; where it
// could not land near the patient either, that is all there is to say.
func TestInTheFogNoHelicopterFlies(t *testing.T) {
	kinds := map[string]routing.AssetKind{}
	for _, a := range engine(t).Fleet.Assets() {
		kinds[a.ID] = a.Kind
	}
	for name := range scenarios(t) {
		ans := ask(t, name, foggy)
		for _, o := range ans.Options {
			for _, id := range o.Assets {
				assert.NotEqual(t, routing.Helicopter, kinds[id], "%s: %s", name, o.ID)
			}
		}
		pairs := 0
		for _, n := range ans.NotPossible {
			if n.Shape != routing.ByAir && n.Shape != routing.Rendezvous {
				continue
			}
			pairs++
			codes := map[routing.ReasonCode]bool{}
			for _, r := range n.Reasons {
				codes[r.Code] = true
			}
			assert.True(t, codes[routing.ReasonBelowMinima] || n.Shape == routing.ByAir && codes[routing.ReasonNoLanding],
				"%s: %s to %s: %v", name, n.Asset, n.Destination, n.Reasons)
		}
		assert.GreaterOrEqual(t, pairs, 4*8, name)
	}
}

// A clear day takes nothing away that still air offers.
func TestAClearDayRulesNothingOut(t *testing.T) {
	for name := range scenarios(t) {
		bright := ask(t, name, clearDay)
		assert.Equal(t, ask(t, name, noWeather).Found, bright.Found, name)
		for _, n := range bright.NotPossible {
			for _, r := range n.Reasons {
				assert.NotContains(t, []routing.ReasonCode{
					routing.ReasonBelowMinima, routing.ReasonWeatherUnknown, routing.ReasonWind, routing.ReasonIcing, routing.ReasonThunderstorm,
				}, r.Code, "%s: %v", name, r)
			}
		}
	}
}

// The wind of the windy night comes from the west: a flight west takes longer
// than in still air and a flight east less, but there and back always longer.
func TestTheWindyNightIsFeltOnTheWayWest(t *testing.T) {
	const way = "air:heli-1:luorimaune-childrens" // from the east coast to the far west, then to the far east
	still, windyWay := optionOf(t, ask(t, "village-child", noWeather), way), optionOf(t, ask(t, "village-child", windy), way)
	west := func(o routing.Option) float64 { return activity(t, o, "travel_to_scene").Timing.TypicalS }
	east := func(o routing.Option) float64 { return activity(t, o, "travel_to_hospital").Timing.TypicalS }
	assert.Greater(t, west(windyWay), west(still)+60)
	assert.Less(t, east(windyWay), east(still)-60)
	assert.Contains(t, activity(t, windyWay, "travel_to_scene").Basis, "head wind")
	assert.Contains(t, activity(t, windyWay, "travel_to_hospital").Basis, "tail wind")
}

func optionOf(t *testing.T, ans routing.Answer, id string) routing.Option {
	t.Helper()
	for _, o := range ans.Options {
		if o.ID == id {
			return o
		}
	}
	require.Fail(t, "no option "+id)
	return routing.Option{}
}

func activity(t *testing.T, o routing.Option, id string) routing.Scheduled {
	t.Helper()
	for _, a := range o.Plan {
		if a.ID == id {
			return a
		}
	}
	require.Fail(t, o.ID+" has no "+id)
	return routing.Scheduled{}
}

// The region shows every shape of way out, and all that can be the quickest
// are so somewhere. A stop at a nearer hospital costs time, but is offered.
func TestEveryShapeIsShown(t *testing.T) {
	found, first := map[routing.Shape]bool{}, map[routing.Shape]bool{}
	for name := range scenarios(t) {
		for _, kind := range weathers {
			ans := ask(t, name, kind)
			first[ans.Options[0].Shape] = true
			via := false
			for _, o := range ans.Options {
				found[o.Shape] = true
				via = via || o.Shape == routing.ViaHospital
			}
			assert.True(t, via, "%s, %s: no way with a stop", name, kind)
		}
	}
	for _, shape := range []routing.Shape{routing.ByRoad, routing.ByAir, routing.Rendezvous, routing.ByAeroplane, routing.SurgeonTravels} {
		assert.True(t, first[shape], shape)
	}
	assert.Len(t, found, 6)
	assert.False(t, first[routing.ViaHospital])
}
