package weather

import (
	"slices"
	"strings"
	"time"
)

// Change is a group of change in a forecast, or a trend in a report.
type Change struct {
	Kind ChangeKind
	// Probability is 30 or 40 percent for PROB30 and PROB40, which may go with
	// TEMPO, and else 0.
	Probability int
	// From and To bound the change: for BECMG the time in which it takes place, for
	// FM from its time to the end of the forecast, for the others the time in which
	// it may hold.
	From, To   time.Time
	Conditions Conditions // only what the group gives
}

// ChangeKind says how conditions change.
type ChangeKind string

const (
	// Becoming is a lasting change within the period.
	Becoming ChangeKind = "BECMG"
	// Temporary is a change for less than an hour at a time and less than half of
	// the period in all.
	Temporary ChangeKind = "TEMPO"
	// FromTime is a new forecast from its time on, replacing all before it.
	FromTime ChangeKind = "FM"
	// Probable is a chance of other conditions, PROB30 or PROB40 without TEMPO.
	Probable ChangeKind = "PROB"
	// Unreadable is a group of change whose kind or time could not be read. Its
	// text is in Unread; it may hold at any time and says nothing known.
	Unreadable ChangeKind = "unreadable"
)

// section is a run of groups that belong together: head and what follows it.
type section []string

// sections cuts a body before every group that begins a change. What comes before
// the first of them is first and may be empty.
func sections(groups []string, begins func(i int) bool) (first section, changes []section) {
	end := len(groups)
	for i := end - 1; i >= 0; i-- {
		if begins(i) {
			changes = append(changes, groups[i:end])
			end = i
		}
	}
	slices.Reverse(changes)
	return groups[:end], changes
}

// unreadable keeps a section of which the kind or the time could not be read.
func (s section) unreadable(valid span) Change {
	return Change{
		Kind: Unreadable, From: valid.from, To: valid.to,
		Conditions: Conditions{WeatherMissing: true, Unread: []string{strings.Join(s, " ")}},
	}
}
