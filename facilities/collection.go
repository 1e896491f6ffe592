package facilities

import (
	"slices"
	"strings"

	"surgeonward/facilities/strictjson"
)

// collection checks the file as a whole; its features have been read.
func (d *decoder) collection(value any) {
	n := node{value: value}
	add := func(pointer, detail string) { d.errs.add(Fault{Pointer: pointer, Detail: detail}) }
	for _, f := range d.schema.collection.CheckValue(value) {
		add(f.Pointer, f.Detail)
	}
	for _, m := range unknown(n, collectionMembers) {
		name := nameOf(m)
		switch {
		case slices.Contains(notInCollection, name):
			add(m.pointer, "a FeatureCollection must not have "+strictjson.Quote(name)+": remove it (RFC 7946 section 7.1)")
		case nearKnown(name, collectionMembers):
			add(m.pointer, strictjson.UnknownField(name, collectionMembers))
		}
	}
	if crs, ok := n.member("crs"); ok && !isWGS84(crs) {
		add(crs.pointer, `"crs" names another reference system than WGS 84: save the file in WGS 84 (EPSG:4326), longitude first`)
	}
	if list, ok := n.member("features"); ok && len(d.ids) == 0 {
		d.warnings.add(Fault{Pointer: list.pointer, Detail: "the list is empty: nothing can be answered with it"})
	}
}

// isWGS84 reads the "crs" of GeoJSON before RFC 7946, which map programs still write.
func isWGS84(crs node) bool {
	if crs.value == nil {
		return true
	}
	properties, _ := crs.member("properties")
	name := strings.ToUpper(properties.text("name"))
	return strings.HasSuffix(name, "CRS84") || strings.HasSuffix(name, ":4326")
}
