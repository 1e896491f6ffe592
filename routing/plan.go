package routing

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
)

// criticalBelowS is the slack under which an activity counts as critical: a
// millisecond, which only absorbs floating-point residue.
const criticalBelowS = 1e-3

// plan schedules the network at typical durations and adds a wait wherever
// somebody has finished and the next step has not begun.
func (w *network) plan() Plan {
	latest := w.latest()
	out := make(Plan, 0, w.n+4)
	for i := range w.n {
		nd := &w.nodes[i]
		slack := max(0, latest[i]-nd.endS)
		if slack < criticalBelowS {
			slack = 0
		}
		out = append(out, Scheduled{
			Activity: w.activity(i), StartS: nd.startS, EndS: nd.endS,
			SlackS: slack, Critical: slack == 0,
		})
		for _, a := range nd.after[:nd.nAfter] {
			if wait, ok := w.wait(a, i); ok {
				out = append(out, wait)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Scheduled) int { return cmp.Compare(a.StartS, b.StartS) })
	return out
}

// wait is the gap between the end of node a and the start of node i that
// follows it. Its length is what a could slip without delaying i.
func (w *network) wait(a ref, i int) (Scheduled, bool) {
	before, next := &w.nodes[a], &w.nodes[i]
	gap := next.startS - before.endS
	if gap < criticalBelowS {
		return Scheduled{}, false
	}
	act := Activity{
		ID: "wait_after_" + before.id, Kind: KindWait, Lane: before.lane,
		After: []string{before.id}, Timing: facilities.Fixed(gap),
		Basis: "waits for " + phrase(next),
	}
	if before.asset != nil {
		act.Asset, act.AssetName = before.asset.ID, before.asset.Name
	}
	return Scheduled{Activity: act, StartS: before.endS, EndS: next.startS, SlackS: gap}, true
}

func (w *network) activity(i int) Activity {
	nd := &w.nodes[i]
	act := Activity{
		ID: nd.id, Kind: nd.kind, Lane: nd.lane, Timing: nd.timing,
		DistanceM: nd.metres, ByAir: nd.byAir, Begun: nd.begun, Basis: nd.basis.String(),
		After: make([]string, 0, nd.nAfter),
	}
	if nd.asset != nil {
		act.Asset, act.AssetName = nd.asset.ID, nd.asset.Name
	}
	for _, a := range nd.after[:nd.nAfter] {
		act.After = append(act.After, w.nodes[a].id)
	}
	if nd.kind == KindTravel {
		act.Path = nd.path
		if act.Path == nil {
			act.Path = []orb.Point{nd.from, nd.to}
		}
	}
	return act
}

// phrase names a step for the sentence that says what somebody waits for.
func phrase(nd *node) string {
	switch nd.kind {
	case KindLoad:
		return "patient and vehicle to be together"
	case KindSurgeon:
		return "patient and surgeon to be together"
	case KindPadToDoor:
		return "patient and road vehicle to be together at the pad"
	case KindTeam:
		return "surgical team and vehicle to be together"
	case KindCarry:
		return "patient and aircraft to be ready for the winch"
	default:
		return "the next step"
	}
}
