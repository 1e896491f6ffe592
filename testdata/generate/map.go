package main

import "github.com/paulmach/orb"

func feature(id, geometry string, coordinates any, properties object) object {
	return object{
		{"type", "Feature"}, {"id", id},
		{"properties", properties},
		{"geometry", object{{"type", geometry}, {"coordinates", coordinates}}},
	}
}

func collection(features []object) object {
	return object{{"type", "FeatureCollection"}, {"features", features}}
}

// mapFile is the base map: land, high ground and settlements.
func mapFile(all []island) object {
	var features []object
	for _, l := range all {
		features = append(features, feature("land-"+l.id, "Polygon", [][]orb.Point{outer(l.coast)},
			object{{"kind", "land"}, {"name", l.name}}))
	}
	features = append(features, feature("mountain-"+mountainID, "Polygon", [][]orb.Point{outer(mountains)},
		object{{"kind", "mountain"}, {"name", mountainName}}))
	for _, s := range settlements {
		features = append(features, feature(s.id, "Point", lonLat(s.ground(all)),
			object{{"kind", "settlement"}, {"name", s.name}, {"population", s.people}}))
	}
	return collection(features)
}

// outer is a ring as RFC 7946 wants it: counterclockwise.
func outer(r orb.Ring) []orb.Point {
	r = r.Clone()
	if r.Orientation() == orb.CW {
		r.Reverse()
	}
	return lonLats(r)
}
