package routing

import (
	"fmt"
	"slices"
	"strings"

	"surgeonward/geo/sun"
)

// option puts a built way into words and clock times.
func (p *problem) option(rank int, c *contender, w *network) Option {
	o := Option{
		Rank: rank, ID: c.id, Shape: c.way.shape, Destination: c.way.dest.Facility,
		Assets: c.way.assets(), Transfers: c.way.transfers(), Plan: w.plan(), Total: c.total, Spread: c.spread,
		HeldUpBy: w.heldUpBy(), WithSurgeon: p.after(c.total.TypicalS), AtDoor: c.atDoor, Lands: c.lands,
		callS: p.Settings.Allowance("pre_alert").Timing.TypicalS,
	}
	for i := range w.n {
		if nd := &w.nodes[i]; nd.kind == KindTravel && nd.lane == LanePatient {
			o.LeaveScene = p.after(nd.startS)
			break
		}
	}
	if at, ok := p.happened(p.aboard(), LeftScene); ok {
		o.LeaveScene = at
	}
	p.sinceEvents(&o)
	o.Meeting, o.FarField = c.way.meet.site(), c.way.far.site()
	if c.way.via != nil {
		o.Via = c.way.via.Facility
	}
	if c.way.team != nil {
		o.TeamFrom = c.way.team.Facility
	}
	o.Sentence = sentence(&c.way, o)
	for _, caution := range append(p.optionCautions(&c.way, w), w.cautions...) {
		if !slices.Contains(o.Cautions, caution) {
			o.Cautions = append(o.Cautions, caution)
		}
	}
	return o
}

// sentence says the option in one breath.
func sentence(y *way, o Option) string {
	team := ""
	if y.escort != nil {
		team = ", with the team of " + y.escort.Name + " on board"
	}
	return fmt.Sprintf("%s%s: with the surgeon in %s, %s if slow; held up by %s.",
		does(y), team, minutes(o.Total.TypicalS), minutes(o.Total.SlowS), o.HeldUpBy)
}

// does says who takes the patient where.
func does(y *way) string {
	by, to := y.carrier.Name, y.dest.Name
	switch y.shape {
	case Rendezvous:
		return fmt.Sprintf("%s takes the patient to meet %s at %s, which flies on to %s", by, y.onward.Name, y.meet.name, to)
	case ByAeroplane:
		return fmt.Sprintf("%s takes the patient to %s, %s flies to %s, %s takes them to %s",
			by, y.meet.name, y.onward.Name, y.far.name, y.last.Name, to)
	case ViaHospital:
		if y.onward.unit == y.carrier.unit {
			return fmt.Sprintf("%s takes the patient to %s for a stop and on to %s", by, y.via.Name, to)
		}
		return fmt.Sprintf("%s takes the patient to %s for a stop, %s takes them on to %s", by, y.via.Name, y.onward.Name, to)
	case SurgeonTravels:
		return fmt.Sprintf("%s takes the patient to %s, %s brings the surgical team of %s there", by, to, y.van.Name, y.team.Name)
	case ByAir:
		from := ""
		if y.carrier.spot.prepared {
			from = " from " + y.carrier.spot.name
		}
		if y.carrier.spot.winch {
			from = " after winching them up"
		}
		if y.fuel != nil {
			from += ", with a stop for fuel at " + y.fuel.name + ","
		}
		return fmt.Sprintf("%s flies the patient%s to %s", by, from, to)
	}
	return fmt.Sprintf("%s takes the patient by road to %s", by, to)
}

// heldUpBy walks the critical path back from the surgeon to where it begins
// and names what the time hangs on.
func (w *network) heldUpBy() string {
	chain := w.criticalChain()
	root := chain[0]
	switch {
	case root.kind == KindTravel && root.lane == LanePatient:
		return root.asset.Name + " bringing the patient to " + root.goal
	case root.kind == KindUnload || root.kind == KindPadToDoor || root.kind == KindHandover:
		return "the patient being handed over"
	case root.kind == KindPackage:
		return "the patient being made ready and carried"
	case root.kind == KindShuttle:
		return "the road vehicle to the pad"
	case root.id == "team_pre_alert":
		return "the surgical team getting ready"
	case root.kind == KindPreAlert:
		if last := chain[len(chain)-2]; last.kind == KindCallIn {
			return "the surgeon's call-in"
		}
		return "the theatre being made ready"
	}
	goal := "the scene"
	for _, nd := range chain {
		if nd.kind == KindTravel && nd.asset == root.asset && nd.lane == LaneVehicle {
			goal = nd.goal
		}
		if nd.asset != root.asset || nd.lane != LaneVehicle {
			break
		}
	}
	if root.asset == nil {
		return "the patient's way"
	}
	if strings.HasPrefix(root.id, "escort_") {
		return "the escort, " + root.asset.Name + ", reaching " + goal
	}
	return root.asset.Name + " reaching " + goal
}

// criticalChain is the nodes that decide the finish, from first to last.
func (w *network) criticalChain() (chain []*node) {
	for nd := &w.nodes[w.n-1]; nd != nil; nd = w.latestOf(nd) {
		chain = append(chain, nd)
	}
	slices.Reverse(chain)
	return chain
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

// optionCautions are the things about one option that a person must look at,
// beyond those of its flights.
func (p *problem) optionCautions(y *way, w *network) (out []string) {
	a := y.carrier
	if a.Flies() && !a.spot.prepared && !a.spot.winch && !a.aboard {
		if p.Scene.Landing == LandingUnknown {
			out = append(out, "landing at the scene is not confirmed")
		}
		if sun.IsNight(a.spot.at, p.after(a.arrives)) && a.State != AtScene {
			out = append(out, "landing at an unprepared scene by night")
		}
	}
	for _, a := range []*approach{y.carrier, y.escort, y.onward, y.last, y.van} {
		if a == nil || a.Hours == nil {
			continue
		}
		if end := p.after(w.end(ref(w.n - 1))); !isOpen(a.Hours.At(end, a.Zone)) {
			out = append(out, fmt.Sprintf("the hours of %s end before the patient is with the surgeon at %s", a.Name, clock(end, a.Zone)))
		}
	}
	if p.Settings.Allowance("call_in").Mark == MarkAssumption && y.dest.callIn != nil && y.dest.callIn.basis.form == fromAllowance {
		out = append(out, "the surgeon's call-in time is an assumption: "+y.dest.Name+" has given none")
	}
	return out
}
