package main

import (
	"context"
	"time"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/routing"
)

// optionsCommand answers one question.
type optionsCommand struct {
	questionFlags `embed:""`

	Region  string `help:"Region folder (default: the demonstration region)." placeholder:"DIR"`
	JSON    bool   `name:"json" help:"Print the answer as JSON, the same as over HTTP." xor:"form"`
	GeoJSON bool   `name:"geojson" help:"Print the answer as GeoJSON, for a map." xor:"form"`
	Lanes   bool   `help:"Draw the timeline of every option, not only of the first."`
	All     bool   `help:"List every impossible way with all its reasons."`
	Width   int    `help:"Columns to print in (default: the terminal's, else 80)." placeholder:"N"`
}

// Run asks and prints.
func (c *optionsCommand) Run(ctx context.Context, p *program) error {
	if err := c.check(c.Region, c.numbers()); err != nil {
		return err
	}
	body, err := c.body(p.stdin, c.members)
	if err != nil {
		return err
	}
	r, _, err := loadRegion(c.Region)
	if err != nil {
		return err
	}
	request, answer, err := ask(ctx, body, r, time.Now())
	if err != nil {
		return c.explain(err, c.members())
	}
	switch {
	case c.JSON:
		form, err := wire.Encode(&answer, &request, r, version())
		return p.json(form, err)
	case c.GeoJSON:
		form, err := wire.EncodeGeoJSON(&answer, &request, r, version())
		return p.json(form, err)
	}
	style := p.style(c.Width)
	style.AllLanes, style.AllPairs = c.Lanes, c.All
	return terminal.Write(p.stdout, page(r, &request, &answer), style)
}

// json prints one line of JSON.
func (p *program) json(form any, err error) error {
	if err != nil {
		return err
	}
	line, err := wire.JSON(form)
	if err != nil {
		return err
	}
	_, err = p.stdout.Write(line)
	return err
}

// page puts names to the answer's ids.
func page(r *region.Region, request *wire.Request, answer *routing.Answer) terminal.Page {
	answer.Cautions = append(answer.Cautions, request.Notes...)
	assets := map[string]string{}
	for _, list := range [][]routing.Asset{r.Fleet.Assets(), request.Assets.Add} {
		for i := range list {
			assets[list[i].ID] = list[i].Name
		}
	}
	return terminal.Page{
		Answer: answer, Region: r.Name, Demonstration: r.Demonstration, Zone: r.Settings.Zone,
		Given: request.Conditions.Given, TargetS: request.TargetS,
		Happened: request.Facts, OutputLostAt: request.OutputLostAt, OutputRegainedAt: request.OutputRegainedAt,
		Asset: func(id string) string { return assets[id] },
		Facility: func(id string) string {
			if f, ok := r.Facilities.Get(id); ok {
				return f.Name
			}
			return ""
		},
	}
}
