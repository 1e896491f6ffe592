package routing_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
	"surgeonward/routing"
	"surgeonward/routing/flight"
	"surgeonward/routing/road"
)

const plainRegion = `{"region": {"name": "Quovarel Islands", "time_zone": "Atlantic/Azores"}}`

func TestDecodeSettingsDefaults(t *testing.T) {
	s := decodeSettings(t, plainRegion)
	d := routing.DefaultSettings()
	assert.Equal(t, "Quovarel Islands", s.Region)
	assert.Equal(t, "Atlantic/Azores", s.Zone.String())
	assert.False(t, s.Demonstration)
	assert.Equal(t, d.Allowances(), s.Allowances(), "what the file leaves out keeps the shipped value")
	assert.Equal(t, d.Parameters(), s.Parameters())
	assert.Equal(t, d.Road, s.Road)
	assert.Equal(t, flight.Tables(), s.Minima, "the shipped tables as they are")
	assert.Empty(t, s.Stations)
	assert.Equal(t, []routing.Hazard{routing.Excludes, routing.Excludes, routing.Cautions},
		[]routing.Hazard{s.Thunderstorm, s.Freezing, s.IcingPossible})
	assert.Equal(t, flight.Tables(), d.Minima)
	assert.Equal(t, routing.Excludes, d.Thunderstorm)
	assert.NotEqual(t, d.Hash(), s.Hash(), "the region is part of the content")
	assert.Equal(t, "UTC", d.Zone.String())
	assert.Empty(t, d.Region)
}

const fullRegion = `{
  "region": {"name": "Quovarel Islands", "time_zone": "Atlantic/Azores", "demonstration": true, "x_editor": "desk"},
  "child_below_years": 14,
  "carry_max_m": 250,
  "carry_speed_kmh": 3.6,
  "team_walk_kmh": 5.4,
  "helicopter_cruise_kt": 120,
  "aeroplane_cruise_kt": 250, "team_seats": 3,
  "reserve_day_min": 25, "reserve_night_min": 35, "aeroplane_reserve_day_min": 40, "aeroplane_reserve_night_min": 50,
  "report_max_age_min": 60, "station_max_km": 80, "near_minima_fraction": 0.5,
  "weather_stations": [
    {"code": "QQAB", "position": [-29.9, 45.1]},
    {"code": "QQA1", "position": [-29.4, 45.5], "x_name": "the ridge"}
  ],
  "minima": [
    {"id": "winter", "label": "Winter operations", "regulation": "own operations manual, part A", "edition": "2031",
     "rows": [{"when": "day", "ceiling_ft": 700, "visibility_m": 4000}]},
    {"id": "spa_hems_120_class_3", "label": "Isles", "regulation": "own operations manual, part B", "edition": "2030", "source": "page 12",
     "rows": [{"when": "night", "pilots": 2, "aided": true, "area": "coast", "ceiling_ft": 900, "visibility_m": 3500},
              {"when": "day", "area": "ridge", "ceiling_ft": 600, "visibility_m": 2500}]},
    {"id": "coastal", "label": "Coast", "regulation": "own operations manual, part C", "edition": "2030",
     "rows": [{"when": "day", "ceiling_ft": 650, "visibility_m": 3000}]}
  ],
  "hazards": {"thunderstorm": "caution", "icing_possible": "ignore"},
  "status_reports": {
    "ids": [{"reported": "urn:example:17", "facility": "chest"}, {"reported": "north", "facility": "town", "x_note": "as of 2031"}],
    "colours": [{"colour": "Green", "state": "open"}, {"colour": "amber", "state": "divert"}, {"colour": "black", "state": "closed"}]
  },
  "road": {"road_factor": 1.45, "cruise_kmh": 72, "acceleration_kmh_per_min": 36, "spread": {"b0": 0.5, "b1": 0.001, "b2": 0.04}},
  "allowances": {
    "handover": {"typical_s": 240, "slow_s": 400, "source": "own case review", "date": "2031-02"},
    "call_in": {"typical_s": 900, "slow_s": 1500}
  },
  "sources": {"road_factor": {"source": "own road survey", "date": "2030"}},
  "x_note": "whatever the editor likes"
}`

