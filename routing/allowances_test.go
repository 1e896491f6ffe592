package routing_test

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing"
)

// The engine asks for these by name.
var allowanceIDs = []string{
	"aeroplane_approach", "aeroplane_departure",
	"call_in", "carry", "escort_join", "handover",
	"helicopter_approach", "helicopter_approach_scene", "helicopter_departure", "helicopter_start",
	"load_aeroplane", "load_ambulance", "load_helicopter_running", "load_helicopter_stopped",
	"mobilise_aeroplane_day", "mobilise_aeroplane_night",
	"mobilise_ambulance_day", "mobilise_ambulance_night",
	"mobilise_helicopter_day", "mobilise_helicopter_night",
	"mobilise_response_car_day", "mobilise_response_car_night",
	"open_chest", "package", "pad_to_door", "pad_to_door_vehicle", "pre_alert", "refuel", "refuel_running",
	"shuttle_call", "stop_at_hospital", "team_alight", "team_board", "team_ready", "team_scrub", "theatre_ready",
	"unload_aeroplane", "unload_ambulance", "unload_helicopter_running", "unload_helicopter_stopped", "winch", "winch_lower",
}

func TestShippedAllowancesComplete(t *testing.T) {
	assert.Equal(t, allowanceIDs, routing.AllowanceIDs())
	s := routing.DefaultSettings()
	assert.Len(t, s.Allowances(), len(allowanceIDs))
	for i, a := range s.Allowances() {
		assert.Equal(t, allowanceIDs[i], a.ID, "in order of id")
		assert.Equal(t, a, s.Allowance(a.ID))
		assert.True(t, a.Timing.Valid(), a.ID)
		assert.Positive(t, a.Timing.TypicalS, a.ID)
		assert.Greater(t, a.Timing.SlowS, a.Timing.TypicalS, "%s: nothing people do always takes as long", a.ID)
		for _, text := range []string{a.What, a.Source, a.Date, a.Note} {
			assert.NotEmpty(t, text, a.ID)
		}
		assert.NotEqual(t, routing.MarkRegion, a.Mark, a.ID)
	}
	assert.Zero(t, s.Allowance("no such allowance"))
}

