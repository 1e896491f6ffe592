// Package testdata holds the demo region: an invented group of islands with
// its hospitals, vehicles, roads and weather, and seven worked scenarios in it.
// Nothing in it exists. The files are made by testdata/generate.
package testdata

import (
	"embed"
	"io/fs"
)

//go:embed demo scenarios
var files embed.FS

// Demo is the demo region's folder: facilities.geojson, fleet.json,
// roads.geojson, settings.json, map.geojson, demand.csv and weather/*.txt.
var Demo = folder("demo")

// Scenarios is the folder of the worked scenarios: each NAME.json is the body
// of one POST /v1/options request.
var Scenarios = folder("scenarios")

// folder returns an embedded folder. fs.Sub fails only on a malformed name,
// and both names are constants of this file.
func folder(name string) fs.FS {
	sub, err := fs.Sub(files, name)
	if err != nil {
		return files
	}
	return sub
}
