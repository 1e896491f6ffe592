package wire

import (
	"bytes"
	"encoding/json"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/api/region"
	"surgeonward/facilities"
	"surgeonward/routing"
)

// Encode makes the JSON form of an answer to q from the region r by the engine
// of the given build. It returns ErrNotFinite for an answer with a number that
// JSON cannot hold.
func Encode(ans *routing.Answer, q *Request, r *region.Region, build string) (Answer, error) {
	var n rounder
	out := Answer{
		Head: head(ans.At, r, build), Scene: n.scene(&ans.Scene),
		Night: ans.Night, RankBy: rankBy(q), Found: ans.Found,
		Sampled: ans.Sampled, QuickestOther: n.share(ans.QuickestOther), TargetS: q.TargetS, Cautions: list(slices.Concat(stale(r), q.Notes, ans.Cautions)),
		Weather: n.weather(ans.Weather),
		Options: make([]Option, len(ans.Options)),
		Until:   n.until(ans, r.Settings.Zone), DecideBy: n.decideBy(ans, r.Settings.Zone),
		RunnerUp: n.runnerUp(ans, q), Sensitivity: n.sensitivity(ans.Sensitivity),
		NotPossible: make([]NotPossible, len(ans.NotPossible)),
	}
	for i := range ans.Options {
		out.Options[i] = n.option(&ans.Options[i], ans.At, r.Settings.Zone)
	}
	for i := range ans.NotPossible {
		out.NotPossible[i] = notPossible(&ans.NotPossible[i])
	}
	return out, n.err
}

// stale warns of a region that may not be the newest.
func stale(r *region.Region) []string {
	if r.StaleSince.IsZero() {
		return nil
	}
	return []string{"the region's data is that of " + local(r.StaleSince, r.Settings.Zone) + ": since then nobody could tell whether it has changed"}
}

// JSON writes a value as one line of JSON. Equal values give equal bytes.
func JSON(value any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false) // never put into a page as markup; names stay readable
	err := e.Encode(value)
	return b.Bytes(), err
}

func describe(r *region.Region) Region {
	out := Region{Name: r.Name, Demonstration: r.Demonstration}
	if r.Demonstration {
		out.Note = DemonstrationNote
	}
	if !r.StaleSince.IsZero() {
		out.StaleSince = utc(r.StaleSince)
	}
	return out
}

func versions(r *region.Region, build string) Versions {
	return Versions{Engine: build, Parameters: r.Hashes.Parameters, Facilities: r.Hashes.Facilities, Fleet: r.Hashes.Fleet, Roads: r.Hashes.Roads}
}

// VersionsOf is the versions in an answer by their names there.
func VersionsOf(r *region.Region, build string) map[string]string {
	v := versions(r, build)
	out := map[string]string{"engine": v.Engine, "parameters": v.Parameters, "facilities": v.Facilities, "fleet": v.Fleet}
	if v.Roads != "" {
		out["roads"] = v.Roads
	}
	return out
}

func rankBy(q *Request) string {
	if q.RankBySlow {
		return "slow"
	}
	return "typical"
}

func (n *rounder) scene(s *routing.Scene) Scene {
	return Scene{Position: n.position(s.Position), Format: s.Format, UncertaintyM: n.whole(s.UncertaintyM),
		Facility: s.Facility, Landing: string(s.Landing), Winch: s.Winch}
}

func (n *rounder) option(o *routing.Option, at time.Time, zone *time.Location) Option {
	with := n.after(at, o.WithSurgeon)
	out := Option{
		Rank: o.Rank, ID: o.ID, Shape: string(o.Shape),
		Destination: *n.place(o.Destination), Meeting: n.place(o.Meeting), FarField: n.place(o.FarField),
		Via: n.place(o.Via), TeamFrom: n.place(o.TeamFrom),
		Assets: list(o.Assets), Transfers: o.Transfers, Sentence: o.Sentence, HeldUpBy: o.HeldUpBy,
		Total:         n.duration(o.Total),
		Spread:        n.spread(&o.Spread),
		WithSurgeonAt: utc(with), WithSurgeonLocal: local(with, o.Destination.Zone),
		SinceLost: n.since(o.SinceLost), SinceRegained: n.since(o.SinceRegained),
		Cautions: list(o.Cautions), Activities: make([]Activity, len(o.Plan)),
	}
	if !o.LeaveScene.IsZero() {
		leave := n.after(at, o.LeaveScene)
		out.LeaveSceneAt, out.LeaveSceneLocal = utc(leave), local(leave, zone)
	}
	for i := range o.Plan {
		out.Activities[i] = n.activity(&o.Plan[i])
	}
	return out
}

// since is the time from an event of the patient to the surgeon; nil where the
// event is not stated.
func (n *rounder) since(t *facilities.Timing) *Duration {
	if t == nil {
		return nil
	}
	d := n.duration(*t)
	return &d
}

func (n *rounder) spread(s *routing.Spread) Spread {
	out := Spread{P10S: n.whole(s.P10S), P50S: n.whole(s.P50S), P90S: n.whole(s.P90S), Quickest: n.share(s.Quickest)}
	if s.Within != nil {
		within := n.share(*s.Within)
		out.WithinTarget = &within
	}
	return out
}

// place is nil where there is none.
func (n *rounder) place(f *facilities.Facility) *Place {
	if f == nil {
		return nil
	}
	return &Place{Facility: f.ID, Name: f.Name, Position: n.position(f.Position)}
}

func (n *rounder) activity(a *routing.Scheduled) Activity {
	out := Activity{
		ID: a.ID, Kind: string(a.Kind), Lane: string(a.Lane), Asset: a.Asset, After: list(a.After),
		StartS: n.whole(a.StartS), EndS: n.whole(a.EndS), SlackS: n.down(a.SlackS), Critical: a.Critical,
		DistanceM: n.whole(a.DistanceM), Basis: a.Basis,
	}
	// Rounding both ends can lengthen a step by up to a second: slow is never
	// less than what the two ends say.
	out.SlowS = max(n.whole(a.Timing.SlowS), out.EndS-out.StartS)
	if a.Kind == routing.KindTravel {
		out.By, out.Path = moves(a), n.path(a.Path)
	}
	return out
}

// moves says how a travel moves.
func moves(a *routing.Scheduled) string {
	if a.ByAir {
		return "air"
	}
	return "road"
}

// path writes a way's corners, without those that rounding makes the same as
// the one before.
func (n *rounder) path(points []orb.Point) [][2]float64 {
	var out [][2]float64
	for _, p := range points {
		if c := n.corner(p); len(out) == 0 || out[len(out)-1] != c {
			out = append(out, c)
		}
	}
	if len(out) < 2 {
		return nil // a vehicle that stands where it is needed
	}
	return out
}

func notPossible(p *routing.NotPossible) NotPossible {
	return NotPossible{Asset: p.Asset, Destination: p.Destination, Shape: string(p.Shape), Reasons: reasons(p.Reasons)}
}

func reasons(all []routing.Reason) []Reason {
	out := make([]Reason, len(all))
	for i, r := range all {
		out[i] = Reason{Code: string(r.Code), Detail: r.Detail}
	}
	return out
}

// list makes an absent list an empty one, so that JSON never has null for it.
func list(words []string) []string {
	if words == nil {
		return []string{}
	}
	return words
}
