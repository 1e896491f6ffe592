package routing

import (
	"slices"
	"strings"

	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
	"surgeonward/routing/flight"
)

// aircraftMembers are what only some or all aircraft have.
var aircraftMembers = []string{
	"cruise_kt", "d_value_m", "endurance_s", "fuel_s", "hot_refuel", "icing_cleared", "mass_kg", "minima",
	"minima_area", "night_flying", "night_vision", "pilots", "rotors_turning", "runway_m",
}

// aircraft reads what every aircraft has.
func (d *assetDecoder) aircraft(m member, a *Asset, cruiseMS float64) {
	a.CruiseMS = cruiseMS
	if cruise := m.get("cruise_kt"); cruise.given() {
		a.CruiseMS = cruise.number() * geo.Knot
	}
	a.MassKg = m.get("mass_kg").number()
	a.NightFlying = m.get("night_flying").truth()
	a.HotRefuel = m.get("hot_refuel").truth()
	a.IcingCleared = m.get("icing_cleared").truth()
	a.Crew = flight.Crew{Pilots: 1, Aided: m.get("night_vision").truth(), Area: m.get("minima_area").text()}
	if pilots := m.get("pilots"); pilots.given() {
		a.Crew.Pilots = int(pilots.number())
	}
	a.Minima = m.get("minima").text()
	d.minima(m, a)
	d.fuel(m, a)
}

// fuel reads the fuel as flying time. What is left means nothing without what
// the tanks hold: after a stop for fuel they are full.
func (d *assetDecoder) fuel(m member, a *Asset) {
	full, left := m.get("endurance_s"), m.get("fuel_s")
	a.EnduranceS = full.number()
	if !left.given() {
		return
	}
	s := left.number()
	a.FuelS = &s
	switch {
	case !full.given():
		d.fault(left.pointer, "fuel_s needs endurance_s, the flying time on full fuel: add it")
	case s > a.EnduranceS && !d.refusals[full.pointer]:
		d.fault(left.pointer, "fuel_s %v is more than endurance_s %v, which is all the tanks hold: correct one of them", s, a.EnduranceS)
	}
}

// minima checks the aircraft's table of weather minima, and that it has
// something to say of this crew.
func (d *assetDecoder) minima(m member, a *Asset) {
	id, area := m.get("minima"), m.get("minima_area")
	if !id.given() {
		d.warn(m.pointer, "no \"minima\": ceiling and visibility never rule this aircraft out: name its table")
		if area.given() {
			d.warn(area.pointer, "minima_area has no effect without minima: name the table that tells areas apart")
		}
		return
	}
	table, ok := flight.Find(d.settings.Minima, a.Minima)
	switch areas := areasOf(table); {
	case d.refusals[id.pointer] || d.refusals[area.pointer]: // the schema has said so
	case !ok:
		d.unknownTable(id)
	case area.given() && len(areas) == 0:
		d.warn(area.pointer, "minima_area has no effect: table %s tells no areas apart", strictjson.Quote(table.ID))
	case area.given() && !slices.Contains(areas, a.Crew.Area):
		d.fault(area.pointer, "table %s has no area %s: %s", strictjson.Quote(table.ID), strictjson.Quote(a.Crew.Area), oneOf(a.Crew.Area, areas))
	case !area.given() && !slices.ContainsFunc(table.Rows, func(r flight.Row) bool { return r.Area == "" }):
		d.fault(m.pointer, "missing field \"minima_area\": every row of table %s is for one area, add the aircraft's own: %s", strictjson.Quote(table.ID), oneOf("", areas))
	default:
		d.rows(id, table, a)
	}
}

// rows warns of a table that has nothing for this crew, so that it never flies.
func (d *assetDecoder) rows(id member, table flight.Table, a *Asset) {
	none := func(night bool) bool { return table.Judge(night, a.Crew, flight.Sky{}, 0).None }
	switch {
	case none(false):
		d.warn(id.pointer, "table %s has no row by day for this crew: with any weather given, it does not fly by day", strictjson.Quote(table.ID))
	case a.NightFlying && none(true):
		d.warn(id.pointer, "table %s has no row by night for this crew: with any weather given, it does not fly by night", strictjson.Quote(table.ID))
	}
}

func (d *assetDecoder) unknownTable(id member) {
	d.fault(id.pointer, "no table %s of weather minima, shipped or in the settings: %s", strictjson.Quote(id.text()), oneOf(id.text(), d.tableIDs()))
}

func (d *assetDecoder) tableIDs() []string {
	ids := make([]string, 0, len(d.settings.Minima))
	for _, t := range d.settings.Minima {
		ids = append(ids, t.ID)
	}
	return ids
}

// areasOf lists the areas that a table tells apart, in order.
func areasOf(t flight.Table) []string {
	var areas []string
	for _, row := range t.Rows {
		if row.Area != "" {
			areas = append(areas, row.Area)
		}
	}
	slices.Sort(areas)
	return slices.Compact(areas)
}

// oneOf is the fix for a word that is not among the known ones.
func oneOf(word string, known []string) string {
	if near, ok := strictjson.Nearest(word, known); ok {
		return "did you mean " + strictjson.Quote(near) + "?"
	}
	const most = 10
	shown := make([]string, 0, most)
	for _, k := range known[:min(len(known), most)] {
		shown = append(shown, strictjson.Quote(k))
	}
	more := ""
	if len(known) > most {
		more = " or another of the table's"
	}
	return "use one of " + strings.Join(shown, ", ") + more
}
