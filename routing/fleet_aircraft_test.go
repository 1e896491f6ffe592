package routing_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
	"surgeonward/routing/flight"
)

// withMembers is an asset of the kind with more members.
func withMembers(kind, members string) string {
	return `{"id": "a", "name": "A", "kind": "` + kind + `", "base": "north-base", ` + members + `}`
}

func TestDecodeAircraftFaults(t *testing.T) {
	s := decodeSettings(t, fullRegion)
	for _, c := range []struct{ name, kind, members, pointer, says string }{
		{"three pilots", "helicopter", `"pilots": 3`, "/pilots", "at most 2"},
		{"no pilot", "helicopter", `"pilots": 0`, "/pilots", "at least 1"},
		{"a pilot and a half", "helicopter", `"pilots": 1.5`, "/pilots", "whole number"},
		{"night vision in words", "helicopter", `"night_vision": "yes"`, "/night_vision", "true or false"},
		{"unknown table near one", "helicopter", `"minima": "spa_hems_12"`, "/minima", `did you mean "spa_hems_120"?`},
		{"unknown table near the region's", "helicopter", `"minima": "wintr"`, "/minima", `did you mean "winter"?`},
		{"unknown table", "helicopter", `"minima": "zzzzzzzz"`, "/minima", `use one of "spa_hems_120", "spa_hems_120_class_3", "us_135_609", "coastal", "winter"`},
		{"empty table", "helicopter", `"minima": ""`, "/minima", `a word of a-z, 0-9 and _`},
		{"table by its name", "helicopter", `"minima": "SPA.HEMS.120"`, "/minima", `a word of a-z, 0-9 and _`},
		{"no area", "helicopter", `"minima": "us_135_609"`, "", `missing field "minima_area"`},
		{"no area: which there are", "helicopter", `"minima": "us_135_609"`, "", `use one of "mountainous", "mountainous_local", "nonmountainous", "nonmountainous_local"`},
		{"no area of the region's table", "aeroplane", `"minima": "spa_hems_120_class_3"`, "", `use one of "coast", "ridge"`},
		{"misspelt area", "helicopter", `"minima": "us_135_609", "minima_area": "mountanous"`, "/minima_area", `did you mean "mountainous"?`},
		{"area of another table", "helicopter", `"minima": "spa_hems_120_class_3", "minima_area": "mountainous_local"`, "/minima_area", `use one of "coast", "ridge"`},
		{"area in words", "helicopter", `"minima": "us_135_609", "minima_area": "In the hills"`, "/minima_area", "a word of a-z"},
		{"endurance in minutes", "helicopter", `"endurance_s": 45`, "/endurance_s", "at least 60"},
		{"endurance of days", "aeroplane", `"endurance_s": 86401`, "/endurance_s", "at most 86400"},
		{"endurance beyond numbers", "helicopter", `"endurance_s": 1e308`, "/endurance_s", "at most 86400"},
		{"fuel owed", "helicopter", `"endurance_s": 7200, "fuel_s": -1`, "/fuel_s", "at least 0"},
		{"more than full", "helicopter", `"endurance_s": 7200, "fuel_s": 7201`, "/fuel_s", "fuel_s 7201 is more than endurance_s 7200"},
		{"fuel of unknown tanks", "helicopter", `"fuel_s": 3600`, "/fuel_s", "fuel_s needs endurance_s"},
		{"hot refuelling in words", "helicopter", `"hot_refuel": "sometimes"`, "/hot_refuel", "true or false"},
		{"icing as a number", "aeroplane", `"icing_cleared": 1`, "/icing_cleared", "true or false"},
		{"runway in kilometres", "aeroplane", `"runway_m": 1.2`, "/runway_m", "at least 200"},
		{"runway in feet", "aeroplane", `"runway_m": 4500`, "/runway_m", "at most 4000"},
		{"runway for a helicopter", "helicopter", `"runway_m": 900`, "/runway_m", "does not belong to a helicopter"},
		{"rotors of an aeroplane", "aeroplane", `"rotors_turning": true`, "/rotors_turning", "does not belong to an aeroplane"},
		{"D-value of an aeroplane", "aeroplane", `"d_value_m": 15`, "/d_value_m", "does not belong to an aeroplane"},
		{"road speed of an aeroplane", "aeroplane", `"road": {}`, "/road", "does not belong to an aeroplane"},
		{"misspelt member", "aeroplane", `"runaway_m": 900`, "/runaway_m", `did you mean "runway_m"?`},
	} {
		t.Run(c.name, func(t *testing.T) {
			asset := withMembers(c.kind, c.members)
			fleet, faults, _ := routing.DecodeFleet([]byte(`{"assets": [`+asset+`]}`), someFacilities(t), s)
			assert.Nil(t, fleet)
			requireFault(t, faults, "/assets/0"+c.pointer, c.says)
			require.Len(t, faults, 1, "one slip, one fault")

			value, broken := strictjson.Parse([]byte(asset), strictjson.Limits{})
			require.Empty(t, broken)
			_, faults, _ = routing.DecodeAsset(value, "/assets/add/3", someFacilities(t), s)
			requireFault(t, faults, "/assets/add/3"+c.pointer, c.says)
		})
	}
}

