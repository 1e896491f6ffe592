// Generate makes the files of the demo region: an invented group of islands,
// the same bytes on every run. Names, people, hospitals and vehicles come from
// the tables beside this file; coastlines and roads are drawn from fixed seeds.
//
//	go run ./testdata/generate
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	folder := flag.String("out", "testdata/demo", "folder to write the region to")
	flag.Parse()
	if err := run(*folder); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(folder string) error {
	files, err := region()
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(folder, f.name), f.data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// file is one generated file of the region folder.
type file struct {
	name string
	data []byte
}

// region makes every generated file of the demo region.
func region() ([]file, error) {
	all := islands()
	roads, err := roadFile(all)
	if err != nil {
		return nil, err
	}
	contents := []struct {
		name    string
		content object
	}{
		{"facilities.geojson", facilityFile(all)},
		{"fleet.json", fleetFile()},
		{"settings.json", settingsFile(all)},
		{"roads.geojson", roads},
		{"map.geojson", mapFile(all)},
	}
	var out []file
	for _, c := range contents {
		data, err := layOut(c.content)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", c.name, err)
		}
		out = append(out, file{c.name, data})
	}
	return append(out, file{"demand.csv", demandFile(all)}), nil
}
