package routing

import (
	"cmp"
	"fmt"
	"slices"

	"surgeonward/geo"
)

// Sensitivity is the first option's total when one thing is slow and all else
// is typical, in the first option and in all others that were sampled. The
// meeting places and the choice of assets are kept as they were found.
type Sensitivity struct {
	Cause   string  // "road_factor", "wind", or what is slow: "roads", "air", "mobilise:x", "theatre:h" and so on
	What    string  // the same in words
	TotalS  float64 // the first option's total then, in seconds
	ChangeS float64 // what it is longer by
	First   string  // the id of the option that is then the first, at typical durations
}

// longerRoads is how much longer the row about the road factor takes roads to
// be: the published factor is 1.3 +/- 0.1, and 10 % is a little more than that.
const longerRoads = 0.1

// The causes of the rows that are always there.
const (
	causeRoadFactor = "road_factor"
	causeWind       = "wind"
)

// sensitivity changes one thing at a time: each cause that makes the first
// option vary, then the road factor and the wind. The greatest change comes
// first, and equal changes in order of their causes.
func (s *search) sensitivity(c *contest, w *network) []Sensitivity {
	first := &c.all[0]
	row := func(what cause, words string, duration func(*step) float64) Sensitivity {
		out := Sensitivity{Cause: what.String(), What: words, TotalS: finishOf(first.steps, duration), First: first.id}
		out.ChangeS = out.TotalS - first.total.TypicalS
		bestS := out.TotalS
		for i := 1; i < len(c.all); i++ {
			o := &c.all[i]
			if o.total.TypicalS < first.total.TypicalS {
				continue // quicker from the start, and not first because slow totals rank
			}
			if total := finishOf(o.steps, duration); total < bestS-sameS {
				bestS, out.First = total, o.id
			}
		}
		return out
	}
	var out []Sensitivity
	for i := range first.steps {
		st := &first.steps[i]
		if earlier := func(e step) bool { return e.cause == st.cause && e.varies() }; !st.varies() || slices.ContainsFunc(first.steps[:i], earlier) {
			continue
		}
		out = append(out, row(c.causes[st.cause], s.words(&w.nodes[i]), func(e *step) float64 {
			if e.cause == st.cause {
				return e.timing.SlowS
			}
			return e.timing.TypicalS
		}))
	}
	out = append(out,
		row(cause{what: causeRoadFactor}, fmt.Sprintf("roads %.0f %% longer", 100*longerRoads), func(e *step) float64 { return e.timing.TypicalS + e.roadS }),
		row(cause{what: causeWind}, fmt.Sprintf("head wind %.0f kt stronger on every flight", s.Settings.WindSlowMS/geo.Knot), func(e *step) float64 { return e.timing.TypicalS + e.windS }))
	slices.SortStableFunc(out, func(a, b Sensitivity) int {
		return cmp.Or(cmp.Compare(b.ChangeS, a.ChangeS), cmp.Compare(a.Cause, b.Cause))
	})
	return out
}

// finishOf is the instant the last step ends with every duration as given.
func finishOf(steps []step, duration func(*step) float64) float64 {
	var ends [maxNodes]float64
	last := 0.0
	for i := range steps {
		st := &steps[i]
		for _, a := range st.after[:st.nAfter] {
			ends[i] = max(ends[i], ends[a])
		}
		ends[i] += duration(st)
		last = max(last, ends[i])
	}
	return last
}

// longer fills in how much longer the drives take on longer roads: the law of
// the vehicle over a road that is longer by longerRoads. Where a map of roads
// and ferries made the time, this is an estimate, as if it were all one road.
func (p *problem) longer(steps []step, w *network) {
	for i := range steps {
		nd := &w.nodes[i]
		if nd.kind != KindTravel || nd.byAir {
			continue
		}
		law := p.law(nd.asset)
		now, err := law.Time(nd.metres)
		if err != nil || now == 0 {
			continue
		}
		if then, err := law.Time(nd.metres * (1 + longerRoads)); err == nil {
			steps[i].roadS = nd.timing.TypicalS * (then/now - 1)
		}
	}
}

// whatVaries names causes for people; others are named by their own word.
var whatVaries = map[string]string{
	"roads": "the roads", "air": "flights (lift-off, wind, approach)", "mobilise": "mobilisation",
	"load": "loading", "unload": "unloading", "package": "making the patient ready", "carry": "the carry",
	"call_in": "the surgeon's call-in", "theatre": "making the theatre ready", "pre_alert": "the pre-alert",
	"pad": "the way between pad and door", "shuttle": "the road vehicle to the pad",
	"escort_join": "the team boarding", "stop": "the stop at a nearer hospital", "refuel": "the stop for fuel", "winch": "the winching",
	"team_pre_alert": "the alert to the surgical team", "team_ready": "the surgical team getting ready",
	"team_board": "the surgical team boarding", "team_alight": "the surgical team alighting",
	"team_scrub": "the surgical team scrubbing",
}

// words names the node's cause, with whose it is.
func (p *problem) words(nd *node) string {
	c := nd.why()
	what, ok := whatVaries[c.what]
	if !ok {
		what = plain(c.what)
	}
	if f, ok := p.Facilities.Get(c.of); ok && (nd.asset == nil || nd.asset.ID != c.of) {
		return "slow: " + what + ", " + f.Name
	}
	if nd.asset != nil && c.of != "" {
		return "slow: " + what + ", " + nd.asset.Name
	}
	return "slow: " + what
}
