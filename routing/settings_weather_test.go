package routing_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing"
	"surgeonward/routing/flight"
)

func TestDecodeSettingsWeather(t *testing.T) {
	s := decodeSettings(t, fullRegion)
	assert.Equal(t, []routing.WeatherStation{
		{Code: "QQA1", Position: orb.Point{-29.4, 45.5}}, {Code: "QQAB", Position: orb.Point{-29.9, 45.1}},
	}, s.Stations, "by code, whatever the file's order")
	assert.Equal(t, time.Hour, s.ReportMaxAge)
	assert.Equal(t, 80_000.0, s.StationMaxM)
	assert.Equal(t, 0.5, s.NearMinima)
	assert.Equal(t, routing.Cautions, s.Thunderstorm)
	assert.Equal(t, routing.Excludes, s.Freezing, "left out: the default")
	assert.Equal(t, routing.Ignored, s.IcingPossible)
	assert.Equal(t, [4]float64{25 * 60, 35 * 60, 40 * 60, 50 * 60},
		[4]float64{s.ReserveDayS, s.ReserveNightS, s.AeroplaneReserveDayS, s.AeroplaneReserveNightS})
	assert.Equal(t, 3, s.TeamSeats)
}

// A region's table stands in the place of the shipped one of its id, or after
// the shipped ones; the shipped ones that it leaves alone are as they were.
func TestDecodeSettingsMinima(t *testing.T) {
	s := decodeSettings(t, fullRegion)
	var ids []string
	for _, table := range s.Minima {
		ids = append(ids, table.ID)
	}
	assert.Equal(t, []string{"spa_hems_120", "spa_hems_120_class_3", "us_135_609", "coastal", "winter"}, ids)
	assert.Equal(t, flight.Tables()[0], s.Minima[0])
	assert.Equal(t, flight.Tables()[2], s.Minima[2])
	assert.Equal(t, flight.Table{
		ID: "spa_hems_120_class_3", Label: "Isles", Regulation: "own operations manual, part B", Edition: "2030", Source: "page 12",
		Mark: routing.MarkRegion,
		Rows: []flight.Row{
			{When: "night", Pilots: 2, Aided: true, Area: "coast", CeilingFt: 900, VisibilityM: 3500},
			{When: "day", Area: "ridge", CeilingFt: 600, VisibilityM: 2500},
		},
	}, s.Minima[1])

	crew := flight.Crew{Pilots: 1}
	sky := flight.Sky{CeilingM: 700 * geo.Foot, VisibilityM: 4000}
	assert.True(t, s.Minima[4].Judge(false, crew, sky, 0).Allowed, "at the region's own minimum")
	sky.VisibilityM--
	assert.False(t, s.Minima[4].Judge(false, crew, sky, 0).Allowed)

	assert.Equal(t, "HEMS operating minima, performance class 3", routing.DefaultSettings().Minima[1].Label,
		"no region changes the shipped tables")
}

