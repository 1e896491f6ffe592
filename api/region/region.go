// Package region puts a region's folder together: its facilities, its fleet,
// its settings, and the engine that answers questions about them.
package region

import (
	"slices"

	"surgeonward/facilities"
	"surgeonward/routing"
)

// Region is everything answers are made from: an immutable snapshot, safe for
// concurrent use. Only Load makes one.
type Region struct {
	Name          string
	Demonstration bool // an invented region: every answer and every screen says so
	Facilities    *facilities.List
	Fleet         *routing.Fleet
	Settings      *routing.Settings
	Engine        *routing.Engine
	Hashes        Hashes
	Roads         []byte // roads.geojson as it stands; nil where there is none

	fleetFile []byte
	features  map[string][]byte // facilities as in the file, by id
	assets    map[string][]byte // assets as in the file, by id
}

// Hashes identify the content of the region's files.
type Hashes struct{ Parameters, Facilities, Fleet string }

// FleetFile returns fleet.json as it was read.
func (r *Region) FleetFile() []byte { return slices.Clone(r.fleetFile) }

// Feature returns a facility as its GeoJSON feature in the file.
func (r *Region) Feature(id string) ([]byte, bool) { return copied(r.features, id) }

// Asset returns an asset as in fleet.json.
func (r *Region) Asset(id string) ([]byte, bool) { return copied(r.assets, id) }

func copied(parts map[string][]byte, id string) ([]byte, bool) {
	part, ok := parts[id]
	return slices.Clone(part), ok
}