func TestDecodeSettingsRegion(t *testing.T) {
	s := decodeSettings(t, fullRegion)
	assert.True(t, s.Demonstration)
	assert.Equal(t, 14.0, s.ChildBelowYears)
	assert.Equal(t, 250.0, s.CarryMaxM)
	assert.InDelta(t, 1.0, s.CarryMS, 1e-12, "3.6 km/h is 1 m/s")
	assert.InDelta(t, 120*geo.Knot, s.HelicopterCruiseMS, 1e-12)
	assert.InDelta(t, 250*1852.0/3600, s.AeroplaneCruiseMS, 1e-9, "a knot is 1852 m an hour")
	assert.Equal(t, 1.45, s.RoadFactor)
	assert.InDelta(t, 20, s.Road.CruiseMS, 1e-12, "72 km/h is 20 m/s")
	assert.InDelta(t, 36/3.6/60, s.Road.AccelerationMS2, 1e-12, "36 km/h is 10 m/s, gained in 60 s")
	assert.Equal(t, road.Spread{B0Min2: 0.5, B1Min: 0.001, B2: 0.04}, s.Road.Spread)

	assert.Equal(t, facilities.Timing{TypicalS: 240, SlowS: 400}, s.Allowance("handover").Timing)
	assert.Equal(t, routing.MarkRegion, s.Allowance("handover").Mark)
	assert.Equal(t, "own case review", s.Allowance("handover").Source)
	assert.Equal(t, "2031-02", s.Allowance("handover").Date)
	assert.Equal(t, routing.MarkAssumption, s.Allowance("call_in").Mark, "a value without a source is an assumption")
	assert.Equal(t, routing.MarkAssumption, s.Allowance("call_in").SlowMark)
	assert.Equal(t, routing.DefaultSettings().Allowance("carry"), s.Allowance("carry"))

	for _, p := range s.Parameters() {
		want := routing.MarkAssumption
		if p.ID == "road_factor" {
			want = routing.MarkRegion
		}
		assert.Equal(t, want, p.Mark, "%s: the file sets every parameter, and gives one source", p.ID)
	}
}

func TestDecodeSettingsWarnings(t *testing.T) {
	_, faults, warnings := routing.DecodeSettings([]byte(`{
	  "region": {"name": "Quovarel Islands", "time_zone": "Atlantic/Azores"},
	  "allowances": {"handover": {"typical_s": 240, "slow_s": 400, "source": "own case review"}},
	  "sources": {"road_factor": {"source": "own road survey", "date": "2030"}}}`))
	assert.Empty(t, faults)
	assert.Equal(t, []strictjson.Fault{
		{Pointer: "/allowances/handover", Detail: `the source has no date: add "date", so that readers can tell how old the figure is`},
		{Pointer: "/sources/road_factor", Detail: "a source for road_factor, which this file does not set: the shipped value and its source are used"},
	}, warnings)
}

