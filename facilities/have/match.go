package have

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
	"surgeonward/geo"
)

// MatchOptions say how a report is set against a list.
type MatchOptions struct {
	Now    time.Time     // the age of what is reported is counted up to here
	MaxAge time.Duration // what is older is stale; 0: DefaultMaxAge

	// IDs leads from the ids of the sender to those of the list. An id that is not
	// in it is taken for one of the list.
	IDs map[string]string

	// Colours says what the colours of version 2.0 mean here, lower case. A colour
	// that is not in it means nothing.
	Colours map[string]facilities.AcceptState
}

const (
	// DefaultMaxAge is how long a status holds: common practice, no source.
	DefaultMaxAge = time.Hour

	// maxAhead is how far a sender's clock may be ahead (assumption).
	maxAhead = 5 * time.Minute

	// maxApartM is how far in metres the reported position may be from the list's
	// before an id that leads to another hospital is likelier (assumption).
	maxApartM = 5000.0
)

// Proposal is an accepting state that a report gives reason to set.
type Proposal struct {
	Facility string                 `json:"facility"`
	State    facilities.AcceptState `json:"state"`
	Reason   string                 `json:"reason,omitempty"` // fit for the list: one line, at most 200 characters
	Until    time.Time              `json:"until,omitzero"`   // HAVE knows no end: always zero
	AsOf     time.Time              `json:"as_of,omitzero"`   // zero: the sender did not say
	Stale    bool                   `json:"stale"`            // older than it may be, or of unknown age
	Notes    []string               `json:"notes,omitempty"`  // what else the report says that the list should be held against
}

// Undecided is a hospital for which a report gives no accepting state.
type Undecided struct {
	Facility string    `json:"facility"`
	Why      string    `json:"why"`
	AsOf     time.Time `json:"as_of,omitzero"`
	Stale    bool      `json:"stale"`
}

// Unmatched is a hospital of a report that is not in the list.
type Unmatched struct {
	ID   string `json:"id"`
	Name string `json:"name,omitempty"`
	Line int    `json:"line"`
}

// Matched is a report set against a list, each part in the order of ids.
type Matched struct {
	Version   Version     `json:"version"`
	Proposals []Proposal  `json:"proposals"`
	Undecided []Undecided `json:"undecided"`
	Unmatched []Unmatched `json:"unmatched"`
	Silent    []string    `json:"silent"` // hospitals of the list of which the report says nothing
	Faults    []Fault     `json:"faults"`
}

// Match sets the report against the list. Hospitals are matched by id, never by
// name. An open state that is stale is not proposed: what was open some time ago is
// not known to be open. States that keep patients away are proposed with their age.
func (r *Report) Match(list *facilities.List, opt MatchOptions) Matched {
	m := matcher{list: list, opt: opt, reported: map[string]int{}}
	m.opt.MaxAge = cmp.Or(max(opt.MaxAge, 0), DefaultMaxAge)
	m.out = Matched{Version: r.Version, Proposals: []Proposal{}, Undecided: []Undecided{}, Unmatched: []Unmatched{}, Silent: []string{}, Faults: []Fault{}}
	for _, h := range r.Hospitals {
		if f := m.facility(h); f != nil {
			m.reported[f.ID]++
		}
	}
	for _, h := range r.Hospitals {
		m.hospital(h)
	}
	for _, f := range list.OfKind(facilities.Hospital) {
		if m.reported[f.ID] == 0 {
			m.out.Silent = append(m.out.Silent, f.ID)
		}
	}
	slices.SortStableFunc(m.out.Proposals, func(a, b Proposal) int { return strings.Compare(a.Facility, b.Facility) })
	slices.SortStableFunc(m.out.Undecided, func(a, b Undecided) int { return strings.Compare(a.Facility, b.Facility) })
	slices.SortStableFunc(m.out.Unmatched, func(a, b Unmatched) int { return cmp.Or(strings.Compare(a.ID, b.ID), cmp.Compare(a.Line, b.Line)) })
	return m.out
}

type matcher struct {
	list     *facilities.List
	opt      MatchOptions
	reported map[string]int // by facility, how often
	out      Matched
}

// facility returns the hospital of the list that is meant, nil where there is none.
func (m *matcher) facility(h Hospital) *facilities.Facility {
	id, mapped := m.opt.IDs[h.ID]
	if !mapped {
		id = h.ID
	}
	f, ok := m.list.Get(id)
	if !ok || f.Kind != facilities.Hospital || h.ID == "" {
		return nil
	}
	return f
}

func (m *matcher) hospital(h Hospital) {
	f := m.facility(h)
	if f == nil {
		if id, mapped := m.opt.IDs[h.ID]; mapped {
			m.fault(h, "the id stands for "+strictjson.Quote(id)+", which is no hospital of the list: correct the ids under status_reports in the region's settings")
		}
		m.out.Unmatched = append(m.out.Unmatched, Unmatched{ID: h.ID, Name: h.Name, Line: h.Line})
		return
	}
	age := m.opt.Now.Sub(h.UpdatedAt)
	stale := h.UpdatedAt.IsZero() || age > m.opt.MaxAge || age < -maxAhead
	state, reason := m.state(h)
	why := ""
	switch apartM := apart(h, f); {
	case m.reported[f.ID] > 1:
		why = "the report has this hospital more than once: which one counts is not known"
		m.fault(h, "hospital "+f.ID+" is in the report more than once: send it once")
	case apartM > maxApartM:
		why = fmt.Sprintf("the reported position is %.0f km from that of the list: another hospital may be meant", apartM/1000)
		m.fault(h, why+", correct the ids under status_reports in the region's settings, or the position")
	case age < -maxAhead && !h.UpdatedAt.IsZero():
		why = "the time of the last update is in the future: it cannot be trusted"
		m.fault(h, why+", set the sender's clock")
	case state == "":
		why = reason
	case state == facilities.Open && stale:
		why = "it was open " + ageText(h.UpdatedAt, age) + ": that does not say it is open now"
	}
	if why != "" {
		m.out.Undecided = append(m.out.Undecided, Undecided{Facility: f.ID, Why: why, AsOf: h.UpdatedAt, Stale: stale})
		return
	}
	m.out.Proposals = append(m.out.Proposals, Proposal{Facility: f.ID, State: state, Reason: plain(reason), AsOf: h.UpdatedAt, Stale: stale, Notes: notes(h, f)})
}

func (m *matcher) fault(h Hospital, detail string) {
	if len(m.out.Faults) < maxFaults {
		m.out.Faults = append(m.out.Faults, Fault{Line: h.Line, Hospital: h.ID, Detail: detail})
	}
}

// apart is the distance in metres between the two positions, 0 where one is missing.
func apart(h Hospital, f *facilities.Facility) float64 {
	if h.Position == nil {
		return 0
	}
	return geo.Distance(*h.Position, f.Position)
}

// ageText says when something was so.
func ageText(at time.Time, age time.Duration) string {
	if at.IsZero() {
		return "at a time that is not said"
	}
	minutes := int64(age.Minutes())
	if minutes < 120 {
		return fmt.Sprintf("%d min ago", minutes)
	}
	return fmt.Sprintf("%d h %d min ago", minutes/60, minutes%60)
}
