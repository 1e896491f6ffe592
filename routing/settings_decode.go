package routing

import (
	"maps"
	"slices"

	"surgeonward/facilities/strictjson"
)

// regional is where a region's value for a parameter stands in the settings file.
var regional = []struct {
	path      []string
	parameter string
}{
	{[]string{"child_below_years"}, "child_below_years"},
	{[]string{"carry_max_m"}, "carry_max_m"},
	{[]string{"carry_speed_kmh"}, "carry_speed_kmh"},
	{[]string{"team_walk_kmh"}, "team_walk_kmh"},
	{[]string{"helicopter_cruise_kt"}, "helicopter_cruise_kt"},
	{[]string{"aeroplane_cruise_kt"}, "aeroplane_cruise_kt"},
	{[]string{"reserve_day_min"}, "reserve_day_min"},
	{[]string{"reserve_night_min"}, "reserve_night_min"},
	{[]string{"aeroplane_reserve_day_min"}, "aeroplane_reserve_day_min"},
	{[]string{"aeroplane_reserve_night_min"}, "aeroplane_reserve_night_min"},
	{[]string{"report_max_age_min"}, "report_max_age_min"},
	{[]string{"station_max_km"}, "station_max_km"},
	{[]string{"near_minima_fraction"}, "near_minima_fraction"},
	{[]string{"team_seats"}, "team_seats"},
	{[]string{"wind_slow_kt"}, "wind_slow_kt"},
	{[]string{"road", "road_factor"}, "road_factor"},
	{[]string{"road", "cruise_kmh"}, "road_cruise_kmh"},
	{[]string{"road", "acceleration_kmh_per_min"}, "road_acceleration_kmh_per_min"},
	{[]string{"road", "spread", "b0"}, "road_spread_b0"},
	{[]string{"road", "spread", "b1"}, "road_spread_b1"},
	{[]string{"road", "spread", "b2"}, "road_spread_b2"},
}

// DecodeSettings reads a region's settings.json. It returns every fault at
// once, each with the JSON Pointer of the value; settings are nil when there
// is a fault. Warnings do not stop the file from being used.
//
// A region's value without a source is marked as an assumption.
func DecodeSettings(data []byte) (settings *Settings, faults, warnings []strictjson.Fault) {
	var f findings
	if root, ok := f.read(data, settingsSchema()); ok {
		settings = f.settings(root)
	}
	if faults, warnings = f.report(); len(faults) > 0 {
		return nil, faults, warnings
	}
	return newSettings(settings), faults, warnings
}

func (f *findings) settings(root member) *Settings {
	region, hazards := root.get("region"), root.get("hazards")
	s := &Settings{
		Region:        region.get("name").text(),
		Demonstration: region.get("demonstration").truth(),
		Zone:          f.zone(region.get("time_zone")),
		Minima:        f.minima(root.get("minima")),
		Stations:      f.stations(root.get("weather_stations")),
		Thunderstorm:  hazard(hazards.get("thunderstorm"), defaultThunderstorm),
		Freezing:      hazard(hazards.get("freezing"), defaultFreezing),
		IcingPossible: hazard(hazards.get("icing_possible"), defaultIcingPossible),
		Status:        f.statusReports(root.get("status_reports")),
		allowances:    maps.Clone(shipped().allowances),
		parameters:    maps.Clone(shipped().parameters),
	}
	f.parameters(root, s.parameters)
	f.allowances(root.get("allowances"), s.allowances)
	return s
}

func (f *findings) parameters(root member, parameters map[string]Parameter) {
	sources := root.get("sources")
	var set []string
	for _, r := range regional {
		m := root
		for _, name := range r.path {
			m = m.get(name)
		}
		if !m.given() {
			continue
		}
		set = append(set, r.parameter)
		p := parameters[r.parameter]
		p.Value, p.Note = m.number(), ""
		p.Source, p.Date, p.Mark = f.origin(sources.get(r.parameter))
		parameters[r.parameter] = p
	}
	for _, id := range sources.names() {
		if _, ok := parameters[id]; ok && !slices.Contains(set, id) {
			f.warn(sources.get(id).pointer, "a source for %s, which this file does not set: the shipped value and its source are used", id)
		}
	}
}

func (f *findings) allowances(m member, allowances map[string]Allowance) {
	for _, id := range m.names() {
		a, known := allowances[id]
		timing := f.timing(m.get(id))
		if !known || timing == nil {
			continue // the schema says so
		}
		a.Timing, a.Note = *timing, ""
		a.Source, a.Date, a.Mark = f.origin(m.get(id))
		a.SlowMark = a.Mark
		allowances[id] = a
	}
}

// origin reads where a region has a value from.
func (f *findings) origin(m member) (source, date, mark string) {
	source, date = m.get("source").text(), m.get("date").text()
	if source == "" {
		return MarkAssumption, date, MarkAssumption
	}
	if date == "" {
		f.warn(m.pointer, "the source has no date: add \"date\", so that readers can tell how old the figure is")
	}
	return source, date, MarkRegion
}
