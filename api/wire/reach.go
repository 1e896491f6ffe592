package wire

import (
	"math"
	"slices"
	"time"

	"surgeonward/api/region"
	"surgeonward/facilities"
	"surgeonward/routing"
)

// Reach is the JSON form of routing.Reach.
type Reach struct {
	Head
	Scene           Scene       `json:"scene"`
	Headline        string      `json:"headline"`
	OutputLostAt    string      `json:"output_lost_at"`
	OutputLostLocal string      `json:"output_lost_local"`
	Window          Window      `json:"window"`
	ClosesAt        string      `json:"closes_at"`
	ClosesLocal     string      `json:"closes_local"`
	Skill           string      `json:"skill"`
	OpenChest       Duration    `json:"open_chest"`
	Chance          float64     `json:"chance"` // that any team is in time
	Cautions        []string    `json:"cautions"`
	Weather         []Weather   `json:"weather"`
	Teams           []ReachTeam `json:"teams"`  // with the skill
	Others          []ReachTeam `json:"others"` // without it
}

// Window is the time from loss of output in which opening the chest can still help.
type Window struct {
	ID      string  `json:"id"`
	What    string  `json:"what"`
	LimitS  float64 `json:"limit_s"`
	AtLimit string  `json:"at_limit"`
	Source  string  `json:"source"`
	Date    string  `json:"date,omitempty"`
	Mark    string  `json:"mark"`
	Note    string  `json:"note,omitempty"`
}

// ReachTeam is one asset's crew on its way to the patient. Arrival is nil
// where it cannot come, Opening also where it cannot open the chest.
type ReachTeam struct {
	Asset      string     `json:"asset"`
	Name       string     `json:"name"`
	Kind       string     `json:"kind"`
	Skills     []string   `json:"skills"`
	Sentence   string     `json:"sentence"`
	Arrival    *Instant   `json:"arrival,omitempty"`
	Opening    *Opening   `json:"opening,omitempty"`
	Reasons    []Reason   `json:"reasons"`
	Cautions   []string   `json:"cautions"`
	Activities []Activity `json:"activities"`
}

// Instant is a time after the decision with its clock times.
type Instant struct {
	After     Duration `json:"after"`
	At        string   `json:"at"`
	AtLocal   string   `json:"at_local"`
	SlowAt    string   `json:"slow_at"`
	SlowLocal string   `json:"slow_local"`
}

// Opening is when the chest is open, against the window. Margins are rounded
// down, and negative where it is too late.
type Opening struct {
	Instant
	MarginS        int64   `json:"margin_s"`
	MarginSlowS    int64   `json:"margin_slow_s"`
	InWindow       bool    `json:"in_window"`
	InWindowIfSlow bool    `json:"in_window_if_slow"`
	Chance         float64 `json:"chance"` // that it is within the window
}

// EncodeReach makes the JSON form of an answer to q, as Encode does.
func EncodeReach(ans *routing.Reach, q *ReachRequest, r *region.Region, build string) (Reach, error) {
	var n rounder
	zone, open := r.Settings.Zone, ans.OpenChest.Timing
	lost, closes := n.after(ans.At, ans.OutputLostAt), n.after(ans.At, ans.Closes)
	out := Reach{
		Head: head(ans.At, r, build), Scene: n.scene(&ans.Scene),
		Headline: ans.Headline, OutputLostAt: utc(lost), OutputLostLocal: local(lost, zone),
		Window: window(ans.Window), ClosesAt: utc(closes), ClosesLocal: local(closes, zone),
		Skill: ans.Skill, OpenChest: n.duration(open), Chance: n.share(ans.Chance),
		Cautions: list(slices.Concat(stale(r), q.Notes, ans.Cautions)), Weather: n.weather(ans.Weather),
		Teams: n.teams(ans.Teams, ans, zone, true), Others: n.teams(ans.Others, ans, zone, false),
	}
	return out, n.err
}

func window(w routing.Window) Window {
	return Window{ID: w.ID, What: w.What, LimitS: w.LimitS, AtLimit: string(w.AtLimit),
		Source: w.Source, Date: w.Date, Mark: w.Mark, Note: w.Note}
}

func (n *rounder) teams(teams []routing.ReachTeam, ans *routing.Reach, zone *time.Location, skilled bool) []ReachTeam {
	out := make([]ReachTeam, len(teams))
	for i := range teams {
		t := &teams[i]
		out[i] = ReachTeam{Asset: t.Asset, Name: t.Name, Kind: string(t.Kind), Skills: list(t.Skills), Sentence: t.Sentence,
			Reasons: reasons(t.Reasons), Cautions: list(t.Cautions), Activities: make([]Activity, len(t.Plan))}
		for k := range t.Plan {
			out[i].Activities[k] = n.activity(&t.Plan[k])
		}
		if !t.Can() {
			continue
		}
		arrival := n.instant(t.Arrives, ans.At, zone)
		out[i].Arrival = &arrival
		if skilled {
			out[i].Opening = &Opening{Instant: n.instant(t.Opens, ans.At, zone), MarginS: n.margin(t.MarginS), MarginSlowS: n.margin(t.MarginSlowS),
				InWindow: t.InWindow, InWindowIfSlow: t.InWindowIfSlow, Chance: n.share(t.Chance)}
		}
	}
	return out
}

func (n *rounder) duration(t facilities.Timing) Duration {
	return Duration{TypicalS: n.whole(t.TypicalS), SlowS: n.whole(t.SlowS)}
}

// instant is whole seconds after at, rounded up as in the sentences, and the
// clock times at them: nobody is shown to be there sooner than they are.
func (n *rounder) instant(t facilities.Timing, at time.Time, zone *time.Location) Instant {
	after := Duration{TypicalS: n.up(t.TypicalS), SlowS: n.up(t.SlowS)}
	typical, slow := at.Add(time.Duration(after.TypicalS)*time.Second), at.Add(time.Duration(after.SlowS)*time.Second)
	return Instant{After: after, At: utc(typical), AtLocal: local(typical, zone), SlowAt: utc(slow), SlowLocal: local(slow, zone)}
}

// up rounds up; what is under half a millisecond is residue.
func (n *rounder) up(s float64) int64 {
	n.whole(s) // checked
	if n.err != nil {
		return 0
	}
	return int64(math.Ceil(math.Round(s*1000) / 1000))
}

// margin rounds down without the allowance for residue that slack has: a
// margin is told to the millisecond, and one that is negative stays so.
func (n *rounder) margin(s float64) int64 {
	if !(math.Abs(s) <= most) {
		n.err = ErrNotFinite
		return 0
	}
	return int64(math.Floor(s))
}