func TestDecodeSettingsWeatherFaults(t *testing.T) {
	station := func(text string) string { return `"weather_stations": [` + text + `]` }
	table := func(text string) string { return `"minima": [` + text + `]` }
	row := func(text string) string {
		return table(`{"id": "winter", "label": "l", "regulation": "r", "edition": "e", "rows": [` + text + `]}`)
	}
	for _, c := range []struct{ name, members, pointer, says string }{
		{"stations by code", `"weather_stations": {"QQAA": [0, 0]}`, "/weather_stations", "must be an array"},
		{"no code", station(`{"position": [-29.4, 45.5]}`), "/weather_stations/0", `missing field "code"`},
		{"code in small letters", station(`{"code": "qqaa", "position": [-29.4, 45.5]}`), "/weather_stations/0/code", "four characters"},
		{"code that starts with a figure", station(`{"code": "1QAA", "position": [-29.4, 45.5]}`), "/weather_stations/0/code", "four characters"},
		{"code of five", station(`{"code": "QQAAA", "position": [-29.4, 45.5]}`), "/weather_stations/0/code", "four characters"},
		{"no position", station(`{"code": "QQAA"}`), "/weather_stations/0", `missing field "position"`},
		{"swapped position", station(`{"code": "QQAA", "position": [45.5, -129.4]}`), "/weather_stations/0/position", "order may be swapped"},
		{"one coordinate", station(`{"code": "QQAA", "position": [45.5]}`), "/weather_stations/0/position", "at least 2 items"},
		{"position of nothing", station(`{"code": "QQAA", "position": [null, null]}`), "/weather_stations/0/position/1", "got null"},
		{"unknown member", station(`{"code": "QQAA", "position": [-29.4, 45.5], "psition": 1}`), "/weather_stations/0/psition", `did you mean "position"?`},
		{"station twice", station(`{"code": "QQAA", "position": [-29.4, 45.5]}, {"code": "QQAA", "position": [-29.3, 45.5]}`),
			"/weather_stations/1/code", `station "QQAA" is already at /weather_stations/0: keep one`},
		{"no id", table(`{"label": "l", "regulation": "r", "edition": "e", "rows": [{"when": "day", "ceiling_ft": 500, "visibility_m": 1500}]}`),
			"/minima/0", `missing field "id"`},
		{"id with a hyphen", table(`{"id": "own-table"}`), "/minima/0/id", "a word of a-z, 0-9 and _"},
		{"no regulation", table(`{"id": "winter", "label": "l", "edition": "e", "rows": []}`), "/minima/0", `missing field "regulation"`},
		{"no edition", table(`{"id": "winter", "label": "l", "regulation": "r", "rows": []}`), "/minima/0", `missing field "edition"`},
		{"blank label", table(`{"id": "winter", "label": " "}`), "/minima/0/label", "not blank"},
		{"a mark of its own", table(`{"id": "winter", "mark": "read"}`), "/minima/0/mark", "unknown field"},
		{"no rows", row(``), "/minima/0/rows", "must not be empty"},
		{"table twice", table(`{"id": "winter"}, {"id": "winter"}`), "/minima/1/id", `id "winter" is already the id of /minima/0`},
		{"neither day nor night", row(`{"when": "dusk", "ceiling_ft": 500, "visibility_m": 1500}`), "/minima/0/rows/0/when", `"day" or "night"`},
		{"three pilots", row(`{"when": "day", "pilots": 3, "ceiling_ft": 500, "visibility_m": 1500}`), "/minima/0/rows/0/pilots", "at most 2"},
		{"no ceiling", row(`{"when": "day", "visibility_m": 1500}`), "/minima/0/rows/0", `missing field "ceiling_ft"`},
		{"ceiling of nothing", row(`{"when": "day", "ceiling_ft": 0, "visibility_m": 1500}`), "/minima/0/rows/0/ceiling_ft", "at least 50"},
		{"visibility in kilometres", row(`{"when": "day", "ceiling_ft": 500, "visibility_m": 1.5}`), "/minima/0/rows/0/visibility_m", "at least 50"},
		{"huge visibility", row(`{"when": "day", "ceiling_ft": 500, "visibility_m": 1e308}`), "/minima/0/rows/0/visibility_m", "at most 50000"},
		{"ceiling in metres", row(`{"when": "day", "ceiling_m": 150, "visibility_m": 1500}`), "/minima/0/rows/0/ceiling_m", `did you mean "ceiling_ft"?`},
		{"area in words", row(`{"when": "day", "area": "High ridge", "ceiling_ft": 500, "visibility_m": 1500}`), "/minima/0/rows/0/area", "a word of a-z"},
		{"unknown hazard", `"hazards": {"thunderstrom": "exclude"}`, "/hazards/thunderstrom", `did you mean "thunderstorm"?`},
		{"hazard as a flag", `"hazards": {"freezing": true}`, "/hazards/freezing", `one of "exclude", "caution" or "ignore"`},
		{"misspelt rule", `"hazards": {"icing_possible": "exlude"}`, "/hazards/icing_possible", `did you mean "exclude"?`},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, faults, _ := routing.DecodeSettings([]byte(`{"region": {"name": "Quovarel Islands", "time_zone": "Atlantic/Azores"}, ` + c.members + `}`))
			assert.Nil(t, s)
			requireFault(t, faults, c.pointer, c.says)
		})
	}
}

// The order of stations and tables in the file is no content; which tables
// there are is.
func TestSettingsHashOfWeather(t *testing.T) {
	const stations = `{"region": {"name": "r", "time_zone": "UTC"}, "weather_stations": [%s, %s]}`
	a, b := `{"code": "QQAA", "position": [0, 0]}`, `{"code": "QQAB", "position": [1, 1]}`
	assert.Equal(t, decodeSettings(t, fmt.Sprintf(stations, a, b)).Hash(), decodeSettings(t, fmt.Sprintf(stations, b, a)).Hash())

	const tables = `{"region": {"name": "r", "time_zone": "UTC"}, "minima": [%s, %s, %s]}`
	own := func(id string) string {
		return fmt.Sprintf(`{"id": %q, "label": "l", "regulation": "r", "edition": "e", "rows": [{"when": "day", "ceiling_ft": 500, "visibility_m": 1500}]}`, id)
	}
	base := decodeSettings(t, fmt.Sprintf(tables, own("winter"), own("spa_hems_120"), own("coastal")))
	assert.Equal(t, base.Hash(), decodeSettings(t, fmt.Sprintf(tables, own("coastal"), own("winter"), own("spa_hems_120"))).Hash())
	assert.NotEqual(t, base.Hash(), decodeSettings(t, fmt.Sprintf(tables, own("coastal"), own("summer"), own("spa_hems_120"))).Hash())
}

// assertWeatherSettings asserts what every accepted file keeps to.
func assertWeatherSettings(t *testing.T, s *routing.Settings) {
	t.Helper()
	assert.True(t, s.ReportMaxAge > 0 && s.ReportMaxAge <= 24*time.Hour)
	assert.True(t, s.TeamSeats >= 1 && s.TeamSeats <= 20)
	for i, w := range s.Stations {
		assert.NoError(t, geo.Check(w.Position))
		assert.True(t, len(w.Code) == 4 && (i == 0 || s.Stations[i-1].Code < w.Code), "in order, each once")
	}
	for _, h := range []routing.Hazard{s.Thunderstorm, s.Freezing, s.IcingPossible} {
		assert.Contains(t, []routing.Hazard{routing.Excludes, routing.Cautions, routing.Ignored}, h)
	}
	seen := map[string]bool{}
	for _, table := range s.Minima {
		assert.False(t, seen[table.ID], table.ID)
		seen[table.ID] = true
		require.NotEmpty(t, table.Rows, table.ID)
		for _, row := range table.Rows {
			assert.True(t, row.CeilingFt >= 50 && row.VisibilityM >= 50, table.ID)
			assert.Contains(t, []string{"day", "night"}, row.When)
		}
	}
	for _, table := range flight.Tables() {
		assert.True(t, seen[table.ID], "%s: a shipped table is replaced, never lost", table.ID)
	}
}
