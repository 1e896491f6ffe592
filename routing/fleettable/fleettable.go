// Package fleettable says how a region's fleet.json stands in a flat table in CSV.
// How tables are written and merged is in package facilities/table.
package fleettable

import (
	"surgeonward/facilities"
	"surgeonward/facilities/table"
	"surgeonward/routing"
)

// maxAssets is what a fleet may have.
const maxAssets = 2000

// Form is how the assets of a fleet stand in a table, checked against the region's
// list and settings as [routing.DecodeFleet] does. Rotas of hours and allowances other
// than the mobilisation are not in the table.
func Form(list *facilities.List, s *routing.Settings) *table.Form {
	day, night := []string{"mobilise", "day"}, []string{"mobilise", "night"}
	position := []string{"position"}
	member := func(name string, kind table.Type) table.Column {
		return table.Column{Name: name, Type: kind, Path: []string{name}}
	}
	return &table.Form{
		Array:   "assets",
		MaxRows: maxAssets,
		Empty:   `{"id":%s}`,
		Columns: []table.Column{
			member("id", table.Text),
			member("name", table.Text),
			member("kind", table.Text),
			member("base", table.Text),
			member("state", table.Text),
			{Name: "latitude", Type: table.Latitude, Path: position},
			{Name: "longitude", Type: table.Longitude, Path: position},
			member("free_at", table.Instant),
			member("skills", table.Words),
			member("escort_seats", table.Number),
			member("time_zone", table.Text),
			{Name: "mobilise_day_typical_s", Type: table.Number, Path: []string{"mobilise", "day", "typical_s"}, Removes: day},
			{Name: "mobilise_day_slow_s", Type: table.Number, Path: []string{"mobilise", "day", "slow_s"}, Removes: day},
			{Name: "mobilise_night_typical_s", Type: table.Number, Path: []string{"mobilise", "night", "typical_s"}, Removes: night},
			{Name: "mobilise_night_slow_s", Type: table.Number, Path: []string{"mobilise", "night", "slow_s"}, Removes: night},
			member("night_flying", table.Truth),
			member("cruise_kt", table.Number),
			{Name: "cruise_kmh", Type: table.Number, Path: []string{"road", "cruise_kmh"}},
			member("d_value_m", table.Number),
			member("mass_kg", table.Number),
			member("rotors_turning", table.Truth),
			member("runway_m", table.Number),
			member("pilots", table.Number),
			member("night_vision", table.Truth),
			member("minima", table.Text),
			member("minima_area", table.Text),
			member("endurance_s", table.Number),
			member("fuel_s", table.Number),
			member("hot_refuel", table.Truth),
			member("icing_cleared", table.Truth),
		},
		Check: func(file []byte) (problems []table.Problem) {
			_, faults, _ := routing.DecodeFleet(file, list, s)
			for _, f := range faults {
				problems = append(problems, table.Problem{Pointer: f.Pointer, Detail: f.Detail})
			}
			return problems
		},
	}
}
