package wire

import (
	"encoding/json"
	"time"

	"surgeonward/api/region"
	"surgeonward/facilities/store"
)

// History is a page of a region's history, the newest entry first.
type History struct {
	Entries []PastEdit `json:"entries"`
	Next    int64      `json:"next,omitempty"` // the page after this one begins with ?before=next
}

// PastEdit is the JSON form of an entry of the history.
type PastEdit struct {
	Number   int64          `json:"number"`
	At       time.Time      `json:"at"`
	Who      string         `json:"who"`
	Why      string         `json:"why,omitempty"`
	Changes  []PastChange   `json:"changes"`
	More     int            `json:"more,omitempty"`
	Versions *ContentHashes `json:"versions,omitempty"`
	Files    []store.File   `json:"files,omitempty"`
}

// PastChange is one element that an edit changed. Before and after are left
// out of lists.
type PastChange struct {
	Action  string          `json:"action"`
	File    string          `json:"file"`
	Element string          `json:"element,omitempty"`
	Before  json.RawMessage `json:"before,omitempty"`
	After   json.RawMessage `json:"after,omitempty"`
}

// ContentHashes are those that answers name under their versions.
type ContentHashes struct {
	Parameters string `json:"parameters"`
	Facilities string `json:"facilities"`
	Fleet      string `json:"fleet"`
	Roads      string `json:"roads,omitempty"`
}

// Contents makes the JSON form of content hashes.
func Contents(h region.Hashes) ContentHashes {
	return ContentHashes{Parameters: h.Parameters, Facilities: h.Facilities, Fleet: h.Fleet, Roads: h.Roads}
}

// EncodeHistory makes the JSON form of a page.
func EncodeHistory(page []store.Entry, next int64) History {
	out := History{Entries: make([]PastEdit, len(page)), Next: next}
	for i := range page {
		out.Entries[i] = pastEdit(&page[i], false)
	}
	return out
}

// EncodeVersion makes the JSON form of one entry, whole: what its elements were
// before and after, its files, and the hashes that answers made from it name.
func EncodeVersion(e *store.Entry, h region.Hashes) PastEdit {
	out := pastEdit(e, true)
	contents := Contents(h)
	out.Versions, out.Files = &contents, e.Files
	return out
}

func pastEdit(e *store.Entry, whole bool) PastEdit {
	return PastEdit{Number: e.Number, At: Told(e.At), Who: e.Who, Why: e.Why, Changes: EncodeChanges(e.What, whole), More: e.More}
}

// EncodeChanges makes the JSON form of changes, whole with before and after.
func EncodeChanges(changes []store.Change, whole bool) []PastChange {
	out := make([]PastChange, len(changes))
	for i, c := range changes {
		out[i] = PastChange{Action: c.Action, File: c.File, Element: c.Element}
		if whole {
			out[i].Before, out[i].After = rawText(c.Before), rawText(c.After)
		}
	}
	return out
}

// Difference is what differs between two versions.
type Difference struct {
	Since   int64        `json:"since"`
	Number  int64        `json:"number"`
	Changes []PastChange `json:"changes"`
}

// EncodeDifference makes the JSON form of what differs between two versions.
func EncodeDifference(since, number int64, changes []store.Change) Difference {
	return Difference{Since: since, Number: number, Changes: EncodeChanges(changes, true)}
}

// Told is a time of the history as everybody is told it: in UTC, to the millisecond.
func Told(at time.Time) time.Time { return at.UTC().Truncate(time.Millisecond) }

// rawText is an element's text as JSON; a text that is no JSON becomes a string.
func rawText(text []byte) json.RawMessage {
	if text == nil || json.Valid(text) {
		return text
	}
	quoted, err := json.Marshal(string(text))
	if err != nil {
		return nil
	}
	return quoted
}