func TestDecodeSettingsFaults(t *testing.T) {
	const region = `"region": {"name": "Quovarel Islands", "time_zone": "Atlantic/Azores"}`
	for _, c := range []struct{ name, data, pointer, says string }{
		{"empty", ``, "", "empty"},
		{"cut short", `{"region": {"name": "Ou`, "/region/name", "cut short"},
		{"not an object", `[]`, "", "must be an object"},
		{"no region", `{}`, "", `missing field "region"`},
		{"no name", `{"region": {"time_zone": "UTC"}}`, "/region", `missing field "name"`},
		{"no zone", `{"region": {"name": "Quovarel Islands"}}`, "/region", `missing field "time_zone"`},
		{"unknown zone", `{"region": {"name": "Quovarel Islands", "time_zone": "Atlantic/Nowhere"}}`, "/region/time_zone", `unknown time zone "Atlantic/Nowhere"`},
		{"the machine's own zone", `{"region": {"name": "Quovarel Islands", "time_zone": "Local"}}`, "/region/time_zone", `unknown time zone "Local"`},
		{"zone outside the database", `{"region": {"name": "Quovarel Islands", "time_zone": "../../etc/passwd"}}`, "/region/time_zone", "unknown time zone"},
		{"misspelt member", `{` + region + `, "child_bellow_years": 16}`, "/child_bellow_years", `did you mean "child_below_years"?`},
		{"misspelt allowance", `{` + region + `, "allowances": {"handovr": {"typical_s": 1, "slow_s": 2}}}`, "/allowances/handovr", `did you mean "handover"?`},
		{"misspelt source", `{` + region + `, "sources": {"road_factr": {"source": "s"}}}`, "/sources/road_factr", `did you mean "road_factor"?`},
		{"slow before typical", `{` + region + `, "allowances": {"handover": {"typical_s": 100, "slow_s": 99}}}`, "/allowances/handover/slow_s", "slow_s 99 is less than typical_s 100"},
		{"half a duration", `{` + region + `, "allowances": {"handover": {"typical_s": 100}}}`, "/allowances/handover", `missing field "slow_s"`},
		{"negative duration", `{` + region + `, "allowances": {"handover": {"typical_s": -1, "slow_s": 9}}}`, "/allowances/handover/typical_s", "at least 0"},
		{"a duration of years", `{` + region + `, "allowances": {"handover": {"typical_s": 1, "slow_s": 1e300}}}`, "/allowances/handover/slow_s", "at most 172800"},
		{"a date in words", `{` + region + `, "allowances": {"handover": {"typical_s": 1, "slow_s": 2, "source": "s", "date": "last March"}}}`, "/allowances/handover/date", "a year, a month or a day"},
		{"road factor below 1", `{` + region + `, "road": {"road_factor": 0.9}}`, "/road/road_factor", "at least 1"},
		{"speed in metres per second", `{` + region + `, "road": {"cruise_kmh": 3}}`, "/road/cruise_kmh", "at least 5"},
		{"no acceleration", `{` + region + `, "road": {"acceleration_kmh_per_min": 0}}`, "/road/acceleration_kmh_per_min", "at least 1"},
		{"negative spread", `{` + region + `, "road": {"spread": {"b2": -0.1}}}`, "/road/spread/b2", "at least 0"},
		{"quoted number", `{` + region + `, "carry_max_m": "300"}`, "/carry_max_m", "remove the quotes"},
		{"null", `{` + region + `, "carry_max_m": null}`, "/carry_max_m", "got null"},
		{"beyond numbers", `{` + region + `, "carry_max_m": 1e999}`, "/carry_max_m", "outside the range of numbers"},
		{"twice", `{` + region + `, "carry_max_m": 300, "carry_max_m": 200}`, "/carry_max_m", "given twice"},
		{"NaN", `{` + region + `, "carry_max_m": NaN}`, "/carry_max_m", "NaN"},
		{"misspelt reserve", `{` + region + `, "reserv_day_min": 20}`, "/reserv_day_min", `did you mean "reserve_day_min"?`},
		{"half an hour as hours", `{` + region + `, "reserve_night_min": 0.5}`, "/reserve_night_min", "at least 5"},
		{"half a seat", `{` + region + `, "team_seats": 2.5}`, "/team_seats", "whole number"},
		{"no team", `{` + region + `, "team_seats": 0}`, "/team_seats", "at least 1"},
		{"reported twice", `{` + region + `, "status_reports": {"ids": [{"reported": "a", "facility": "x"}, {"reported": "a", "facility": "y"}]}}`,
			"/status_reports/ids/1/reported", `id "a" is already at /status_reports/ids/0`},
		{"reported for nobody", `{` + region + `, "status_reports": {"ids": [{"reported": "a"}]}}`, "/status_reports/ids/0", `missing field "facility"`},
		{"a blank id", `{` + region + `, "status_reports": {"ids": [{"reported": " ", "facility": "x"}]}}`, "/status_reports/ids/0/reported", "not blank"},
		{"a colour twice", `{` + region + `, "status_reports": {"colours": [{"colour": "Red", "state": "closed"}, {"colour": "red", "state": "open"}]}}`,
			"/status_reports/colours/1/colour", `colour "red" is already at /status_reports/colours/0`},
		{"a colour that means full", `{` + region + `, "status_reports": {"colours": [{"colour": "red", "state": "full"}]}}`,
			"/status_reports/colours/0/state", `"open", "divert" or "closed"`},
		{"a table by colour", `{` + region + `, "status_reports": {"colours": {"red": "closed"}}}`, "/status_reports/colours", "must be an array"},
		{"misspelt table", `{` + region + `, "status_reports": {"colors": []}}`, "/status_reports/colors", `did you mean "colours"?`},
		{"report of last week", `{` + region + `, "report_max_age_min": 10080}`, "/report_max_age_min", "at most 1440"},
		{"station beyond the sea", `{` + region + `, "station_max_km": 20000}`, "/station_max_km", "at most 1000"},
		{"near as a percentage", `{` + region + `, "near_minima_fraction": 25}`, "/near_minima_fraction", "at most 2"},
		{"supersonic", `{` + region + `, "aeroplane_cruise_kt": 1300}`, "/aeroplane_cruise_kt", "at most 500"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, faults, _ := routing.DecodeSettings([]byte(c.data))
			assert.Nil(t, s)
			requireFault(t, faults, c.pointer, c.says)
		})
	}
}

