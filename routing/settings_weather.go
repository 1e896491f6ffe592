package routing

import (
	"slices"
	"strings"

	"surgeonward/facilities/strictjson"
	"surgeonward/routing/flight"
)

func hazard(m member, otherwise Hazard) Hazard {
	if !m.given() {
		return otherwise
	}
	return Hazard(m.text())
}

// stations reads the weather stations, by code.
func (f *findings) stations(m member) []WeatherStation {
	var out []WeatherStation
	first := map[string]string{} // code to the pointer of the station that has it
	for _, item := range m.items() {
		code := item.get("code").text()
		position := f.position(item.get("position"))
		if at, twice := first[code]; twice && code != "" {
			f.fault(item.pointer+"/code", "station %s is already at %s: keep one", strictjson.Quote(code), at)
			continue
		}
		first[code] = item.pointer
		if position != nil {
			out = append(out, WeatherStation{Code: code, Position: *position})
		}
	}
	slices.SortFunc(out, func(a, b WeatherStation) int { return strings.Compare(a.Code, b.Code) })
	return out
}

// minima are the shipped tables with the region's own in their place or, by
// id, after them.
func (f *findings) minima(m member) []flight.Table {
	tables, own := flight.Tables(), []flight.Table(nil)
	first := map[string]string{} // id to the pointer of the table that has it
	for _, item := range m.items() {
		t := minimaTable(item)
		if at, twice := first[t.ID]; twice && t.ID != "" {
			f.fault(item.pointer+"/id", "id %s is already the id of %s: give each table its own", strictjson.Quote(t.ID), at)
			continue
		}
		first[t.ID] = item.pointer
		if i := slices.IndexFunc(tables, func(s flight.Table) bool { return s.ID == t.ID }); i >= 0 {
			tables[i] = t
			continue
		}
		own = append(own, t)
	}
	slices.SortFunc(own, func(a, b flight.Table) int { return strings.Compare(a.ID, b.ID) })
	return append(tables, own...)
}

func minimaTable(m member) flight.Table {
	t := flight.Table{
		ID:         m.get("id").text(),
		Label:      m.get("label").text(),
		Regulation: m.get("regulation").text(),
		Edition:    m.get("edition").text(),
		Source:     m.get("source").text(),
		Mark:       MarkRegion,
	}
	for _, row := range m.get("rows").items() {
		t.Rows = append(t.Rows, flight.Row{
			When:        row.get("when").text(),
			Pilots:      int(row.get("pilots").number()),
			Aided:       row.get("aided").truth(),
			Area:        row.get("area").text(),
			CeilingFt:   row.get("ceiling_ft").number(),
			VisibilityM: row.get("visibility_m").number(),
		})
	}
	return t
}