// What the notes compute from publications is recomputed here.
func TestShippedAllowancesAgainstPublications(t *testing.T) {
	s := routing.DefaultSettings()
	typical := func(id string) float64 { return s.Allowance(id).Timing.TypicalS }
	slow := func(id string) float64 { return s.Allowance(id).Timing.SlowS }
	const (
		hoechter = "Hoechter et al. 2023, SJTREM 31:58"
		hotLoad  = "Air Med J 1999 18(4):145-148"
		carr     = "Carr et al. 2006, Prehosp Emerg Care 10(2):198-206: total less its parts"
		pad      = "Air Med J 2000 19(4):134-136: mean 5.2, SD 2.3 min"
		handover = "CJEM 2023, doi 10.1007/s43678-023-00503-4: mean 2 min 47 s, SD 1 min 14 s"
		lognorm  = "90th percentile of the lognormal of that mean and standard deviation"
	)
	for _, c := range []struct {
		name, source string
		wantS, gotS  float64
		tolS         float64
	}{
		{"landing to handover on foot", hoechter + ": 6.3 min", 6.3 * 60, typical("unload_helicopter_stopped") + typical("pad_to_door"), 1e-9},
		{"landing to handover by shuttle", hoechter + ": 8.8 min", 8.8 * 60, typical("unload_helicopter_stopped") + typical("pad_to_door_vehicle"), 1e-9},
		{"the shuttle's extra", hoechter + ": 2.5 min", 2.5 * 60, typical("pad_to_door_vehicle") - typical("pad_to_door"), 1e-9},
		{"pad by vehicle", pad, 5.2 * 60, typical("pad_to_door_vehicle"), 1e-9},
		{"pad by vehicle, slow", pad + "; " + lognorm, lognormal90(312, 138), slow("pad_to_door_vehicle"), 0.5},
		{"load, rotors running", hotLoad + ": 3.071 min", 3.071 * 60, typical("load_helicopter_running"), 1e-9},
		{"load, rotors stopped", hotLoad + ": 5.033 min", 5.033 * 60, typical("load_helicopter_stopped"), 1e-9},
		{"what running rotors save at loading", hotLoad + ": 1.962 min", 1.962 * 60, typical("load_helicopter_stopped") - typical("load_helicopter_running"), 1e-9},
		{"the same at unloading, an assumption", hotLoad + ": 1.962 min", 1.962 * 60, typical("unload_helicopter_stopped") - typical("unload_helicopter_running"), 1e-9},
		{"what running rotors save at a scene", hotLoad + ": 13.615 - 10.54 min", 3.075 * 60,
			typical("load_helicopter_stopped") + typical("helicopter_start") - typical("load_helicopter_running"), 1e-9},
		{"ambulance by day, urban", carr, (30.96 - 5.25 - 13.40 - 10.77) * 60, typical("mobilise_ambulance_day"), 0.5},
		{"ambulance by day, suburban", carr, (30.97 - 5.21 - 13.39 - 10.86) * 60, typical("mobilise_ambulance_day"), 1.5},
		{"ambulance by day, slow: rural", carr, (43.17 - 7.72 - 14.59 - 17.28) * 60, slow("mobilise_ambulance_day"), 0.5},
		{"helicopter by day", "Air Med J 1997 16(3):70-72: dispatch to lift-off 6.8 min", 6.8 * 60, typical("mobilise_helicopter_day"), 1e-9},
		{"helicopter by day, slow", "coefficient of variation 17 +/- 8 min (Svenson et al. 2006); " + lognorm, lognormal90(408, 408.0*8/17), slow("mobilise_helicopter_day"), 0.5},
		{"helicopter by night", "an air ambulance charity's page: 10 to 12 min", (10 + 12) / 2 * 60, typical("mobilise_helicopter_night"), 1e-9},
		{"helicopter by night, slow", "coefficient of variation as by day; " + lognorm, lognormal90(660, 660.0*8/17), slow("mobilise_helicopter_night"), 0.5},
		{"handover", handover, 167, typical("handover"), 1e-9},
		{"handover, slow", handover + "; " + lognorm, lognormal90(167, 74), slow("handover"), 0.5},
		{"scene time", "Osteras et al. 2017, s13049-017-0442-5: median 10 min", 600, typical("package"), 1e-9},
		{"scene time, slow", "Osteras et al. 2017: quartiles 5 and 16 min of a lognormal", 600 * math.Exp(1.2815515655*math.Log(16.0/5)/(2*0.6744897502)), slow("package"), 0.5},
		{"a flight of 35.4 km", "Di Rocco et al. 2018, BMC Emerg Med 18:13: medians 35.4 km, 12 min", 12 * 60,
			typical("helicopter_departure") + 35400/s.HelicopterCruiseMS + typical("helicopter_approach"), 0.5},
	} {
		assert.InDelta(t, c.wantS, c.gotS, c.tolS, "%s: %s", c.name, c.source)
	}
	// What is reckoned from other figures, which is an assumption all the same.
	drive, err := s.Road.Time(4000)
	require.NoError(t, err)
	assert.InDelta(t, typical("mobilise_ambulance_day")+drive+90, typical("shuttle_call"), 10, "a shuttle: mobilise, 4 km of road and 90 s")
	assert.InDelta(t, 2*typical("load_helicopter_stopped"), typical("load_aeroplane"), 10)
	assert.InDelta(t, 2*typical("unload_helicopter_stopped"), typical("unload_aeroplane"), 15)
	assert.Greater(t, typical("refuel"), typical("refuel_running")+typical("helicopter_start"), "engines that run save time")

	for _, id := range []string{"mobilise_helicopter_day", "mobilise_helicopter_night"} {
		assert.True(t, typical(id) >= 2.9*60 && typical(id) <= 17.0*60,
			"%s: within the base means of Tomazin et al. 2012, SJTREM 20:56, 2.9 to 17.0 min", id)
	}
}