func TestDecodeSettingsReportsAllFaultsAtOnce(t *testing.T) {
	_, faults, _ := routing.DecodeSettings([]byte(`{
	  "region": {"name": "", "time_zone": "Atlantic/Nowhere"},
	  "carry_max_m": -1, "rode": {},
	  "allowances": {"handover": {"typical_s": 100, "slow_s": 99}}}`))
	var pointers []string
	for _, f := range faults {
		pointers = append(pointers, f.Pointer)
	}
	assert.Equal(t, []string{"/allowances/handover/slow_s", "/carry_max_m", "/region/name", "/region/time_zone", "/rode"}, pointers,
		"what the schema sees and what it cannot, in order of pointer")
}

// The schema and the road law have the same bounds.
func TestSettingsBoundsAreTheLaws(t *testing.T) {
	for _, c := range []struct {
		member    string
		low, high float64
	}{
		{"cruise_kmh", road.MinCruiseKMH, road.MaxCruiseKMH},
		{"acceleration_kmh_per_min", road.MinAccelerationKMHPerMin, road.MaxAccelerationKMHPerMin},
		{"road_factor", road.MinRoadFactor, road.MaxRoadFactor},
	} {
		for _, value := range []float64{c.low, c.high} {
			s := decodeSettings(t, fmt.Sprintf(`{"region": {"name": "r", "time_zone": "UTC"}, "road": {%q: %v}}`, c.member, value))
			assert.NoError(t, s.Road.Check(), "%s %v", c.member, value)
		}
		for _, value := range []float64{c.low - 0.5, c.high + 0.5} {
			_, faults, _ := routing.DecodeSettings([]byte(fmt.Sprintf(`{"region": {"name": "r", "time_zone": "UTC"}, "road": {%q: %v}}`, c.member, value)))
			requireFault(t, faults, "/road/"+c.member, "must be at")
		}
	}
	s := decodeSettings(t, `{"region": {"name": "r", "time_zone": "UTC"}, "road": {"spread": {"b0": 100, "b1": 100, "b2": 10}}}`)
	assert.NoError(t, s.Road.Check(), "the largest spread")
	s = decodeSettings(t, `{"region": {"name": "r", "time_zone": "UTC"}, "road": {"spread": {"b0": 0, "b1": 0, "b2": 0}}}`)
	assert.NoError(t, s.Road.Check(), "no spread")
	s = decodeSettings(t, fmt.Sprintf(`{"region": {"name": "r", "time_zone": "UTC"}, "allowances": {"package": {"typical_s": 0, "slow_s": %v}}}`, facilities.MaxTiming))
	assert.True(t, s.Allowance("package").Timing.Valid())
}

