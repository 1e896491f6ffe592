package routing_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
	"surgeonward/routing"
	"surgeonward/routing/flight"
	"surgeonward/routing/road"
)

func TestDecodeFleetInFull(t *testing.T) {
	s := decodeSettings(t, fullRegion)
	fleet := decodeFleet(t, fullFleet, s)
	assets := fleet.Assets()
	require.Len(t, assets, 5)

	h := assets[2]
	assert.Equal(t, "helicopter-1", h.ID, "in order of id, whatever the file's order")
	assert.Equal(t, "Helicopter One", h.Name)
	assert.Equal(t, routing.Helicopter, h.Kind)
	assert.True(t, h.Flies() && h.Carries())
	assert.Equal(t, "north-base", h.Base)
	assert.Equal(t, routing.AtBase, h.State, "the default")
	assert.Nil(t, h.Position)
	assert.Equal(t, []string{"blood", "paramedic", "physician"}, h.Skills, "sorted")
	assert.True(t, h.HasSkill("physician") && !h.HasSkill("winch"))
	assert.Equal(t, 1, h.EscortSeats)
	assert.True(t, h.NightFlying && h.RotorsTurning)
	assert.InDelta(t, 140*1852.0/3600, h.CruiseMS, 1e-12, "140 kt; a knot is 1852 m an hour")
	assert.Equal(t, 12.3, h.DValueM)
	assert.Equal(t, 3500.0, h.MassKg)
	assert.Equal(t, &facilities.Timing{TypicalS: 240, SlowS: 360}, h.MobiliseDay)
	assert.Equal(t, &facilities.Timing{TypicalS: 600, SlowS: 900}, h.MobiliseNight)
	assert.Equal(t, map[string]facilities.Timing{"load_helicopter_running": {TypicalS: 150, SlowS: 250}}, h.Allowances)
	assert.Nil(t, h.Road)
	require.NotNil(t, h.Hours)
	assert.Equal(t, "Etc/GMT+2", h.Zone.String(), "its own")
	morning := time.Date(2031, 3, 14, 12, 0, 0, 0, time.UTC)
	assert.Equal(t, "open", h.Hours.At(morning, h.Zone).State, "10:00 local, a Friday")
	assert.Equal(t, "closed", h.Hours.At(morning.Add(-6*time.Hour), h.Zone).State, "04:00 local")
	assert.Equal(t, "closed", h.Hours.At(time.Date(2031, 12, 25, 12, 0, 0, 0, time.UTC), h.Zone).State, "the exception")

	assert.Equal(t, flight.Crew{Pilots: 2, Aided: true}, h.Crew)
	assert.Equal(t, "spa_hems_120", h.Minima)
	assert.Equal(t, 9000.0, h.EnduranceS)
	require.NotNil(t, h.FuelS)
	assert.Equal(t, 7200.0, *h.FuelS)
	assert.True(t, h.HotRefuel && h.IcingCleared)
	assert.Zero(t, h.RunwayM)

	plane := assets[4]
	assert.Equal(t, "plane-1", plane.ID)
	assert.Equal(t, routing.Aeroplane, plane.Kind)
	assert.True(t, plane.Flies() && plane.Carries() && plane.NightFlying)
	assert.InDelta(t, 430*geo.Knot, plane.CruiseMS, 1e-12)
	assert.Equal(t, 1100.0, plane.RunwayM)
	assert.Equal(t, 5200.0, plane.MassKg)
	assert.Equal(t, flight.Crew{Pilots: 1, Area: "mountainous"}, plane.Crew, "one pilot is the default")
	assert.Equal(t, "us_135_609", plane.Minima)
	assert.Equal(t, 14_400.0, plane.EnduranceS)
	assert.Nil(t, plane.FuelS, "full")
	assert.False(t, plane.HotRefuel || plane.IcingCleared || plane.RotorsTurning)
	assert.Equal(t, map[string]facilities.Timing{"aeroplane_departure": {TypicalS: 500, SlowS: 700}}, plane.Allowances)

	second := assets[3]
	assert.Equal(t, "helicopter-2", second.ID)
	assert.Equal(t, routing.Moving, second.State)
	assert.Equal(t, &orb.Point{-29.41, 45.52}, second.Position)
	assert.InDelta(t, 120*geo.Knot, second.CruiseMS, 1e-12, "the region's")
	assert.False(t, second.NightFlying, "not stated is not allowed")
	assert.Empty(t, second.Minima, "none is kept")
	assert.Zero(t, second.EnduranceS, "not stated")
	assert.Equal(t, "Atlantic/Azores", second.Zone.String(), "the region's: it has no base")

	a := assets[0]
	assert.Equal(t, "ambulance-1", a.ID)
	assert.Equal(t, routing.Committed, a.State)
	assert.Equal(t, time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC), a.FreeAt, "in UTC")
	assert.Equal(t, "Etc/GMT+3", a.Zone.String(), "its base's")
	require.NotNil(t, a.Road)
	assert.InDelta(t, 25, a.Road.CruiseMS, 1e-12, "90 km/h is 25 m/s")
	assert.Equal(t, s.Road.AccelerationMS2, a.Road.AccelerationMS2, "the region's")
	assert.Equal(t, s.Road.Spread, a.Road.Spread, "the region's")
	assert.Zero(t, a.CruiseMS)
	assert.Zero(t, a.Crew, "road vehicles keep no minima")

	car := assets[1]
	assert.Equal(t, routing.ResponseCar, car.Kind)
	assert.False(t, car.Carries())
	assert.Nil(t, car.Road, "nothing stated: the region's at the time of asking")
	assert.Nil(t, car.Hours, "always on duty")
}

