package facilities

import (
	"maps"
	"slices"

	"surgeonward/facilities/strictjson"
)

// The members of a GeoJSON object that this package or RFC 7946 gives a meaning.
var (
	collectionMembers = []string{"type", "features", "bbox", "crs"}
	featureMembers    = []string{"type", "id", "geometry", "properties", "bbox"}
	geometryMembers   = []string{"type", "coordinates", "bbox"}

	commonMembers   = []string{"kind", "name", "time_zone"}
	hospitalMembers = []string{"capabilities", "surgeons", "theatre", "handover", "accepting", "away", "pad"}
	groundMembers   = []string{"lit", "hours", "max_d_value_m", "max_mass_kg", "road_access", "fuel", "occupied"}
	siteMembers     = []string{"clear_area"}
	airfieldMembers = []string{"runway_m"}
	baseMembers     = []string{"fuel"}
	allMembers      = slices.Concat(commonMembers, hospitalMembers, groundMembers, siteMembers, airfieldMembers)
)

// RFC 7946 section 7.1: members that define one kind of GeoJSON object and must not
// stand in another.
var (
	notInCollection = []string{"coordinates", "geometries", "geometry", "properties"}
	notInFeature    = []string{"coordinates", "geometries", "features"}
)

func membersOf(kind Kind) []string {
	switch kind {
	case Hospital:
		return slices.Concat(commonMembers, hospitalMembers)
	case LandingSite:
		return slices.Concat(commonMembers, groundMembers, siteMembers)
	case Airfield:
		return slices.Concat(commonMembers, groundMembers, airfieldMembers)
	case Base:
		return slices.Concat(commonMembers, baseMembers)
	}
	return allMembers
}

// foreignMembers finds, among the members that nothing reads, those that were likely
// meant to be read.
func (r *featureReader) foreignMembers(n, properties node) {
	for _, m := range unknown(n, featureMembers) {
		name := nameOf(m)
		switch {
		case slices.Contains(notInFeature, name):
			r.fault(m.pointer, "a feature must not have %s: remove it (RFC 7946 section 7.1)", strictjson.Quote(name))
		case slices.Contains(allMembers, name):
			r.fault(m.pointer, `%s belongs in "properties": move it there`, strictjson.Quote(name))
		default:
			r.nearMiss(m, featureMembers)
		}
	}
	if geometry, ok := n.member("geometry"); ok {
		for _, m := range unknown(geometry, geometryMembers) {
			r.nearMiss(m, geometryMembers)
		}
	}
	for _, m := range unknown(properties, allMembers) {
		r.nearMiss(m, membersOf(r.kind))
	}
}

func (r *featureReader) nearMiss(m node, known []string) {
	if name := nameOf(m); nearKnown(name, known) {
		r.fault(m.pointer, "%s", strictjson.UnknownField(name, known))
	}
}

func nearKnown(name string, known []string) bool {
	_, near := strictjson.Nearest(name, known)
	return near
}

// unknown lists the members of an object that are not among the known, by name. Its
// nodes hold the name as their value.
func unknown(n node, known []string) []node {
	var out []node
	for _, name := range slices.Sorted(maps.Keys(n.object())) {
		if !slices.Contains(known, name) {
			out = append(out, node{value: name, pointer: n.pointer + strictjson.Pointer(name)})
		}
	}
	return out
}

func nameOf(m node) string {
	name, _ := m.value.(string)
	return name
}