func TestSettingsHash(t *testing.T) {
	base := decodeSettings(t, fullRegion)
	assert.Len(t, base.Hash(), 64, "SHA-256 in hexadecimal")

	var members map[string]json.RawMessage
	require.NoError(t, json.Unmarshal([]byte(fullRegion), &members))
	compact, err := json.Marshal(members) // sorted, without white space
	require.NoError(t, err)
	assert.Equal(t, base.Hash(), decodeSettings(t, string(compact)).Hash(), "neither order nor layout count")
	assert.Equal(t, base.Hash(), decodeSettings(t, strings.Replace(fullRegion, "whatever", "anything", 1)).Hash(), "nor x_ members")
	assert.Equal(t, routing.DefaultSettings().Hash(), routing.DefaultSettings().Hash())

	for _, change := range [][2]string{
		{"Quovarel Islands", "Inner Isles"}, {"Atlantic/Azores", "UTC"}, {"true", "false"},
		{`"QQAB"`, `"QQAC"`}, {"[-29.9, 45.1]", "[-29.9, 45.2]"}, {`"thunderstorm": "caution"`, `"thunderstorm": "ignore"`},
		{`"icing_possible"`, `"freezing"`}, {`"winter"`, `"summer"`}, {"Winter operations", "Winter"}, {"part A", "part D"},
		{`"edition": "2031"`, `"edition": "2032"`}, {"page 12", "page 13"}, {`"pilots": 2`, `"pilots": 1`}, {`"aided": true`, `"aided": false`},
		{`"coast"`, `"lowland"`}, {`"ceiling_ft": 700`, `"ceiling_ft": 701`}, {`"visibility_m": 4000`, `"visibility_m": 4001`},
		{`"when": "night"`, `"when": "day"`}, {`"team_seats": 3`, `"team_seats": 4`}, {`"reserve_night_min": 35`, `"reserve_night_min": 36`},
		{`"report_max_age_min": 60`, `"report_max_age_min": 61`}, {`"near_minima_fraction": 0.5`, `"near_minima_fraction": 0.6`},
		{`"child_below_years": 14`, `"child_below_years": 15`}, {`"typical_s": 240`, `"typical_s": 241`},
		{"own case review", "own audit"}, {"0.001", "0.002"}, {"own road survey", "map"},
	} {
		changed := strings.Replace(fullRegion, change[0], change[1], 1)
		require.NotEqual(t, fullRegion, changed)
		assert.NotEqual(t, base.Hash(), decodeSettings(t, changed).Hash(), "%s", change[1])
	}
}

