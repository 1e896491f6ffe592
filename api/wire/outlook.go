package wire

import (
	"slices"
	"time"

	"surgeonward/routing"
)

// Deadline is how late one activity of the first option can start before
// another option is quicker. Seconds are rounded down, so that no time is
// promised that is not there.
type Deadline struct {
	Activity         string `json:"activity"`
	Kind             string `json:"kind"`
	Asset            string `json:"asset,omitempty"`
	LatestStartS     int64  `json:"latest_start_s"`
	LatestStartAt    string `json:"latest_start_at"`
	LatestStartLocal string `json:"latest_start_local"`
	DelayS           int64  `json:"delay_s"`
	OvertakenBy      string `json:"overtaken_by"` // an option's id; it may be beyond the limit
	Sentence         string `json:"sentence"`
}

// RunnerUp is what the second option would need to be the first. NeedsS is the
// difference of the two totals as they are shown.
type RunnerUp struct {
	Option     string   `json:"option"`
	NeedsS     int64    `json:"needs_s"`
	Activities []string `json:"activities"`
	Sentence   string   `json:"sentence"`
}

// Sensitivity is the first option's total when one thing is slow. ChangeS is
// the difference from the typical total as it is shown.
type Sensitivity struct {
	Cause   string `json:"cause"`
	What    string `json:"what"`
	TotalS  int64  `json:"total_s"`
	ChangeS int64  `json:"change_s"`
	First   string `json:"first"` // the id of the option that is then the first; it may be beyond the limit
}

// deadline writes one deadline of the first option.
func (n *rounder) deadline(d *routing.Deadline, ans *routing.Answer, zone *time.Location) Deadline {
	latestS := n.margin(d.LatestStart.Sub(ans.At).Seconds())
	latest := ans.At.Add(time.Duration(latestS) * time.Second)
	out := Deadline{
		Activity: d.Activity, LatestStartS: latestS, LatestStartAt: utc(latest), LatestStartLocal: local(latest, zone),
		DelayS: n.down(d.DelayS), OvertakenBy: d.Overtaker, Sentence: d.Sentence,
	}
	plan := ans.Options[0].Plan
	if i := slices.IndexFunc(plan, func(a routing.Scheduled) bool { return a.ID == d.Activity }); i >= 0 {
		out.Kind, out.Asset = string(plan[i].Kind), plan[i].Asset
	}
	return out
}

// until is [] where nothing can overtake the first option, or there is none.
func (n *rounder) until(ans *routing.Answer, zone *time.Location) []Deadline {
	out := make([]Deadline, len(ans.Until))
	for i := range ans.Until {
		out[i] = n.deadline(&ans.Until[i], ans, zone)
	}
	return out
}

// decideBy is the first of all deadlines; nil where there is none.
func (n *rounder) decideBy(ans *routing.Answer, zone *time.Location) *Deadline {
	if ans.DecideBy == nil {
		return nil
	}
	out := n.deadline(ans.DecideBy, ans, zone)
	return &out
}

// runnerUp is nil where there is no second option.
func (n *rounder) runnerUp(ans *routing.Answer, q *Request) *RunnerUp {
	r := ans.RunnerUp
	if r == nil {
		return nil
	}
	firstS := ans.Options[0].Total.TypicalS
	if q.RankBySlow {
		firstS = ans.Options[0].Total.SlowS
	}
	return &RunnerUp{Option: r.Option, NeedsS: n.whole(firstS+r.NeedsS) - n.whole(firstS), Activities: list(r.Activities), Sentence: r.Sentence}
}

// sensitivity is [] where there is no option.
func (n *rounder) sensitivity(rows []routing.Sensitivity) []Sensitivity {
	out := make([]Sensitivity, len(rows))
	for i := range rows {
		r := &rows[i]
		totalS := n.whole(r.TotalS)
		changeS := max(0, totalS-n.whole(r.TotalS-r.ChangeS)) // residue under 0 may round to a second
		out[i] = Sensitivity{Cause: r.Cause, What: r.What, TotalS: totalS, ChangeS: changeS, First: r.First}
	}
	return out
}