// Nothing of an aircraft belongs to a road vehicle, not even when it says no.
func TestRoadVehiclesHaveNothingOfAircraft(t *testing.T) {
	members := map[string]string{
		"cruise_kt": "100", "d_value_m": "12", "mass_kg": "3000", "night_flying": "false", "rotors_turning": "false",
		"runway_m": "900", "pilots": "1", "night_vision": "false", "minima": `"spa_hems_120"`, "minima_area": `"mountainous"`,
		"endurance_s": "3600", "fuel_s": "1800", "hot_refuel": "false", "icing_cleared": "false",
	}
	for _, kind := range []string{"ambulance", "response_car"} {
		var all []string
		for member, value := range members {
			all = append(all, `"`+member+`": `+value)
		}
		_, faults, warnings := routing.DecodeFleet([]byte(`{"assets": [`+withMembers(kind, strings.Join(all, ", "))+`]}`), someFacilities(t), nil)
		assert.Len(t, faults, len(members))
		assert.Empty(t, warnings)
		for member := range members {
			requireFault(t, faults, "/assets/0/"+member, "does not belong to a road vehicle: remove it")
		}
	}
}

func TestDecodeAircraftWarnings(t *testing.T) {
	s := decodeSettings(t, fullRegion)
	timing := `{"typical_s": 1, "slow_s": 2}`
	for _, c := range []struct{ name, kind, members, pointer, says string }{
		{"no minima", "helicopter", `"pilots": 2`, "", `no "minima"`},
		{"no minima for an aeroplane", "aeroplane", `"pilots": 2`, "", `no "minima"`},
		{"area without effect", "helicopter", `"minima": "spa_hems_120", "minima_area": "ridge"`, "/minima_area", `table "spa_hems_120" tells no areas apart`},
		{"no row by day", "helicopter", `"minima": "spa_hems_120_class_3", "minima_area": "coast", "pilots": 2`, "/minima", "does not fly by day"},
		{"no row by night", "helicopter", `"minima": "winter", "night_flying": true`, "/minima", "does not fly by night"},
		{"a winch on wheels", "ambulance", `"allowances": {"winch_lower": ` + timing + `}`, "/allowances/winch_lower", "no effect on an asset of kind ambulance"},
		{"an opened chest in an aeroplane", "aeroplane", `"minima": "spa_hems_120", "allowances": {"open_chest": ` + timing + `}`, "/allowances/open_chest", "no effect on an asset of kind aeroplane"},
		{"a helicopter's allowance", "aeroplane", `"minima": "spa_hems_120", "allowances": {"winch": ` + timing + `}`, "/allowances/winch", "no effect on an asset of kind aeroplane"},
		{"an aeroplane's allowance", "helicopter", `"minima": "spa_hems_120", "allowances": {"load_aeroplane": ` + timing + `}`, "/allowances/load_aeroplane", "no effect on an asset of kind helicopter"},
		{"fuel for an ambulance", "ambulance", `"allowances": {"refuel": ` + timing + `}`, "/allowances/refuel", "no effect on an asset of kind ambulance"},
		{"a hospital's allowance", "helicopter", `"minima": "spa_hems_120", "allowances": {"team_scrub": ` + timing + `}`, "/allowances/team_scrub", "at the facility"},
		{"mobilisation twice", "aeroplane", `"minima": "spa_hems_120", "mobilise": {"night": ` + timing + `}, "allowances": {"mobilise_aeroplane_night": ` + timing + `}`,
			"/allowances/mobilise_aeroplane_night", "no effect beside mobilise/night"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, faults, warnings := routing.DecodeFleet([]byte(`{"assets": [`+withMembers(c.kind, c.members)+`]}`), someFacilities(t), s)
			require.Empty(t, faults)
			require.Len(t, warnings, 1)
			requireFault(t, warnings, "/assets/0"+c.pointer, c.says)
		})
	}
	_, faults, warnings := routing.DecodeFleet([]byte(`{"assets": [`+withMembers("helicopter", `"minima_area": "ridge"`)+`]}`), someFacilities(t), s)
	assert.Empty(t, faults)
	require.Len(t, warnings, 2)
	requireFault(t, warnings, "/assets/0/minima_area", "no effect without minima")

	for kind, own := range map[string][]string{
		"helicopter": {"refuel", "refuel_running", "winch", "winch_lower", "open_chest", "team_board", "team_alight"},
		"aeroplane":  {"refuel", "refuel_running", "aeroplane_approach", "unload_aeroplane", "mobilise_aeroplane_day", "team_board"},
		"ambulance":  {"open_chest", "team_board", "team_alight", "load_ambulance"},
	} {
		members := `"allowances": {"` + strings.Join(own, `": `+timing+`, "`) + `": ` + timing + `}`
		if kind != "ambulance" {
			members += `, "minima": "spa_hems_120"`
		}
		_, faults, warnings := routing.DecodeFleet([]byte(`{"assets": [`+withMembers(kind, members)+`]}`), someFacilities(t), s)
		assert.Empty(t, faults)
		assert.Empty(t, warnings, kind)
	}
}

