package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"surgeonward/api"
	"surgeonward/api/record"
	"surgeonward/api/region"
	"surgeonward/cmd/surgeonward/terminal"
)

// replayCommand makes a recorded answer again.
type replayCommand struct {
	ID     string `arg:"" help:"Id of the answer, from its Surgeonward-Record header." placeholder:"ID"`
	Record string `help:"Folder of the record; a server may be writing it." required:"" placeholder:"DIR"`
	Region string `help:"Answer from this region folder (default: the files that were recorded with the answer)." placeholder:"DIR"`
	JSON   bool   `name:"json" help:"Print the answer made again; the verdict goes to standard error."`
}

// errNotSame makes the exit code 1.
var errNotSame = errors.New("the answer made again is not the recorded one")

// Run asks the recorded question again and compares.
func (c *replayCommand) Run(ctx context.Context, p *program) error {
	reader, err := p.readRecord(c.Record)
	if err != nil {
		return err
	}
	rec, err := reader.Get(c.ID)
	if err != nil {
		return err
	}
	r, err := c.region(&rec, reader)
	if err != nil {
		return err
	}
	again, err := api.NewReplay(ctx, &rec, r, reader)
	if err != nil {
		return err
	}
	verdict := p.stdout
	if c.JSON {
		verdict = p.stderr
		if _, err := p.stdout.Write(again.Answer); err != nil {
			return err
		}
	} else if r.Demonstration {
		fmt.Fprintf(p.stdout, "DEMONSTRATION: %s is invented. No place, vehicle or person in it is real.\n", terminal.Clean(r.Name))
	}
	judge(verdict, &rec, again)
	if !again.Same {
		return errNotSame
	}
	return nil
}

func (c *replayCommand) region(rec *record.Record, reader *record.Reader) (*region.Region, error) {
	if c.Region == "" {
		return api.RecordedRegion(rec, reader)
	}
	r, _, err := loadRegion(c.Region)
	return r, err
}

// judge says what came out of a replay, and what can be the cause where it is
// not the same.
func judge(w io.Writer, rec *record.Record, again *api.Replay) {
	line := func(format string, args ...any) { fmt.Fprintln(w, terminal.Clean(fmt.Sprintf(format, args...))) }
	line("answer %s (%s) of decision time %s, made at %s", rec.ID, rec.Asked, rec.At.Format(time.RFC3339), rec.MadeAt.Format(time.RFC3339Nano))
	switch {
	case again.Same:
		line("same, byte for byte")
	case again.Difference != "":
		line("not the same: %s", again.Difference)
	case len(again.Versions) > 0:
		line("not the same: only what it says it was made from")
	default:
		line("not the same: only in white space, or in how a text or a number is written")
	}
	if len(again.Versions) > 0 {
		line("other data than then: %s", strings.Join(again.Versions, ", "))
	}
	if again.Parameters != "" {
		line("first number of the model that is another: %s", again.Parameters)
	}
	if again.Engine != version() {
		line("made by build %s; this is build %s", again.Engine, version())
	}
}
