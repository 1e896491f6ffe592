package main

import (
	"fmt"
	"os"

	"surgeonward/api/region"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities"
)

// checkCommand checks a region folder without answering anything.
type checkCommand struct {
	Dir string `arg:"" help:"Region folder." placeholder:"DIR"`
}

// Run prints every warning and every fault, and what the folder holds when it
// can be used. Only faults make it fail.
func (c *checkCommand) Run(p *program) error {
	if info, err := os.Stat(c.Dir); err != nil {
		return err
	} else if !info.IsDir() {
		return fmt.Errorf("%s is not a folder: give the folder that holds the region's files", c.Dir)
	}
	r, report := region.Load(os.DirFS(c.Dir))
	for _, w := range report.Warnings {
		fmt.Fprintln(p.stdout, "warning: "+terminal.Clean(w.String()))
	}
	for _, f := range report.Faults {
		fmt.Fprintln(p.stdout, "fault: "+terminal.Clean(f.String()))
	}
	if len(report.Faults) > 0 {
		return fmt.Errorf("%s cannot be used: %s, %s", c.Dir, count(len(report.Faults), "fault"), count(len(report.Warnings), "warning"))
	}
	_, err := fmt.Fprintf(p.stdout, "%s can be used: %s; %s\n", c.Dir, contents(r), count(len(report.Warnings), "warning"))
	return err
}

// contents counts what a region holds.
func contents(r *region.Region) string {
	roads := "no roads.geojson"
	if m := r.RoadMap(); m != nil {
		roads = fmt.Sprintf("roads with %s and %s", count(len(m.Barriers), "barrier"), count(len(m.Crossings), "crossing"))
	}
	return fmt.Sprintf("%d facilities, of which %s; %s; %s", r.Facilities.Len(),
		count(len(r.Facilities.OfKind(facilities.Hospital)), "hospital"), count(len(r.Fleet.Assets()), "asset"), roads)
}

func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
