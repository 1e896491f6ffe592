package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"

	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/routing/calibrate"
)

// calibrateCommand fits the region's figures to its own journeys.
type calibrateCommand struct {
	Journeys string `arg:"" help:"CSV file of journeys; - reads standard input." placeholder:"JOURNEYS"`
	Region   string `help:"Region folder (default: the demonstration region)." placeholder:"DIR"`
	Patch    bool   `help:"Print only the proposed change to settings.json, a JSON merge patch (RFC 7396)." xor:"form"`
	JSON     bool   `name:"json" help:"Print everything as JSON." xor:"form"`
}

// Run reads, fits and prints. It writes no file: whoever answers for the
// region's figures applies them.
func (c *calibrateCommand) Run(p *program) error {
	data, err := p.atMost(c.Journeys, calibrate.MaxBytes)
	if err != nil {
		return err
	}
	journeys, found := calibrate.Decode(data)
	if len(found) > 0 {
		var lines faultsError
		for _, f := range found {
			lines = append(lines, c.Journeys+": "+f.String())
		}
		return lines
	}
	r, _, err := loadRegion(c.Region)
	if err != nil {
		return err
	}
	result := calibrate.Calibrate(journeys, r.Settings, r.Fleet, calibrate.Options{})
	patch, err := result.Patch.Text()
	if err != nil {
		return err
	}
	switch {
	case c.JSON:
		e := json.NewEncoder(p.stdout)
		e.SetEscapeHTML(false)
		return e.Encode(struct {
			Region        string `json:"region"`
			Demonstration bool   `json:"demonstration"`
			*calibrate.Result
		}{r.Name, r.Demonstration, result})
	case c.Patch:
		_, err = fmt.Fprint(p.stdout, patch)
		return err
	}
	if r.Demonstration {
		fmt.Fprintf(p.stdout, "DEMONSTRATION: %s is invented. No place, vehicle or journey in it is real.\n", terminal.Clean(r.Name))
	}
	fmt.Fprint(p.stdout, result.Text())
	if result.Patch.Empty() {
		_, err = fmt.Fprintln(p.stdout, "\nNo change to settings.json is proposed.")
		return err
	}
	_, err = fmt.Fprintf(p.stdout, "\nProposed change to settings.json (RFC 7396 merge patch, alone with --patch):\n%s", patch)
	return err
}

// atMost reads the file, or standard input, as far as a decoder that says what is
// longer than limit bytes needs it.
func (p *program) atMost(file string, limit int64) ([]byte, error) {
	in := p.stdin
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in = f
	}
	return io.ReadAll(io.LimitReader(in, limit+1))
}
