package routing

import (
	"time"

	"surgeonward/facilities"
)

// sinceEvents fills in how long after the patient's own events the option has
// them with the surgeon.
func (p *problem) sinceEvents(o *Option) {
	o.SinceLost = p.sinceEvent(p.OutputLostAt, o)
	o.SinceRegained = p.sinceEvent(p.OutputRegainedAt, o)
}

// sinceEvent is the time from an event of the patient to the surgeon; nil where
// the event is not stated.
func (p *problem) sinceEvent(event *time.Time, o *Option) *facilities.Timing {
	if event == nil {
		return nil
	}
	s := p.At.Sub(*event).Seconds()
	return &facilities.Timing{TypicalS: s + o.Total.TypicalS, SlowS: s + o.Total.SlowS}
}

// clock checks the times of the patient's events. Output that was regained may
// have been lost again since, so that either may come first.
func (c *checker) clock() {
	for _, e := range []struct {
		pointer string
		at      *time.Time
	}{{"/output_lost_at", c.q.OutputLostAt}, {"/output_regained_at", c.q.OutputRegainedAt}} {
		if e.at == nil {
			continue
		}
		switch age := c.q.At.Sub(*e.at); {
		case age < 0:
			c.fault(e.pointer, "is after the decision time")
		case age > factMaxAge:
			c.fault(e.pointer, "is more than %s before the decision time", minutes(factMaxAge.Seconds()))
		}
	}
}