func FuzzDecodeSettings(f *testing.F) {
	for _, seed := range []string{
		plainRegion, fullRegion, ``, `{}`, `null`, `{"region": null}`, `{"region": [], "road": {"spread": []}}`,
		`{"region": {"name": "r", "time_zone": ""}}`, `{"region": {"name": "r", "time_zone": "Local"}}`,
		`{"region": {"name": "r", "time_zone": "UTC"}, "carry_max_m": 1e308, "road": {"road_factor": -1e308}}`,
		`{"region": {"name": "r", "time_zone": "UTC"}, "allowances": {"carry": {"typical_s": 5e-324, "slow_s": 172800}}}`,
		`{"region": {"name": "r", "time_zone": "UTC"}, "allowances": {"carry": null, "": {}}, "sources": {"x_": 1}}`,
		`{"region": {"name": "r", "time_zone": "UTC"}, "weather_stations": [{"code": "QQAA", "position": [180, -90]}, {"code": "QQAA"}, null, 7]}`,
		`{"region": {"name": "r", "time_zone": "UTC"}, "weather_stations": [{"code": "QQAA", "position": [1e308, -1e308]}, {"code": "", "position": [null]}]}`,
		`{"region": {"name": "r", "time_zone": "UTC"}, "minima": [{"id": "us_135_609", "label": "l", "regulation": "r", "edition": "e", "rows": [{"when": "night", "pilots": 2, "ceiling_ft": 50, "visibility_m": 50000}]}]}`,
		`{"region": {"name": "r", "time_zone": "UTC"}, "minima": [{"id": "", "rows": [{"when": "dusk", "pilots": 1e9, "ceiling_ft": -0.0, "visibility_m": 5e-324}, {}]}, [], {}]}`,
		`{"region": {"name": "r", "time_zone": "UTC"}, "hazards": {"thunderstorm": "caution", "freezing": "", "icing_possible": null}}`,
		`{"region": {"name": "r", "time_zone": "UTC"}, "report_max_age_min": 1440, "team_seats": 20, "reserve_day_min": 1e18, "station_max_km": 5e-324}`,
		strings.Repeat(`{"region":`, 5000), "\xff\xfe{", `{"region": {"name": "\u0000", "time_zone": "UTC\u0000"}}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, faults, _ := routing.DecodeSettings(data)
		if s == nil {
			assert.NotEmpty(t, faults, "nothing without a reason")
			return
		}
		assert.Empty(t, faults)
		assert.NotNil(t, s.Zone)
		assert.NoError(t, s.Road.Check())
		for _, x := range []float64{s.ChildBelowYears, s.RoadFactor, s.CarryMaxM, s.CarryMS, s.HelicopterCruiseMS, s.AeroplaneCruiseMS,
			s.NearMinima, s.StationMaxM, s.ReserveDayS, s.ReserveNightS, s.AeroplaneReserveDayS, s.AeroplaneReserveNightS} {
			assert.False(t, math.IsNaN(x) || math.IsInf(x, 0) || x < 0)
		}
		assertWeatherSettings(t, s)
		for _, a := range s.Allowances() {
			assert.True(t, a.Timing.Valid(), a.ID)
		}
		again, _, _ := routing.DecodeSettings(data)
		require.NotNil(t, again)
		assert.Equal(t, s.Hash(), again.Hash())
	})
}

func ExampleDecodeSettings() {
	s, faults, _ := routing.DecodeSettings([]byte(`{
	  "region": {"name": "Quovarel Islands", "time_zone": "Etc/GMT+2"},
	  "allowances": {"handover": {"typical_s": 240, "slow_s": 400, "source": "own case review", "date": "2031"}}}`))
	if len(faults) > 0 {
		fmt.Println(faults)
		return
	}
	for _, id := range []string{"handover", "carry"} {
		a := s.Allowance(id)
		fmt.Printf("%s: %.0f s, slow %.0f s (%s)\n", a.ID, a.Timing.TypicalS, a.Timing.SlowS, a.Mark)
	}
	// Output:
	// handover: 240 s, slow 400 s (region)
	// carry: 180 s, slow 420 s (assumption)
}

func decodeSettings(t *testing.T, data string) *routing.Settings {
	t.Helper()
	s, faults, _ := routing.DecodeSettings([]byte(data))
	require.Empty(t, faults)
	require.NotNil(t, s)
	return s
}

// requireFault asserts that there is a fault at the pointer that says so.
func requireFault(t *testing.T, faults []strictjson.Fault, pointer, says string) {
	t.Helper()
	for _, f := range faults {
		if f.Pointer == pointer && strings.Contains(f.Detail, says) {
			return
		}
	}
	require.Failf(t, "no such fault", "want %q at %q, got %+v", says, pointer, faults)
}