func TestDecodeFleetDefaults(t *testing.T) {
	fleet, faults, warnings := routing.DecodeFleet([]byte(
		`{"assets": [{"id": "h", "name": "H", "kind": "helicopter", "base": "anywhere"}]}`), nil, nil)
	require.Empty(t, faults, "without a list bases are not looked up")
	require.Len(t, warnings, 1)
	requireFault(t, warnings, "/assets/0", `no "minima"`)
	h := fleet.Assets()[0]
	assert.Equal(t, routing.DefaultSettings().HelicopterCruiseMS, h.CruiseMS)
	assert.Equal(t, "UTC", h.Zone.String())
	assert.Equal(t, flight.Crew{Pilots: 1}, h.Crew)

	fleet, faults, warnings = routing.DecodeFleet([]byte(
		`{"assets": [{"id": "p", "name": "P", "kind": "aeroplane", "base": "anywhere", "minima": "spa_hems_120"}]}`), nil, nil)
	require.Empty(t, faults)
	assert.Empty(t, warnings)
	p := fleet.Assets()[0]
	assert.Equal(t, routing.DefaultSettings().AeroplaneCruiseMS, p.CruiseMS)
	assert.Zero(t, p.RunwayM, "not stated")
	assert.Nil(t, p.FuelS)

	empty, faults, _ := routing.DecodeFleet([]byte(`{"assets": []}`), nil, nil)
	assert.Empty(t, faults, "no assets is an answer without options, not a fault")
	assert.Empty(t, empty.Assets())
}

