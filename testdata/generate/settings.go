package main

// settingsFile is the region's own numbers; the shipped ones do for the rest.
func settingsFile() object {
	invented := object{{"source", "invented for the demonstration region"}, {"date", "2031"}}
	return object{
		{"region", object{{"name", regionName}, {"time_zone", "Etc/GMT+2"}, {"demonstration", true}}},
		{"child_below_years", 16},
		{"carry_max_m", 400},
		{"road", object{{"road_factor", 1.3}, {"cruise_kmh", 92}, {"acceleration_kmh_per_min", 41}}},
		{"sources", object{
			{"child_below_years", invented}, {"carry_max_m", invented}, {"road_factor", invented},
			{"road_cruise_kmh", invented}, {"road_acceleration_kmh_per_min", invented},
		}},
	}
}

// regionName has no meaning in any language known to its makers.
const regionName = "Quovarel Islands"
