package terminal

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities"
	"surgeonward/routing"
)

// happened repeats what has happened, by the clock, so that what was misread
// shows.
func (v *view) happened() {
	facts := slices.Clone(v.page.Happened)
	slices.SortStableFunc(facts, func(a, b routing.Fact) int { return a.At.Compare(b.At) })
	var parts []string
	for i := range facts {
		f := &facts[i]
		parts = append(parts, v.past(f.At)+" "+v.fact(f))
	}
	if len(parts) > 0 {
		v.paragraph("Happened: ", strings.Join(parts, "; "))
	}
}

// past is the minute in which something happened: never one that is to come.
func (v *view) past(t time.Time) string {
	return clock(t.Truncate(time.Minute), v.page.Answer.At, v.page.Zone)
}

// fact says a fact in a few words.
func (v *view) fact(f *routing.Fact) string {
	asset, hospital := v.asset(f.Asset), v.facility(f.Facility)
	switch f.Event {
	case routing.Lifted:
		return asset + " under way"
	case routing.Arrived:
		return asset + " at the scene"
	case routing.PatientLoaded:
		return "patient on board " + asset
	case routing.LeftScene:
		return asset + " left with the patient"
	case routing.AtHospital:
		return asset + " at " + hospital
	case routing.HandedOver:
		return "patient handed over at " + hospital
	}
	return hospital + " alerted"
}

// since says how long after the patient's own events each option has them with
// the surgeon.
func (v *view) since() {
	v.sinceEvent("output lost", v.page.OutputLostAt, func(o *routing.Option) *facilities.Timing { return o.SinceLost })
	v.sinceEvent("output regained", v.page.OutputRegainedAt, func(o *routing.Option) *facilities.Timing { return o.SinceRegained })
}

func (v *view) sinceEvent(event string, at *time.Time, since func(*routing.Option) *facilities.Timing) {
	if at == nil {
		return
	}
	var parts []string
	for i := range v.page.Answer.Options {
		o := &v.page.Answer.Options[i]
		if t := since(o); t != nil {
			parts = append(parts, fmt.Sprintf("%d. %s/%s", o.Rank, minutes(t.TypicalS), minutes(t.SlowS)))
		}
	}
	if len(parts) > 0 {
		v.paragraph("", fmt.Sprintf("From %s, %s, to surgeon, typical/slow min: %s",
			event, v.past(*at), strings.Join(parts, ", ")))
	}
}
