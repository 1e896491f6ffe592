package testdata_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"surgeonward/geo"
	"surgeonward/routing"
)

func TestAircraftAreBelievable(t *testing.T) {
	const source = "the demo region's own specification; figures of the size common for such aircraft, no source"
	teams, winches, hot := 0, 0, 0
	for _, a := range engine(t).Fleet.Assets() {
		switch a.Kind {
		case routing.Helicopter:
			assert.GreaterOrEqual(t, a.EnduranceS, 2.25*3600, "%s: %s", a.ID, source)
			assert.LessOrEqual(t, a.EnduranceS, 3.0*3600, "%s: %s", a.ID, source)
			assert.Equal(t, "spa_hems_120", a.Minima, a.ID)
			assert.Equal(t, a.NightFlying, a.Crew.Aided, "%s: night vision where it flies by night", a.ID)
			assert.Equal(t, a.NightFlying, a.Crew.Pilots == 2, "%s: two pilots by night", a.ID)
			if a.EscortSeats >= engine(t).Settings.TeamSeats {
				teams++
			}
			if a.HasSkill("winch") {
				winches++
			}
			if a.HotRefuel {
				hot++
			}
		case routing.Aeroplane:
			assert.True(t, a.HasSkill("physician") && a.HasSkill("nurse"), "a medical crew")
			assert.InDelta(t, 230, a.CruiseMS/geo.Knot, 40, source)
			assert.LessOrEqual(t, a.RunwayM, 800.0, "it uses the airstrip of the third island")
			assert.Greater(t, a.EnduranceS, 3*3600.0, source)
			assert.NotEmpty(t, a.Minima)
		}
	}
	assert.Positive(t, teams)
	assert.Equal(t, 1, winches)
	assert.Equal(t, 1, hot)
}

func TestWeatherStationsStandOnTheAirfields(t *testing.T) {
	e := engine(t)
	for code, airfield := range map[string]string{
		"QQLU": "luorimaune-airfield", "QQOV": "ossuvaune-airfield", "QQRR": "quorreth-airfield", "QQUS": "quessavel-airstrip",
	} {
		f, ok := e.Facilities.Get(airfield)
		assert.True(t, ok, airfield)
		found := false
		for _, s := range e.Settings.Stations {
			found = found || s.Code == code && s.Position == f.Position
		}
		assert.True(t, found, code)
	}
}
