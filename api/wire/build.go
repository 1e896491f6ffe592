package wire

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/api/region"
	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
	"surgeonward/geo/position"
	"surgeonward/routing"
)

// builder makes a question from a JSON value and collects what its schema
// cannot see.
type builder struct {
	region *region.Region
	faults []strictjson.Fault
	notes  []string
}

func (b *builder) fault(m member, format string, args ...any) {
	b.faults = append(b.faults, strictjson.Fault{Pointer: m.pointer, Detail: fmt.Sprintf(format, args...)})
}

func (b *builder) request(m member, now time.Time) Request {
	q := Request{Question: routing.Question{
		At:         now.UTC().Truncate(time.Second),
		Scene:      b.scene(m.get("scene")),
		Patient:    b.patient(m.get("patient")),
		Assets:     b.selection(m.get("assets")),
		Conditions: b.conditions(m.get("conditions")),
		Facts:      b.happened(m.get("happened")),
		RankBySlow: m.get("rank_by").text() == "slow",
		Limit:      DefaultLimit,
	}}
	if at := b.instant(m.get("at")); !at.IsZero() {
		q.At = at
	}
	if n, ok := m.get("limit").number(); ok && n >= 1 && n <= 1000 {
		q.Limit = int(n)
	}
	q.TargetS, _ = m.get("target_s").number()
	q.OutputLostAt, q.OutputRegainedAt = b.event(m.get("output_lost_at")), b.event(m.get("output_regained_at"))
	q.Notes = b.notes
	return q
}

func (b *builder) scene(m member) routing.Scene {
	s := routing.Scene{
		Facility: m.get("facility").text(),
		Landing:  routing.LandingUnknown,
		Carry:    b.timing(m.get("carry")),
		Winch:    m.get("winch").truth(),
	}
	s.CarryM, _ = m.get("carry").get("distance_m").number()
	if landing := m.get("landing").text(); landing != "" {
		s.Landing = routing.Landing(landing)
	}
	if p := b.position(m.get("position")); p != nil {
		s.Position, s.Format = *p, "longitude, latitude"
	}
	if text := m.get("position_text"); text.text() != "" {
		b.positionText(text, &s)
	}
	if given, ok := m.get("uncertainty_m").number(); ok {
		s.UncertaintyM = given
	}
	return s
}

func (b *builder) positionText(m member, s *routing.Scene) {
	parsed, err := position.Parse(m.text())
	if err != nil {
		b.fault(m, "%s", err)
		return
	}
	s.Position, s.Format, s.UncertaintyM = parsed.Point, string(parsed.Format), parsed.UncertaintyM
	if parsed.Note != "" {
		b.notes = append(b.notes, "the position: "+parsed.Note)
	}
	if parsed.Format.IsMessage() {
		b.notes = append(b.notes, measured(parsed))
	}
}

// measured says how a message's position came about: a radius means little without
// its confidence, and a place without the time at which somebody was there.
func measured(p position.Parsed) string {
	note := "the position is that of the " + string(p.Format)
	if !p.MeasuredAt.IsZero() {
		note += ", measured at " + p.MeasuredAt.Format(time.RFC3339)
	}
	if p.Method != "" {
		note += " by " + p.Method
	}
	if p.ConfidencePct > 0 {
		note += fmt.Sprintf(", with a confidence of %s %% to be within %.0f m", strconv.FormatFloat(p.ConfidencePct, 'f', -1, 64), p.UncertaintyM)
	}
	return note
}

func (b *builder) patient(m member) routing.Patient {
	p := routing.Patient{
		Needs:   m.get("needs").texts(),
		Escort:  m.get("escort").text(),
		ReadyIn: b.timing(m.get("ready_in")),
		Stop:    b.timing(m.get("stop")),
	}
	if age, ok := m.get("age_years").number(); ok {
		p.AgeYears = &age
	}
	return p
}

func (b *builder) selection(m member) routing.Selection {
	s := routing.Selection{Only: first(m.get("only").texts(), maxAssets)}
	for _, item := range first(m.get("states").items(), maxAssets) {
		s.States = append(s.States, b.state(item))
	}
	for _, item := range first(m.get("add").items(), maxAdded) {
		if asset, ok := b.asset(item); ok {
			s.Add = append(s.Add, asset)
		}
	}
	return s
}

// The schema's bounds on lists of assets. A question that breaks them is
// refused, but it is read on for what else is wrong with it.
const (
	maxAssets = 1000
	maxAdded  = 50
)

func first[T any](items []T, most int) []T { return items[:min(len(items), most)] }

func (b *builder) state(m member) routing.StateChange {
	state := routing.StateChange{
		Asset:    m.get("asset").text(),
		State:    routing.AssetState(m.get("state").text()),
		Position: b.position(m.get("position")),
		FreeAt:   b.instant(m.get("free_at")),
	}
	if state.State != routing.Committed && m.get("free_at").given() {
		b.fault(m.get("free_at"), "free_at belongs to the state committed: remove it, or change the state")
	}
	if fuel, ok := m.get("fuel_s").number(); ok {
		state.FuelS = &fuel
	}
	return state
}

// asset reads an asset in full. The question's schema holds that of an asset,
// so most faults of its shape are known already, in much the same words.
func (b *builder) asset(m member) (routing.Asset, bool) {
	asset, faults, warnings := routing.DecodeAsset(m.value, m.pointer, b.region.Facilities, b.region.Settings)
	known := len(b.faults)
	for _, f := range faults {
		if !slices.ContainsFunc(b.faults[:known], func(k strictjson.Fault) bool { return k.Pointer == f.Pointer }) {
			b.faults = append(b.faults, f)
		}
	}
	for _, w := range warnings {
		b.notes = append(b.notes, strings.TrimPrefix(w.Pointer, "/")+": "+w.Detail)
	}
	return asset, len(faults) == 0
}

// position reads [longitude, latitude]; nil where it is none.
func (b *builder) position(m member) *orb.Point {
	numbers := m.items()
	if len(numbers) != 2 {
		return nil // the schema says so, or there is none
	}
	lon, okLon := numbers[0].number()
	lat, okLat := numbers[1].number()
	if !okLon || !okLat {
		return nil
	}
	p := orb.Point{lon, lat}
	if err := geo.Check(p); err != nil {
		b.fault(m, "%s", strings.ReplaceAll(err.Error(), "\n", "; "))
		return nil
	}
	return &p
}

func (b *builder) timing(m member) *facilities.Timing {
	typical, okTypical := m.get("typical_s").number()
	slow, okSlow := m.get("slow_s").number()
	if !okTypical || !okSlow {
		return nil
	}
	if slow < typical {
		b.fault(m.get("slow_s"), "slow_s %v is less than typical_s %v: slow is the time that 9 in 10 stay under", slow, typical)
		return nil
	}
	t := facilities.Timing{TypicalS: typical, SlowS: slow}
	if !t.Valid() {
		return nil
	}
	return &t
}

// instant reads a time to the second; zero where there is none.
func (b *builder) instant(m member) time.Time {
	if m.text() == "" {
		return time.Time{}
	}
	t, err := time.Parse(time.RFC3339, m.text())
	if err != nil {
		return time.Time{} // the schema says so
	}
	t = t.UTC().Truncate(time.Second)
	if t.Year() < FirstYear || t.Year() > LastYear {
		b.fault(m, "year %d is not between %d and %d", t.Year(), FirstYear, LastYear)
		return time.Time{}
	}
	return t
}