func TestDecodeFleetFaults(t *testing.T) {
	for _, c := range []struct{ name, asset, pointer, says string }{
		{"no id", `{"name": "A", "kind": "ambulance", "base": "north-base"}`, "/assets/0", `missing field "id"`},
		{"id with a blank", `{"id": "a 1", "name": "A", "kind": "ambulance", "base": "north-base"}`, "/assets/0/id", "a-z, 0-9 and -"},
		{"no name", `{"id": "a", "kind": "ambulance", "base": "north-base"}`, "/assets/0", `missing field "name"`},
		{"blank name", `{"id": "a", "name": " ", "kind": "ambulance", "base": "north-base"}`, "/assets/0/name", "not blank"},
		{"no kind", `{"id": "a", "name": "A", "base": "north-base"}`, "/assets/0", `missing field "kind"`},
		{"misspelt kind", `{"id": "a", "name": "A", "kind": "helicoptor", "base": "north-base"}`, "/assets/0/kind", `did you mean "helicopter"?`},
		{"unknown field", `{"id": "a", "name": "A", "kind": "helicopter", "base": "north-base", "cruise_kts": 130}`, "/assets/0/cruise_kts", `did you mean "cruise_kt"?`},
		{"unknown base", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-bace"}`, "/assets/0/base", `did you mean "north-base"?`},
		{"base unlike any", `{"id": "a", "name": "A", "kind": "ambulance", "base": "zzzzzzzz"}`, "/assets/0/base", "add it to the list"},
		{"nowhere", `{"id": "a", "name": "A", "kind": "ambulance"}`, "/assets/0", "say where the asset is"},
		{"committed nowhere", `{"id": "a", "name": "A", "kind": "ambulance", "state": "committed"}`, "/assets/0", "say where the asset is"},
		{"unknown state", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "state": "busy"}`, "/assets/0/state", `"committed"`},
		{"moving from nowhere", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "state": "moving"}`, "/assets/0", `missing field "position"`},
		{"free while at base", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "free_at": "2031-03-14T21:40:00Z"}`, "/assets/0/free_at", "belongs to the state committed"},
		{"free at a local time", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "state": "committed", "free_at": "2031-03-14 21:40"}`, "/assets/0/free_at", "2031-03-15T06:00:00Z"},
		{"an end of no state", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "until": "2031-03-14T21:40:00Z"}`, "/assets/0/until", "no state is given"},
		{"nowhere to be at the end", `{"id": "a", "name": "A", "kind": "ambulance", "state": "moving", "position": [-29.4, 45.5], "until": "2031-03-14T21:40:00Z"}`, "/assets/0/until", "nowhere to be"},
		{"an end in another age", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "state": "committed", "until": "9999-12-31T23:59:59-23:59"}`, "/assets/0/until", "outside the years 1970 to 2999"},
		{"free before clocks", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "state": "committed", "free_at": "0000-01-01T00:00:00+23:59"}`, "/assets/0/free_at", "outside the years 1970 to 2999"},
		{"free in another age", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "state": "committed", "free_at": "9999-12-31T23:59:59-23:59"}`, "/assets/0/free_at", "outside the years 1970 to 2999"},
		{"swapped position", `{"id": "a", "name": "A", "kind": "ambulance", "state": "moving", "position": [45.52, -129.41]}`, "/assets/0/position", "order may be swapped"},
		{"one coordinate", `{"id": "a", "name": "A", "kind": "ambulance", "state": "moving", "position": [45.52]}`, "/assets/0/position", "at least 2 items"},
		{"position of nothing", `{"id": "a", "name": "A", "kind": "ambulance", "state": "moving", "position": [null, null]}`, "/assets/0/position/0", "got null"},
		{"huge position", `{"id": "a", "name": "A", "kind": "ambulance", "state": "moving", "position": [1e300, 0]}`, "/assets/0/position", "longitude 1e+300"},
		{"skill in capitals", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "skills": ["Physician"]}`, "/assets/0/skills/0", "a word of a-z"},
		{"skill twice", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "skills": ["nurse", "nurse"]}`, "/assets/0/skills", "keep one"},
		{"half a seat", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "escort_seats": 0.5}`, "/assets/0/escort_seats", "whole number"},
		{"negative seats", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "escort_seats": -1}`, "/assets/0/escort_seats", "at least 0"},
		{"unknown zone", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "time_zone": "Nowhere/Here"}`, "/assets/0/time_zone", "unknown time zone"},
		{"hours without otherwise", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "hours": {}}`, "/assets/0/hours", `missing field "otherwise"`},
		{"hours of no clock", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "hours": {"otherwise": {"state": "open"}, "weekly": [{"days": ["mon"], "from": "25:00", "to": "26:00", "state": "closed"}]}}`, "/assets/0/hours/weekly/0/from", "00:00 to 23:59"},
		{"speed of sound", `{"id": "a", "name": "A", "kind": "helicopter", "base": "north-base", "cruise_kt": 661}`, "/assets/0/cruise_kt", "at most 500"},
		{"hovering", `{"id": "a", "name": "A", "kind": "helicopter", "base": "north-base", "cruise_kt": 0}`, "/assets/0/cruise_kt", "at least 5"},
		{"knots on the road", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "cruise_kt": 50}`, "/assets/0/cruise_kt", "does not belong to a road vehicle"},
		{"a car by night", `{"id": "a", "name": "A", "kind": "response_car", "base": "north-base", "night_flying": false}`, "/assets/0/night_flying", "does not belong to a road vehicle"},
		{"road speed in the air", `{"id": "a", "name": "A", "kind": "helicopter", "base": "north-base", "road": {}}`, "/assets/0/road", "does not belong to a helicopter"},
		{"too fast a road", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "road": {"cruise_kmh": 201}}`, "/assets/0/road/cruise_kmh", "at most 200"},
		{"too slow a road", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "road": {"cruise_kmh": 4.9}}`, "/assets/0/road/cruise_kmh", "at least 5"},
		{"mobilise by dusk", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "mobilise": {"dusk": {"typical_s": 1, "slow_s": 2}}}`, "/assets/0/mobilise/dusk", "unknown field"},
		{"slow before typical", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "mobilise": {"day": {"typical_s": 90, "slow_s": 60}}}`, "/assets/0/mobilise/day/slow_s", "less than typical_s 90"},
		{"misspelt allowance", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "allowances": {"load_ambulence": {"typical_s": 1, "slow_s": 2}}}`, "/assets/0/allowances/load_ambulence", `did you mean "load_ambulance"?`},
		{"allowance in minutes", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "allowances": {"load_ambulance": 2}}`, "/assets/0/allowances/load_ambulance", "must be an object"},
		{"not an asset", `7`, "/assets/0", "must be an object"},
	} {
		t.Run(c.name, func(t *testing.T) {
			fleet, faults, _ := routing.DecodeFleet([]byte(`{"assets": [`+c.asset+`]}`), someFacilities(t), nil)
			assert.Nil(t, fleet)
			requireFault(t, faults, c.pointer, c.says)

			value, broken := strictjson.Parse([]byte(c.asset), strictjson.Limits{})
			require.Empty(t, broken)
			asset, faults, _ := routing.DecodeAsset(value, "/assets/add/3", someFacilities(t), nil)
			assert.Zero(t, asset)
			requireFault(t, faults, strings.Replace(c.pointer, "/assets/0", "/assets/add/3", 1), c.says)
		})
	}
	for _, c := range []struct{ name, data, pointer, says string }{
		{"empty", ``, "", "empty"},
		{"no assets", `{}`, "", `missing field "assets"`},
		{"not a fleet", `{"vehicles": []}`, "/vehicles", "unknown field"},
		{"an object of assets", `{"assets": {}}`, "/assets", "must be an array"},
		{"same id", `{"assets": [{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base"}, {"id": "a", "name": "B", "kind": "ambulance", "base": "north-base"}]}`,
			"/assets/1/id", `id "a" is already the id of /assets/0`},
		{"too deep", strings.Repeat("[", 100), strings.Repeat("/0", 32), "nested more than 32 deep"},
	} {
		t.Run(c.name, func(t *testing.T) {
			fleet, faults, _ := routing.DecodeFleet([]byte(c.data), someFacilities(t), nil)
			assert.Nil(t, fleet)
			requireFault(t, faults, c.pointer, c.says)
		})
	}
}