func TestShippedParameters(t *testing.T) {
	s := routing.DefaultSettings()
	for _, c := range []struct {
		name, source   string
		want, got, tol float64
	}{
		{"road factor", "arXiv 2406.06490, abstract: 1.3 +/- 0.1", 1.3, s.RoadFactor, 1e-12},
		{"short branch, min per sqrt km", "Budge et al. 2010, from memory: 2.42", 2.42, 2 / math.Sqrt(s.Road.AccelerationMS2*3600/1000), 0.005},
		{"long branch, min", "Budge et al. 2010, from memory: 2.46", 2.46, s.Road.CruiseMS / s.Road.AccelerationMS2 / 60, 0.005},
		{"long branch, min per km", "Budge et al. 2010, from memory: 0.596", 0.596, 1000 / s.Road.CruiseMS / 60, 0.0005},
		{"spread of long trips", "sqrt(b2), Budge et al. 2010, from memory", 0.196977, math.Sqrt(s.Road.Spread.B2), 1e-6},
		{"helicopter cruise, kt", "252 km/h, rounded down to 135", 252 / 1.852, s.HelicopterCruiseMS / geo.Knot, 1.1},
		{"2.5 km/h", "definition of the unit", 2.5 / 3.6, s.CarryMS, 1e-12},
		{"helicopter reserve by day, s", "14 CFR 91.151(b), 135.209(b): 20 min", 1200, s.ReserveDayS, 1e-9},
		{"helicopter reserve by night, s", "CAT.OP.MPA.191, from memory: 30 min", 1800, s.ReserveNightS, 1e-9},
		{"aeroplane reserve by day, s", "14 CFR 91.151(a): 30 min", 1800, s.AeroplaneReserveDayS, 1e-9},
		{"aeroplane reserve by night, s", "14 CFR 91.151(a): 45 min", 2700, s.AeroplaneReserveNightS, 1e-9},
		{"200 kt", "definition of the unit: 1852 m an hour", 200 * 1852.0 / 3600, s.AeroplaneCruiseMS, 1e-9},
		{"report age, s", "90 min, assumption", 5400, s.ReportMaxAge.Seconds(), 1e-9},
		{"station distance, m", "100 km, assumption", 100_000, s.StationMaxM, 1e-9},
		{"near minima", "a quarter, assumption", 0.25, s.NearMinima, 1e-12},
		{"surgical team", "two, assumption", 2, float64(s.TeamSeats), 0},
	} {
		assert.InDelta(t, c.want, c.got, c.tol, "%s: %s", c.name, c.source)
	}
	assert.NoError(t, s.Road.Check())
	for _, p := range s.Parameters() {
		for _, text := range []string{p.What, p.Unit, p.Source, p.Date, p.Note} {
			assert.NotEmpty(t, text, p.ID)
		}
	}
}

// Editors complete the ids from the schemas.
func TestSchemasListEveryParameter(t *testing.T) {
	var fleet struct {
		Defs struct {
			Asset struct {
				Properties struct{ Allowances properties }
			}
		} `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(routing.FleetSchema(), &fleet))
	assert.Equal(t, allowanceIDs, fleet.Defs.Asset.Properties.Allowances.names())
	var settings struct {
		Properties struct{ Allowances, Sources properties }
	}
	require.NoError(t, json.Unmarshal(routing.SettingsSchema(), &settings))
	assert.Equal(t, allowanceIDs, settings.Properties.Allowances.names())
	var parameters []string
	for _, p := range routing.DefaultSettings().Parameters() {
		parameters = append(parameters, p.ID)
	}
	assert.Equal(t, parameters, settings.Properties.Sources.names())
}

type properties struct{ Properties map[string]any }

func (p properties) names() []string {
	names := make([]string, 0, len(p.Properties))
	for name := range p.Properties {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// lognormal90 is the 90th percentile of a lognormal of that mean and standard deviation.
func lognormal90(mean, sd float64) float64 {
	variance := math.Log(1 + sd*sd/mean/mean)
	return mean / math.Exp(variance/2) * math.Exp(1.2815515655*math.Sqrt(variance))
}
