package routing

import (
	"fmt"

	"surgeonward/geo/sun"
)

// option puts a built way into words and clock times.
func (p *problem) option(rank int, c *candidate, w *network) Option {
	o := Option{
		Rank: rank, ID: c.id, Shape: c.way.shape, Destination: c.way.dest.Facility,
		Assets: c.way.assets(), Transfers: c.way.transfers(), Plan: w.plan(), Total: c.total,
		HeldUpBy: w.heldUpBy(), WithSurgeon: p.after(c.total.TypicalS),
	}
	for i := range w.n {
		if nd := &w.nodes[i]; nd.kind == KindTravel && nd.lane == LanePatient {
			o.LeaveScene = p.after(nd.startS)
			break
		}
	}
	o.Sentence = sentence(&c.way, o)
	o.Cautions = p.optionCautions(&c.way, w)
	return o
}

// sentence says the option in one breath.
func sentence(y *way, o Option) string {
	does := "takes the patient by road"
	if y.carrier.Flies() {
		does = "flies the patient"
		if y.carrier.spot.prepared {
			does = "flies the patient from " + y.carrier.spot.name
		}
	}
	team := ""
	if y.escort != nil {
		team = ", with the team of " + y.escort.Name + " on board"
	}
	return fmt.Sprintf("%s %s to %s%s: with the surgeon in %s, %s if slow; held up by %s.",
		y.carrier.Name, does, y.dest.Name, team, minutes(o.Total.TypicalS), minutes(o.Total.SlowS), o.HeldUpBy)
}

// heldUpBy walks the critical path back from the surgeon and names what the
// time hangs on: the hospital's side, the vehicle on its way in, or the
// patient being made ready.
func (w *network) heldUpBy() string {
	last := &w.nodes[w.n-1]
	switch by := w.latestOf(last); by.kind {
	case KindCallIn:
		return "the surgeon's call-in"
	case KindTheatre:
		return "the theatre being made ready"
	}
	for i := range w.n {
		if nd := &w.nodes[i]; nd.id == "load" {
			by := w.latestOf(nd)
			switch {
			case by == nil || by.lane == LanePatient:
				return "the patient being made ready and carried"
			case by.asset != nil && by.asset != nd.asset:
				return "the escort, " + by.asset.Name + ", reaching the scene"
			default:
				return by.asset.Name + " reaching the scene"
			}
		}
	}
	return "the patient's way"
}

// latestOf is the predecessor a node waits for, the first one on a tie.
func (w *network) latestOf(nd *node) *node {
	var by *node
	for _, a := range nd.after[:nd.nAfter] {
		if p := &w.nodes[a]; by == nil || p.endS > by.endS {
			by = p
		}
	}
	return by
}

// optionCautions are the things about one option that a person must look at.
func (p *problem) optionCautions(y *way, w *network) (out []string) {
	a := y.carrier
	if a.Flies() && !a.spot.prepared {
		if p.Scene.Landing == LandingUnknown || p.Scene.Landing == "" {
			out = append(out, "landing at the scene is not confirmed")
		}
		if sun.IsNight(a.spot.at, p.after(a.arrives)) && a.State != AtScene {
			out = append(out, "landing at an unprepared scene by night")
		}
	}
	if a.Hours != nil {
		end := p.after(w.end(ref(w.n - 1)))
		if !isOpen(a.Hours.At(end, a.Zone)) {
			out = append(out, fmt.Sprintf("the crew's hours end before the patient is with the surgeon at %s", clock(end, a.Zone)))
		}
	}
	if p.Settings.Allowance("call_in").Mark == "assumption" && y.dest.callIn != nil && y.dest.callIn.basis.form == fromAllowance {
		out = append(out, "the surgeon's call-in time is an assumption: "+y.dest.Name+" has given none")
	}
	return out
}