func TestDecodeFleetReportsAllFaultsAtOnce(t *testing.T) {
	_, faults, _ := routing.DecodeFleet([]byte(`{"assets": [
	  {"id": "a", "name": "A", "kind": "ambulance", "base": "south-bace", "cruise_kt": 100, "wheels": 4},
	  {"id": "a", "name": "B", "kind": "plane", "state": "moving"},
	  {"id": "c", "name": "C", "kind": "helicopter", "base": "north-base", "cruise_kt": "fast",
	   "mobilise": {"day": {"typical_s": 9, "slow_s": 8}}}]}`), someFacilities(t), nil)
	var pointers []string
	for _, f := range faults {
		pointers = append(pointers, f.Pointer)
	}
	assert.Equal(t, []string{
		"/assets/0/base", "/assets/0/cruise_kt", "/assets/0/wheels",
		"/assets/1", "/assets/1/id", "/assets/1/kind",
		"/assets/2/cruise_kt", "/assets/2/mobilise/day/slow_s",
	}, pointers, "what the schema sees and what it cannot, in order of pointer")
}

// A file written for another list of facilities, or longer than any fleet,
// gets a bounded answer.
func TestDecodeFleetBoundsItsFaults(t *testing.T) {
	assets := make([]string, 3000)
	for i := range assets {
		assets[i] = fmt.Sprintf(`{"id": "a%d", "name": "A", "kind": "ambulance", "base": "north-bace"}`, i)
	}
	_, faults, _ := routing.DecodeFleet([]byte(`{"assets": [`+strings.Join(assets[:100], ",")+`]}`), someFacilities(t), nil)
	require.Len(t, faults, 100, "each asset is named")
	assert.Contains(t, faults[0].Detail, `did you mean "north-base"?`)
	assert.NotContains(t, faults[99].Detail, "did you mean", "hints end sooner: they take long")

	_, faults, _ = routing.DecodeFleet([]byte(`{"assets": [`+strings.Join(assets, ",")+`]}`), someFacilities(t), nil)
	require.Len(t, faults, 201)
	requireFault(t, faults, "/assets", "at most 2000 items (has 3000)")
	assert.Equal(t, "1801 more are not shown: correct these first", faults[200].Detail, "2000 assets are looked at")
}

