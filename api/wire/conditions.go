package wire

import (
	"surgeonward/geo"
	"surgeonward/geo/wind"
	"surgeonward/routing"
	"surgeonward/routing/flight"
)

// maxReports is the schema's bound on weather reports. A question that breaks
// it is refused, but it is read on for what else is wrong with it.
const maxReports = 50

// conditions reads what is said of the weather: outright in the units of the
// trade, or as reports, which the engine reads.
func (b *builder) conditions(m member) routing.Conditions {
	return routing.Conditions{
		Given: flight.Given{
			Wind:        b.wind(m.get("wind")),
			CeilingM:    scaled(m.get("ceiling_ft"), geo.Foot),
			VisibilityM: scaled(m.get("visibility_m"), 1),
		},
		Reports: first(m.get("reports").texts(), maxReports),
	}
}

// wind reads {"from_deg", "speed_kt", "gust_kt"}; nil where it is none.
func (b *builder) wind(m member) *wind.Wind {
	from, okFrom := m.get("from_deg").number()
	speed, okSpeed := m.get("speed_kt").number()
	if !okFrom || !okSpeed {
		return nil // the schema says so, or there is none
	}
	gust, given := m.get("gust_kt").number()
	if given && gust < speed {
		b.fault(m.get("gust_kt"), "gust_kt %v is less than speed_kt %v: a gust is the highest speed, or leave it out", gust, speed)
		return nil
	}
	w := wind.Wind{FromDeg: from, SpeedMS: speed * geo.Knot, GustMS: gust * geo.Knot}
	if w.Check() != nil {
		return nil // out of range: the schema says so
	}
	return &w
}

// scaled reads a number of units, each worth so many metres; nil where it is none.
func scaled(m member, metres float64) *float64 {
	n, ok := m.number()
	if !ok {
		return nil
	}
	n *= metres
	return &n
}
