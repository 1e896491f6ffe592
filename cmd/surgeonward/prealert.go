package main

import (
	"context"
	"encoding/json"
	"time"

	"surgeonward/api"
	"surgeonward/api/wire"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities/strictjson"
)

// preAlertCommand writes the message to the receiving hospital.
type preAlertCommand struct {
	questionFlags `embed:""`
	clinicalFlags `embed:""`

	Option    *string `help:"The id of the chosen option, as --json of options has it (default: the first)." placeholder:"ID" group:"The question:"`
	MessageAt *string `name:"message-at" help:"When the message is told, with zone (default: the decision time)." placeholder:"TIME" group:"The question:"`

	Region string `help:"Region folder (default: the demonstration region)." placeholder:"DIR"`
	JSON   bool   `name:"json" help:"Print the answer as JSON, the same as over HTTP."`
	Width  int    `help:"Columns to print in (default: the terminal's, else 80)." placeholder:"N"`
}

func (c *preAlertCommand) numbers() []numberFlag {
	return append(c.questionFlags.numbers(), c.clinicalFlags.numbers()...)
}

func (c *preAlertCommand) members() []memberFlag {
	return append(append(c.questionFlags.members(), c.clinicalFlags.members()...), []memberFlag{
		{"--option", []string{"option"}, c.Option != nil, c.Option},
		{"--message-at", []string{"message_at"}, c.MessageAt != nil, c.MessageAt},
	}...)
}

// Run asks and prints.
func (c *preAlertCommand) Run(ctx context.Context, p *program) error {
	if err := c.check(c.Region, c.numbers()); err != nil {
		return err
	}
	body, err := c.body(p.stdin, c.members)
	if err != nil {
		return err
	}
	body, chosen := withOption(body)
	r, _, err := loadRegion(c.Region)
	if err != nil {
		return err
	}
	decoder, err := api.NewDecoder()
	if err != nil {
		return err
	}
	q, err := decoder.DecodePreAlert(body, r, time.Now())
	if err != nil {
		return c.explain(err, c.members())
	}
	if !chosen {
		q.Alert.Option = ""
	}
	alert, err := r.Engine.PreAlert(ctx, q.Question, q.Alert)
	if err != nil {
		return c.explain(err, c.members())
	}
	if c.JSON {
		form, err := wire.EncodePreAlert(&alert, &q, r, version())
		return p.json(form, err)
	}
	return terminal.WritePreAlert(p.stdout, terminal.PreAlertPage{
		Alert: &alert, Notes: q.Notes, Region: r.Name, Demonstration: r.Demonstration,
	}, p.style(c.Width))
}

// theFirst stands for the option in a request that names none, which over HTTP
// would be refused.
const theFirst = "(the first)"

// withOption puts an option into a request that has none, and reports whether
// it had one. What cannot be read stays as it is: the decoder says why.
func withOption(body []byte) (out []byte, chosen bool) {
	value, faults := strictjson.Parse(body, strictjson.Limits{Bytes: maxRequest})
	request, ok := value.(map[string]any)
	if _, has := request["option"]; len(faults) > 0 || !ok || has {
		return body, true
	}
	request["option"] = theFirst
	with, err := json.Marshal(request)
	if err != nil {
		return body, true
	}
	return with, false
}