func TestDecodeFleetWarnings(t *testing.T) {
	for _, c := range []struct{ name, asset, pointer, says string }{
		{"slip in a skill", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "skills": ["physican", "swimmer"]}`,
			"/assets/0/skills/0", `unknown skill "physican": did you mean "physician"?`},
		{"position at the scene", `{"id": "a", "name": "A", "kind": "ambulance", "state": "at_scene", "position": [-29.4, 45.5]}`,
			"/assets/0/position", "is not used"},
		{"base and position", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "position": [-29.4, 45.5]}`,
			"/assets/0/position", `not from base "north-base"`},
		{"another kind's allowance", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "allowances": {"helicopter_start": {"typical_s": 1, "slow_s": 2}}}`,
			"/assets/0/allowances/helicopter_start", "no effect on an asset of kind ambulance"},
		{"a hospital's allowance", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "allowances": {"handover": {"typical_s": 1, "slow_s": 2}}}`,
			"/assets/0/allowances/handover", "at the facility"},
		{"mobilisation twice", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "mobilise": {"day": {"typical_s": 1, "slow_s": 2}},
			"allowances": {"mobilise_ambulance_day": {"typical_s": 3, "slow_s": 4}, "mobilise_ambulance_night": {"typical_s": 5, "slow_s": 6}}}`,
			"/assets/0/allowances/mobilise_ambulance_day", "no effect beside mobilise/day"},
		{"overlapping hours", `{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "hours": {"otherwise": {"state": "open"},
			"weekly": [{"days": ["mon"], "from": "01:00", "to": "03:00", "state": "closed"}, {"days": ["mon"], "from": "02:00", "to": "04:00", "state": "open"}]}}`,
			"/assets/0/hours/weekly/1", "overlap those of entry 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			fleet, faults, warnings := routing.DecodeFleet([]byte(`{"assets": [`+c.asset+`]}`), someFacilities(t), nil)
			require.Empty(t, faults)
			require.NotNil(t, fleet)
			require.Len(t, warnings, 1)
			requireFault(t, warnings, c.pointer, c.says)
		})
	}
	_, faults, warnings := routing.DecodeFleet([]byte(`{"assets": [{"id": "a", "name": "A", "kind": "response_car", "base": "north-base", "allowances": {
	  "escort_join": {"typical_s": 1, "slow_s": 2}, "mobilise_response_car_day": {"typical_s": 3, "slow_s": 4}}}]}`), someFacilities(t), nil)
	assert.Empty(t, faults)
	assert.Empty(t, warnings, "both are a response car's own")
	assert.True(t, slices.IsSorted(routing.KnownSkills()))
}

func TestFleetHash(t *testing.T) {
	s := decodeSettings(t, fullRegion)
	base := decodeFleet(t, fullFleet, s)
	assert.Len(t, base.Hash(), 64, "SHA-256 in hexadecimal")

	var document struct {
		Assets []map[string]any `json:"assets"`
	}
	require.NoError(t, json.Unmarshal([]byte(fullFleet), &document))
	slices.Reverse(document.Assets)
	reordered, err := json.Marshal(document) // members sorted, no white space, assets reversed
	require.NoError(t, err)
	other := decodeFleet(t, string(reordered), s)
	assert.Equal(t, base.Hash(), other.Hash(), "neither order nor layout count")
	assert.Equal(t, base.Assets(), other.Assets())

	again, err := routing.NewFleet(base.Assets())
	require.NoError(t, err)
	assert.Equal(t, base.Hash(), again.Hash(), "the content counts, not where it came from")

	for _, change := range [][2]string{
		{"Helicopter One", "Helicopter Won"}, {"140", "141"}, {`"physician"`, `"nurse"`}, {"2031-03-14T20:40:00-01:00", "2031-03-14T20:41:00-01:00"},
		{"[-29.41, 45.52]", "[-29.41, 45.53]"}, {"08:00", "08:30"}, {"2031-12-25", "2031-12-26"}, {"Etc/GMT+2", "Etc/GMT+1"},
		{`"pilots": 2`, `"pilots": 1`}, {`"night_vision": true`, `"night_vision": false`}, {`"spa_hems_120"`, `"winter"`},
		{`"mountainous"`, `"nonmountainous"`}, {`"endurance_s": 9000`, `"endurance_s": 9001`}, {`"fuel_s": 7200`, `"fuel_s": 7201`},
		{`"fuel_s": 7200,`, ``}, {`"hot_refuel": true`, `"hot_refuel": false`}, {`"icing_cleared": true`, `"icing_cleared": false`},
		{`"runway_m": 1100`, `"runway_m": 1101`},
		{`"typical_s": 150`, `"typical_s": 151`}, {`"cruise_kmh": 90`, `"cruise_kmh": 91`}, {`"escort_seats": 1`, `"escort_seats": 2`},
	} {
		changed := strings.Replace(fullFleet, change[0], change[1], 1)
		require.NotEqual(t, fullFleet, changed, change[0])
		assert.NotEqual(t, base.Hash(), decodeFleet(t, changed, s).Hash(), change[1])
	}
	assert.Equal(t, base.Hash(), decodeFleet(t, strings.Replace(fullFleet, "green", "blue", 1), s).Hash(), "x_ members are not content")
}

func TestNewFleet(t *testing.T) {
	assets := []routing.Asset{{ID: "b", Kind: routing.Ambulance}, {ID: "a", Kind: routing.Helicopter, State: routing.AtScene}}
	fleet, err := routing.NewFleet(assets)
	require.NoError(t, err)
	assert.Equal(t, "b", assets[0].ID, "the caller's slice is left alone")
	got := fleet.Assets()
	assert.Equal(t, []string{"a", "b"}, []string{got[0].ID, got[1].ID})
	assert.Equal(t, routing.AtScene, got[0].State)
	assert.Equal(t, routing.AtBase, got[1].State)
	assert.NotNil(t, got[1].Zone)

	_, err = routing.NewFleet([]routing.Asset{{ID: "a"}, {ID: ""}, {ID: "a"}})
	assert.ErrorContains(t, err, `asset id "a" is used twice`)
	assert.ErrorContains(t, err, "an asset has no id")
}

func TestDecodeAsset(t *testing.T) {
	value, faults := strictjson.Parse([]byte(
		`{"id": "visitor", "name": "Visitor", "kind": "helicopter", "state": "moving", "position": [-29.2, 45.6], "skills": ["sergeon"]}`), strictjson.Limits{})
	require.Empty(t, faults)
	asset, faults, warnings := routing.DecodeAsset(value, "/assets/add/0", someFacilities(t), nil)
	require.Empty(t, faults)
	assert.Equal(t, flight.Crew{Pilots: 1}, asset.Crew)
	assert.Equal(t, "visitor", asset.ID)
	assert.Equal(t, routing.Moving, asset.State)
	assert.Equal(t, routing.DefaultSettings().HelicopterCruiseMS, asset.CruiseMS)
	requireFault(t, warnings, "/assets/add/0/skills/0", `did you mean "surgeon"?`)
}

func FuzzDecodeFleet(f *testing.F) {
	for _, seed := range []string{
		fullFleet, ``, `null`, `[]`, `{"assets": null}`, `{"assets": [null, 1, "", [], {}]}`,
		`{"assets": [{"id": "a", "name": "A", "kind": "helicopter", "state": "moving", "position": [180, -90], "cruise_kt": 400}]}`,
		`{"assets": [{"id": "a", "name": "A", "kind": "helicopter", "state": "moving", "position": [1e308, -1e308]}]}`,
		`{"assets": [{"id": "a", "name": "A", "kind": "ambulance", "state": "committed", "base": "north-base", "free_at": "9999-12-31T23:59:59.999999999-23:59"}]}`,
		`{"assets": [{"id": "a", "name": "A", "kind": "ambulance", "state": "committed", "base": "north-base", "free_at": "0000-01-01T00:00:00+23:59"}]}`,
		`{"assets": [{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "road": {"cruise_kmh": 5, "acceleration_kmh_per_min": 1000}}]}`,
		`{"assets": [{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "hours": {"otherwise": {"state": "open"}, "exceptions": [{"date": "0001-01-01", "state": "closed"}]}}]}`,
		`{"assets": [{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "hours": {"otherwise": {}, "weekly": [{"days": [7], "from": 0, "to": null}]}}]}`,
		`{"assets": [{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "allowances": {"": {}, "x_": 0, "carry": {"typical_s": -0.0, "slow_s": 5e-324}}}]}`,
		`{"assets": [{"id": "p", "name": "P", "kind": "aeroplane", "state": "moving", "position": [-180, 90], "cruise_kt": 500, "runway_m": 200, "endurance_s": 60, "fuel_s": 0}]}`,
		`{"assets": [{"id": "p", "name": "P", "kind": "aeroplane", "base": "north-base", "endurance_s": 86400, "fuel_s": 86400, "minima": "us_135_609", "minima_area": "mountainous_local", "pilots": 2}]}`,
		`{"assets": [{"id": "p", "name": "P", "kind": "aeroplane", "base": "north-base", "endurance_s": -1e308, "fuel_s": 1e308, "runway_m": 5e-324, "pilots": 1e9, "minima": "", "minima_area": null}]}`,
		`{"assets": [{"id": "h", "name": "H", "kind": "helicopter", "base": "north-base", "minima_area": "mountainous", "fuel_s": -0.0, "night_vision": 1, "hot_refuel": null}]}`,
		`{"assets": [{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "minima": "spa_hems_120", "endurance_s": 60, "pilots": 2}]}`,
		strings.Repeat(`{"assets":[`, 5000), "\xef\xbb\xbf{}",
	} {
		f.Add([]byte(seed))
	}
	list := someFacilities(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		fleet, faults, _ := routing.DecodeFleet(data, list, nil)
		if fleet == nil {
			assert.NotEmpty(t, faults, "nothing without a reason")
			return
		}
		assert.Empty(t, faults)
		for i, a := range fleet.Assets() {
			assert.True(t, i == 0 || fleet.Assets()[i-1].ID < a.ID, "in order, each once")
			assert.NotNil(t, a.Zone)
			assert.True(t, a.Base != "" || a.Position != nil || a.State == routing.AtScene)
			if a.Position != nil {
				assert.NoError(t, geo.Check(*a.Position))
			}
			if a.Flies() {
				assert.True(t, a.CruiseMS > 2 && a.CruiseMS < 258 && !math.IsNaN(a.CruiseMS), "5 to 500 kt")
				assertAircraft(t, a)
			} else {
				assert.Zero(t, a.Crew)
				assert.True(t, a.Minima == "" && a.EnduranceS == 0 && a.FuelS == nil && a.RunwayM == 0 && !a.HotRefuel && !a.IcingCleared)
			}
			if a.Road != nil {
				assert.NoError(t, a.Road.Check())
			}
			for id, timing := range a.Allowances {
				assert.True(t, timing.Valid(), id)
			}
		}
		again, _, _ := routing.DecodeFleet(data, list, nil)
		require.NotNil(t, again)
		assert.Equal(t, fleet.Hash(), again.Hash())
		assert.NotEmpty(t, fleet.Hash())
	})
}

func ExampleDecodeFleet() {
	fleet, faults, _ := routing.DecodeFleet([]byte(`{"assets": [
	  {"id": "helicopter-1", "name": "Helicopter One", "kind": "helicopter", "position": [-29.41, 45.52], "cruise_kt": 140}]}`), nil, nil)
	if len(faults) > 0 {
		fmt.Println(faults)
		return
	}
	for _, a := range fleet.Assets() {
		fmt.Printf("%s cruises at %.1f m/s\n", a.Name, a.CruiseMS)
	}
	_, faults, _ = routing.DecodeFleet([]byte(`{"assets": [
	  {"id": "helicopter-1", "name": "Helicopter One", "kind": "helicopter", "position": [-29.41, 45.52], "cruise_knots": 140}]}`), nil, nil)
	for _, f := range faults {
		fmt.Println(f.Pointer)
	}
	// Output:
	// Helicopter One cruises at 72.0 m/s
	// /assets/0/cruise_knots
}

const fullFleet = `{
  "assets": [
    {"id": "helicopter-2", "name": "Helicopter Two", "kind": "helicopter", "state": "moving", "position": [-29.41, 45.52]},
    {"id": "helicopter-1", "name": "Helicopter One", "kind": "helicopter", "base": "north-base", "x_colour": "green",
     "skills": ["physician", "paramedic", "blood"], "escort_seats": 1, "night_flying": true, "rotors_turning": true,
     "cruise_kt": 140, "d_value_m": 12.3, "mass_kg": 3500, "time_zone": "Etc/GMT+2",
     "pilots": 2, "night_vision": true, "minima": "spa_hems_120", "endurance_s": 9000, "fuel_s": 7200,
     "hot_refuel": true, "icing_cleared": true,
     "hours": {"otherwise": {"state": "closed"},
               "weekly": [{"days": ["mon", "tue", "wed", "thu", "fri", "sat", "sun"], "from": "08:00", "to": "20:00", "state": "open"}],
               "exceptions": [{"date": "2031-12-25", "state": "closed"}]},
     "mobilise": {"day": {"typical_s": 240, "slow_s": 360}, "night": {"typical_s": 600, "slow_s": 900}},
     "allowances": {"load_helicopter_running": {"typical_s": 150, "slow_s": 250}}},
    {"id": "ambulance-1", "name": "Ambulance One", "kind": "ambulance", "base": "south-base", "state": "committed",
     "free_at": "2031-03-14T20:40:00-01:00", "road": {"cruise_kmh": 90}},
    {"id": "plane-1", "name": "Aeroplane One", "kind": "aeroplane", "base": "south-base", "night_flying": true,
     "cruise_kt": 430, "mass_kg": 5200, "runway_m": 1100, "minima": "us_135_609", "minima_area": "mountainous", "endurance_s": 14400,
     "allowances": {"aeroplane_departure": {"typical_s": 500, "slow_s": 700}}},
    {"id": "car-1", "name": "Response Car One", "kind": "response_car", "base": "north-base", "skills": ["physician"]}
  ]
}`

func someFacilities(t testing.TB) *facilities.List {
	t.Helper()
	list, faults, _ := facilities.Decode([]byte(`{"type": "FeatureCollection", "features": [
	  {"type": "Feature", "id": "north-base", "geometry": {"type": "Point", "coordinates": [-29.41, 45.72]},
	   "properties": {"kind": "base", "name": "North Base"}},
	  {"type": "Feature", "id": "south-base", "geometry": {"type": "Point", "coordinates": [-29.31, 45.22]},
	   "properties": {"kind": "base", "name": "South Base", "time_zone": "Etc/GMT+3"}}]}`),
		facilities.DecodeOptions{Zone: time.FixedZone("region", 0)})
	require.Empty(t, faults)
	return list
}

func decodeFleet(t *testing.T, data string, s *routing.Settings) *routing.Fleet {
	t.Helper()
	fleet, faults, _ := routing.DecodeFleet([]byte(data), someFacilities(t), s)
	require.Empty(t, faults)
	require.NotNil(t, fleet)
	return fleet
}

// The schema and the road law have the same bounds.
func TestFleetBoundsAreTheLaws(t *testing.T) {
	for member, bounds := range map[string][2]float64{
		"cruise_kmh":               {road.MinCruiseKMH, road.MaxCruiseKMH},
		"acceleration_kmh_per_min": {road.MinAccelerationKMHPerMin, road.MaxAccelerationKMHPerMin},
	} {
		for i, bound := range bounds {
			asset := `{"assets": [{"id": "a", "name": "A", "kind": "ambulance", "base": "north-base", "road": {%q: %v}}]}`
			fleet := decodeFleet(t, fmt.Sprintf(asset, member, bound), nil)
			assert.NoError(t, fleet.Assets()[0].Road.Check(), "%s %v", member, bound)
			outside := bound + float64(2*i-1)/2
			_, faults, _ := routing.DecodeFleet([]byte(fmt.Sprintf(asset, member, outside)), nil, nil)
			requireFault(t, faults, "/assets/0/road/"+member, "must be at")
		}
	}
}
