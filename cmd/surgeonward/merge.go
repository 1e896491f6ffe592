package main

import (
	"fmt"
	"strings"

	"surgeonward/api/exchange"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities/table"
)

// mergeCommand merges a table into one of the region's lists.
type mergeCommand struct {
	Table  string `arg:"" help:"CSV file with the columns of surgeonward export; - reads standard input." placeholder:"TABLE"`
	Region string `help:"Region folder; without it, the built-in demonstration region." placeholder:"DIR"`
	List   string `help:"What the table is of: facilities or assets." enum:"facilities,assets" default:"facilities"`
}

// Run writes the whole list with the table in it to standard output, and what that
// changes to standard error. It writes no file: whoever answers for the list puts it in
// place.
func (c *mergeCommand) Run(p *program) error {
	data, err := p.atMost(c.Table, table.MaxBytes)
	if err != nil {
		return err
	}
	r, _, err := loadRegion(c.Region)
	if err != nil {
		return err
	}
	form, list := exchange.FacilityTable(r), r.Facilities.Encode()
	if c.List == "assets" {
		form, list = exchange.AssetTable(r), r.FleetFile()
	}
	merged, found := form.Merge(list, data)
	if len(found) > 0 {
		var lines faultsError
		for _, f := range found {
			lines = append(lines, c.Table+": "+f.String())
		}
		return lines
	}
	for _, note := range merged.Notes {
		fmt.Fprintln(p.stderr, "note: "+terminal.Clean(note))
	}
	fmt.Fprintf(p.stderr, "added: %s\nchanged: %s\nunchanged: %d\n", names(merged.Added), names(merged.Changed), merged.Same)
	_, err = p.stdout.Write(merged.File)
	return err
}

func names(ids []string) string {
	if len(ids) == 0 {
		return "none"
	}
	return strings.Join(ids, ", ")
}
