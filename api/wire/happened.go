package wire

import (
	"time"

	"surgeonward/routing"
)

// maxHappened is the schema's bound on what has happened. A question that
// breaks it is refused, but it is read on for what else is wrong with it.
const maxHappened = 500

// happened reads what has happened, which takes the place of estimates.
func (b *builder) happened(m member) []routing.Fact {
	var out []routing.Fact
	for _, item := range first(m.items(), maxHappened) {
		out = append(out, routing.Fact{
			Asset:    item.get("asset").text(),
			Event:    routing.Event(item.get("event").text()),
			At:       b.instant(item.get("at")),
			Facility: item.get("facility").text(),
		})
	}
	return out
}

// event reads the time of an event of the patient; nil where there is none.
func (b *builder) event(m member) *time.Time {
	at := b.instant(m)
	if at.IsZero() {
		return nil
	}
	return &at
}
