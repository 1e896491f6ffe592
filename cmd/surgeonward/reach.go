package main

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"surgeonward/api"
	"surgeonward/api/wire"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities/strictjson"
)

// reachCommand says who can open the chest in time.
type reachCommand struct {
	sceneFlags `embed:""`
	factFlags  `embed:""`

	LostAt    *string  `name:"lost-at" help:"When output was lost, with zone (default: the decision time)." placeholder:"TIME" group:"The question:"`
	Window    *string  `help:"A shipped window from loss of output (default: common_practice)." placeholder:"ID" group:"The question:"`
	WindowMin *float64 `name:"window-min" help:"A window of its own, in minutes." placeholder:"MINUTES" group:"The question:"`
	Skill     *string  `help:"The skill that opening the chest takes (default: thoracotomy)." placeholder:"SKILL" group:"The question:"`

	Region string `help:"Region folder (default: the demonstration region)." placeholder:"DIR"`
	JSON   bool   `name:"json" help:"Print the answer as JSON, the same as over HTTP."`
	All    bool   `help:"List the teams that cannot come, with all their reasons."`
	Width  int    `help:"Columns to print in (default: the terminal's, else 80)." placeholder:"N"`
}

func (c *reachCommand) numbers() []numberFlag {
	return append(c.sceneFlags.numbers(), numberFlag{"--window-min", inSeconds(c.WindowMin)})
}

func (c *reachCommand) members() []memberFlag {
	return slices.Concat(c.sceneFlags.members(), c.factMembers(), []memberFlag{
		{"--lost-at", []string{"output_lost_at"}, c.LostAt != nil, c.LostAt},
		{"--window", []string{"window"}, c.Window != nil, c.Window},
		{"--window-min", []string{"window_s"}, c.WindowMin != nil, inSeconds(c.WindowMin)},
		{"--skill", []string{"skill"}, c.Skill != nil, c.Skill},
	})
}

// Run asks and prints.
func (c *reachCommand) Run(ctx context.Context, p *program) error {
	if err := c.wellFormed(); err != nil {
		return err
	}
	if err := c.check(c.Region, c.numbers()); err != nil {
		return err
	}
	body, err := c.body(p.stdin, c.members)
	if err != nil {
		return err
	}
	if c.Scenario != "" {
		if body, err = onlyReach(body); err != nil {
			return err
		}
	}
	r, _, err := loadRegion(c.Region)
	if err != nil {
		return err
	}
	decoder, err := api.NewDecoder()
	if err != nil {
		return err
	}
	q, err := decoder.DecodeReach(body, r, time.Now())
	if err != nil {
		return c.explain(err, c.members())
	}
	answer, err := r.Engine.Reach(ctx, q.Question, q.Reach)
	if err != nil {
		return c.explain(err, c.members())
	}
	if c.JSON {
		form, err := wire.EncodeReach(&answer, &q, r, version())
		return p.json(form, err)
	}
	style := p.style(c.Width)
	style.AllPairs = c.All
	answer.Cautions = append(answer.Cautions, q.Notes...)
	return terminal.WriteReach(p.stdout, terminal.ReachPage{
		Answer: &answer, Region: r.Name, Demonstration: r.Demonstration, Zone: r.Settings.Zone, Given: q.Conditions.Given,
		Facility: func(id string) string {
			if f, ok := r.Facilities.Get(id); ok {
				return f.Name
			}
			return ""
		},
	}, style)
}

// onlyReach leaves out of a worked scenario, which is a question for options,
// what a question of reach does not have.
func onlyReach(body []byte) ([]byte, error) {
	value, faults := strictjson.Parse(body, strictjson.Limits{Bytes: maxRequest})
	request, ok := value.(map[string]any)
	if len(faults) > 0 || !ok {
		return nil, fmt.Errorf("the scenario is no question: %v", faults)
	}
	for _, name := range []string{"patient", "rank_by", "limit", "target_s", "output_regained_at"} {
		delete(request, name)
	}
	return json.Marshal(request)
}
