package table

import "surgeonward/facilities"

// property leads to a member of a feature's properties.
func property(path ...string) []string { return append([]string{"properties"}, path...) }

// Facilities is how facilities.geojson stands in a table. The columns accepting,
// accepting_reason and accepting_until belong together: a new state drops the reason and
// the end of the old one. Columns of pads are for hospitals, those of the ground (lit,
// road_access, max_..., runway_m) for landing sites and airfields. Rotas are not in the
// table: a hospital that must have one is added in the file.
func Facilities(opt facilities.DecodeOptions) *Form {
	coordinates := []string{"geometry", "coordinates"}
	handover, padPosition, toDoor := property("handover"), property("pad", "position"), property("pad", "to_door")
	return &Form{
		Array:   "features",
		MaxRows: facilities.DefaultMaxFeatures,
		Empty:   `{"type":"Feature","id":%s,"geometry":{"type":"Point"},"properties":{}}`,
		Columns: []Column{
			{Name: "id", Path: []string{"id"}},
			{Name: "kind", Path: property("kind")},
			{Name: "name", Path: property("name")},
			{Name: "latitude", Type: Latitude, Path: coordinates},
			{Name: "longitude", Type: Longitude, Path: coordinates},
			{Name: "time_zone", Path: property("time_zone")},
			{Name: "capabilities", Type: Words, Path: property("capabilities")},
			{Name: "accepting", Path: property("accepting", "state"), Removes: property("accepting"), Anew: true},
			{Name: "accepting_reason", Path: property("accepting", "reason")},
			{Name: "accepting_until", Type: Instant, Path: property("accepting", "until")},
			{Name: "handover_typical_s", Type: Number, Path: property("handover", "typical_s"), Removes: handover},
			{Name: "handover_slow_s", Type: Number, Path: property("handover", "slow_s"), Removes: handover},
			{Name: "pad_latitude", Type: Latitude, Path: padPosition},
			{Name: "pad_longitude", Type: Longitude, Path: padPosition},
			{Name: "pad_to_door_typical_s", Type: Number, Path: property("pad", "to_door", "typical_s"), Removes: toDoor},
			{Name: "pad_to_door_slow_s", Type: Number, Path: property("pad", "to_door", "slow_s"), Removes: toDoor},
			{Name: "pad_vehicle_needed", Type: Truth, Path: property("pad", "vehicle_needed")},
			{Name: "pad_lit", Type: Truth, Path: property("pad", "lit")},
			{Name: "pad_max_d_value_m", Type: Number, Path: property("pad", "max_d_value_m")},
			{Name: "pad_max_mass_kg", Type: Number, Path: property("pad", "max_mass_kg")},
			{Name: "pad_fuel", Type: Truth, Path: property("pad", "fuel")},
			{Name: "lit", Type: Truth, Path: property("lit")},
			{Name: "fuel", Type: Truth, Path: property("fuel")},
			{Name: "road_access", Type: Truth, Path: property("road_access")},
			{Name: "max_d_value_m", Type: Number, Path: property("max_d_value_m")},
			{Name: "max_mass_kg", Type: Number, Path: property("max_mass_kg")},
			{Name: "runway_m", Type: Number, Path: property("runway_m")},
		},
		Check: func(file []byte) (problems []Problem) {
			_, errs, _ := facilities.Decode(file, opt)
			for _, e := range errs {
				problems = append(problems, Problem{Pointer: e.Pointer, Detail: e.Detail})
			}
			return problems
		},
	}
}
