package main

import (
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// places returns the plane position of every node that roads run to.
func places(all []island) map[string]orb.Point {
	out := map[string]orb.Point{}
	for _, s := range settlements {
		out[s.id] = s.ground(all)
	}
	for _, a := range airfields {
		out[a.id] = stand(out[a.by], a.dx, a.dy, all)
	}
	for _, s := range spans {
		out[s.from], out[s.to] = s.a, s.b
		if s.kind != "pass" {
			out[s.from] = inland(s.a, nearestIsland(s.a, all).coast, 0.28)
			out[s.to] = inland(s.b, nearestIsland(s.b, all).coast, 0.28)
		}
	}
	return out
}

// roadFile is what the road side of the region knows: roads to draw, the
// coasts and the mountain crest that no road crosses, the crossings over
// them, and the high ground where driving is slower.
func roadFile(all []island) (object, error) {
	var features []object
	where := places(all)
	roads, err := network(all, where)
	if err != nil {
		return nil, err
	}
	for i, r := range roads {
		features = append(features, feature("road-"+strconv.Itoa(i+1), "LineString", lonLats(r.line),
			object{{"kind", "road"}, {"name", r.name}, {"class", r.class}}))
	}
	for _, l := range all {
		features = append(features, feature("coast-"+l.id, "Polygon", [][]orb.Point{outer(l.coast)},
			object{{"kind", "barrier"}, {"name", "Coast of " + l.name}, {"water", "outside"}}))
	}
	features = append(features,
		feature("crest-"+mountainID, "LineString", lonLats(ridge),
			object{{"kind", "barrier"}, {"name", "Crest of " + mountainName}}),
		feature("area-"+mountainID, "Polygon", [][]orb.Point{outer(mountains)},
			object{{"kind", "area"}, {"name", mountainName}, {"road_factor", 1.6}, {"cruise_kmh", 55},
				{"acceleration_kmh_per_min", 30}}))
	for _, s := range spans {
		properties := object{{"kind", "crossing"}, {"name", s.name}, {"crossing", s.kind}}
		properties = append(properties, spanRules[s.id]...)
		features = append(features, feature(s.id, "LineString",
			lonLats([]orb.Point{where[s.from], where[s.to]}), properties))
	}
	return collection(features), nil
}

// spanRules says when each crossing can be used, beyond what its kind says.
var spanRules = map[string]object{
	"sound-ferry": {
		{"departures", object{{"weekly", []object{
			{{"days", everyDay}, {"from", "start"}, {"times", strings.Fields("06:30 08:30 10:30 12:30 14:30 16:30 18:30 20:30")}},
			{{"days", everyDay}, {"from", "end"}, {"times", strings.Fields("07:30 09:30 11:30 13:30 15:30 17:30 19:30 21:30")}},
		}}}},
		{"sailing", timing(2700, 3300)}, {"boarding", timing(420, 600)},
	},
	"thauvemar-pass": {{"closed_months", []int{1, 2, 12}}},
}
