// Package exchange names the files in which a region's lists leave for other
// programs: map programs, spatial databases and spreadsheets. The formats themselves are
// in facilities/export, facilities/table and routing/fleettable.
package exchange

import (
	"surgeonward/api/region"
	"surgeonward/facilities"
	"surgeonward/facilities/export"
	"surgeonward/facilities/table"
	"surgeonward/routing/fleettable"
)

// File is one list in one format.
type File struct {
	Name    string // as in an address: "facilities.kml"
	List    string // "facilities" or "assets"
	As      string // the format, as on the command line
	Media   string // media type
	Summary string
	write   func(*region.Region) ([]byte, error)
}

// Write makes the file of a region. The same region gives the same bytes.
func (f File) Write(r *region.Region) ([]byte, error) { return f.write(r) }

// The media types. RFC 4180 registers that of tables with their header, and OGC that
// of KML.
const (
	TypeKML     = "application/vnd.google-earth.kml+xml"
	TypeCSV     = "text/csv"
	typeGeoJSON = "application/geo+json"
)

func fromList(write func(*facilities.List) ([]byte, error)) func(*region.Region) ([]byte, error) {
	return func(r *region.Region) ([]byte, error) { return write(r.Facilities) }
}

// Files are all of them.
func Files() []File {
	return []File{
		{"facilities.kml", "facilities", "kml", TypeKML, "the facilities as placemarks", fromList(export.KML)},
		{"facilities-points.geojson", "facilities", "geojson", typeGeoJSON, "the facilities as points with id, kind and name", fromList(export.GeoJSON)},
		{"facilities-wkt.csv", "facilities", "wkt", TypeCSV, "the facilities with their geometry as well-known text", fromList(export.WKT)},
		{"facilities-ewkb.csv", "facilities", "ewkb", TypeCSV, "the facilities with their geometry as PostGIS has it", fromList(export.EWKB)},
		{"facilities.csv", "facilities", "csv", TypeCSV, "the facilities as a table that can be merged back", func(r *region.Region) ([]byte, error) {
			return FacilityTable(r).Write(r.Facilities.Encode())
		}},
		{"assets.csv", "assets", "csv", TypeCSV, "the vehicles as a table that can be merged back", func(r *region.Region) ([]byte, error) {
			return AssetTable(r).Write(r.FleetFile())
		}},
	}
}

// Find returns the file with the name.
func Find(name string) (File, bool) {
	for _, f := range Files() {
		if f.Name == name {
			return f, true
		}
	}
	return File{}, false
}

// FacilityTable is how the region's facilities stand in a table.
func FacilityTable(r *region.Region) *table.Form {
	var opt facilities.DecodeOptions
	if r.Settings != nil {
		opt.Zone = r.Settings.Zone
	}
	return table.Facilities(opt)
}

// AssetTable is how the region's vehicles stand in a table.
func AssetTable(r *region.Region) *table.Form { return fleettable.Form(r.Facilities, r.Settings) }
