package main

import (
	"fmt"
	"strings"

	"surgeonward/api/exchange"
)

// exportCommand writes one of the region's lists for another program.
type exportCommand struct {
	Region string `help:"Region folder; without it, the built-in demonstration region." placeholder:"DIR"`
	List   string `help:"What to write: facilities or assets." enum:"facilities,assets" default:"facilities"`
	As     string `help:"Format: kml, geojson (points with id, kind and name), csv (a table that can be merged back), wkt or ewkb (a table with a column of geometry)." enum:"kml,geojson,csv,wkt,ewkb" default:"csv"`
}

// Run writes the file to standard output.
func (c *exportCommand) Run(p *program) error {
	r, _, err := loadRegion(c.Region)
	if err != nil {
		return err
	}
	var formats []string
	for _, f := range exchange.Files() {
		if f.List != c.List {
			continue
		}
		if f.As != c.As {
			formats = append(formats, f.As)
			continue
		}
		body, err := f.Write(r)
		if err != nil {
			return err
		}
		_, err = p.stdout.Write(body)
		return err
	}
	return usageError{fmt.Errorf("%s are not written as %s: use --as %s", c.List, c.As, strings.Join(formats, ", "))}
}
