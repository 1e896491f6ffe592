// Package region puts a region's folder together: its facilities, its fleet,
// its settings, and the engine that answers questions about them.
package region

import (
	"slices"
	"time"

	"surgeonward/api/record"
	"surgeonward/facilities"
	"surgeonward/routing"
	"surgeonward/routing/road"
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

	// StaleSince is since when nobody could tell whether this is still the
	// newest data; zero while all is well.
	StaleSince time.Time

	settingsFile, fleetFile []byte
	roads                   []byte              // roads.geojson as it stands; nil where there is none
	elements                map[string]elements // by file
	roadMap                 *road.Map
	roadWarnings, warnings  []Fault
	data                    []record.Data // every file as it was read
}

// Hashes identify the content of the region's files. Roads is empty where the
// region has no such file.
type Hashes struct{ Parameters, Facilities, Fleet, Roads string }

// FleetFile returns fleet.json as it was read.
func (r *Region) FleetFile() []byte { return slices.Clone(r.fleetFile) }

// Roads returns roads.geojson as it was read; false where there is none.
func (r *Region) Roads() ([]byte, bool) { return slices.Clone(r.roads), r.roads != nil }

// RoadMap returns what roads.geojson says; nil where there is none. It must not
// be changed.
func (r *Region) RoadMap() *road.Map { return r.roadMap }

// Data returns every file as it was read, by its name, with its hash: what an
// answer is recorded with. The bytes must not be changed.
func (r *Region) Data() []record.Data { return slices.Clone(r.data) }

// Feature returns a facility as its GeoJSON feature in the file.
func (r *Region) Feature(id string) ([]byte, bool) { return r.Element(FacilitiesFile, id) }

// Asset returns an asset as in fleet.json.
func (r *Region) Asset(id string) ([]byte, bool) { return r.Element(FleetFile, id) }

// File returns one of the region's files as it was read; false where there is
// none by that name.
func (r *Region) File(name string) ([]byte, bool) {
	switch name {
	case FacilitiesFile:
		return r.Facilities.Encode(), true
	case FleetFile:
		return r.FleetFile(), true
	case SettingsFile:
		return slices.Clone(r.settingsFile), true
	case RoadsFile:
		return r.Roads()
	}
	return nil, false
}
