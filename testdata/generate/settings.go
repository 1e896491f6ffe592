package main

// settingsFile is the region's own numbers; the shipped ones do for the rest.
func settingsFile(all []island) object {
	invented := object{{"source", "invented for the demonstration region"}, {"date", "2031"}}
	return object{
		{"region", object{{"name", regionName}, {"time_zone", "Etc/GMT+2"}, {"demonstration", true}}},
		{"child_below_years", 16},
		{"carry_max_m", 400},
		{"road", object{{"road_factor", 1.3}, {"cruise_kmh", 92}, {"acceleration_kmh_per_min", 41}}},
		{"weather_stations", weatherStations(all)},
		{"minima", []object{{
			{"id", instrumentMinima}, {"label", "Aeroplanes on instruments, with a published approach"},
			{"regulation", "Quovarel flight rules"}, {"edition", "2031"},
			{"source", "invented for the demonstration region"},
			{"rows", []object{
				{{"when", "day"}, {"ceiling_ft", 200}, {"visibility_m", 800}},
				{{"when", "night"}, {"ceiling_ft", 300}, {"visibility_m", 1200}},
			}},
		}}},
		// As shipped, shown so that they are seen.
		{"hazards", object{{"thunderstorm", "exclude"}, {"freezing", "exclude"}, {"icing_possible", "caution"}}},
		{"sources", object{
			{"child_below_years", invented}, {"carry_max_m", invented}, {"road_factor", invented},
			{"road_cruise_kmh", invented}, {"road_acceleration_kmh_per_min", invented},
		}},
	}
}

// weatherStations stand on the airfields, under codes that no aerodrome has.
func weatherStations(all []island) []object {
	where := places(all)
	var out []object
	for _, s := range []struct{ code, at string }{
		{"QQLU", "luorimaune-airfield"}, {"QQOV", "ossuvaune-airfield"},
		{"QQRR", "quorreth-airfield"}, {"QQUS", "quessavel-airstrip"},
	} {
		out = append(out, object{{"code", s.code}, {"position", lonLat(where[s.at])}})
	}
	return out
}

// regionName has no meaning in any language known to its makers.
const regionName = "Quovarel Islands"