// Every shipped table can be chosen, with any of its areas.
func TestDecodeAircraftWithEveryShippedTable(t *testing.T) {
	for _, table := range flight.Tables() {
		areas := map[string]bool{}
		for _, row := range table.Rows {
			areas[row.Area] = true
		}
		for area := range areas {
			members := `"minima": "` + table.ID + `"`
			if area != "" {
				members += `, "minima_area": "` + area + `"`
			}
			fleet, faults, warnings := routing.DecodeFleet([]byte(`{"assets": [`+withMembers("helicopter", members)+`]}`), someFacilities(t), nil)
			require.Empty(t, faults, table.ID)
			assert.Empty(t, warnings, table.ID)
			assert.Equal(t, flight.Crew{Pilots: 1, Area: area}, fleet.Assets()[0].Crew)
		}
	}
}

// assertAircraft asserts what every accepted aircraft keeps to.
func assertAircraft(t *testing.T, a routing.Asset) {
	t.Helper()
	assert.Contains(t, []int{1, 2}, a.Crew.Pilots)
	assert.True(t, a.EnduranceS == 0 || a.EnduranceS >= 60 && a.EnduranceS <= 86_400)
	if a.FuelS != nil {
		assert.True(t, *a.FuelS >= 0 && *a.FuelS <= a.EnduranceS, "no more than the tanks hold, which is known")
	}
	if a.Minima != "" {
		_, ok := flight.Find(flight.Tables(), a.Minima)
		assert.True(t, ok, a.Minima)
	}
	if a.Kind == routing.Aeroplane {
		assert.True(t, a.DValueM == 0 && !a.RotorsTurning && (a.RunwayM == 0 || a.RunwayM >= 200 && a.RunwayM <= 4000))
	} else {
		assert.Zero(t, a.RunwayM)
	}
}
