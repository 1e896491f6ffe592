package region

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"surgeonward/facilities/store"
	"surgeonward/routing"
)

// Expiry is who removes states that have ended, in the history.
const Expiry = "expiry"

// ending is a state in a region's files that ends by itself.
type ending struct {
	file, id string
	at       time.Time
	what     string // for the history: "the accepting state"
	patch    string // merge patch that removes it from its element; empty: an absence that has ended
}

// endings are all states with an end, in the order of files and elements.
func (r *Region) endings() (out []ending) {
	add := func(file, id string, at time.Time, what, patch string) {
		if !at.IsZero() {
			out = append(out, ending{file, id, at, what, patch})
		}
	}
	for _, f := range r.Facilities.All() {
		add(FacilitiesFile, f.ID, f.Accepting.Until, "accepting state", `{"properties":{"accepting":null}}`)
		for i := range f.Away {
			add(FacilitiesFile, f.ID, f.Away[i].Until, "the absence of the "+string(f.Away[i].What), "")
		}
		if f.Pad != nil {
			add(FacilitiesFile, f.ID, f.Pad.Ground.Occupied, "the pad's occupation", `{"properties":{"pad":{"occupied":null}}}`)
		}
		if f.Ground != nil {
			add(FacilitiesFile, f.ID, f.Ground.Occupied, "the surface's occupation", `{"properties":{"occupied":null}}`)
		}
	}
	for _, a := range r.Fleet.Assets() {
		if a.Until.IsZero() || a.FreeAt.Before(a.Until) {
			add(FleetFile, a.ID, a.FreeAt, "the other job", freed(&a))
		}
		add(FleetFile, a.ID, a.Until, "the state", `{"state":null,"position":null,"free_at":null,"until":null}`)
	}
	if r.roadMap != nil {
		for i := range r.roadMap.Crossings {
			if c := &r.roadMap.Crossings[i]; c.Closed != nil {
				add(RoadsFile, c.ID, c.Closed.Until, "the closing", `{"properties":{"closed":null}}`)
			}
		}
	}
	return out
}

// freed is the patch for an asset whose other job is over: it is free where it
// was said to be then, or at its base.
func freed(a *routing.Asset) string {
	if a.Position != nil {
		return `{"state":"moving","free_at":null}`
	}
	return `{"state":null,"free_at":null,"until":null}`
}

// Expire removes the states that have ended from the files, and says so in the
// history. It returns how many there were. Of several services one does it and
// the others find nothing left to do.
func (l *Live) Expire(ctx context.Context) (int, error) {
	if now := l.now(); len(due(l.Region(), now)) == 0 {
		return 0, nil
	}
	count := 0
	_, err := l.Edit(ctx, Expiry, "", func(v *store.Version) (Draft, error) {
		r, report := l.loader.Load(v.Content)
		if r == nil {
			return Draft{}, &store.InvalidError{Faults: report.StoreFaults()}
		}
		now := l.now()
		ended := due(r, now)
		if count = len(ended); count == 0 {
			return Draft{}, store.ErrUnchanged
		}
		return expire(v.Content, ended, now)
	})
	if errors.Is(err, store.ErrUnchanged) {
		return 0, nil
	}
	return count, err
}

// due are the states that have ended by now.
func due(r *Region, now time.Time) (out []ending) {
	for _, e := range r.endings() {
		if !now.Before(e.at) {
			out = append(out, e)
		}
	}
	return out
}

func expire(content map[string][]byte, ended []ending, now time.Time) (Draft, error) {
	d := Draft{Files: map[string][]byte{}}
	var why []string
	for _, e := range ended {
		before, there := d.Files[e.file]
		if !there {
			before = content[e.file]
		}
		text, was, err := Find(e.file, before, e.id)
		if err != nil {
			return Draft{}, err
		}
		patch := []byte(e.patch)
		if e.patch == "" {
			if patch, err = withoutEnded(text, now); err != nil {
				return Draft{}, err
			}
		}
		after, err := Patch(e.file, before, e.id, patch)
		if err != nil {
			return Draft{}, err
		}
		_, is, err := Find(e.file, after, e.id)
		if err != nil {
			return Draft{}, err
		}
		if string(after) == string(before) {
			continue // went with the one before
		}
		d.Files[e.file] = after
		d.What = append(d.What, store.Change{Action: "expire", File: e.file, Element: e.id, Before: was, After: is})
		why = append(why, fmt.Sprintf("%s of %s ended at %s", e.what, e.id, e.at.UTC().Format(time.RFC3339)))
	}
	d.Why = shorten(strings.Join(why, "; "))
	return d, nil
}

// withoutEnded is the patch that leaves those absences of a hospital that have
// not ended.
func withoutEnded(element []byte, now time.Time) ([]byte, error) {
	var f struct {
		Properties struct {
			Away []json.RawMessage `json:"away"`
		} `json:"properties"`
	}
	if err := json.Unmarshal(element, &f); err != nil {
		return nil, err
	}
	var left []json.RawMessage // nil is null, which removes the member
	for _, text := range f.Properties.Away {
		var a struct {
			Until time.Time `json:"until"`
		}
		if err := json.Unmarshal(text, &a); err != nil {
			return nil, err
		}
		if a.Until.IsZero() || now.Before(a.Until) {
			left = append(left, text)
		}
	}
	return json.Marshal(map[string]any{"properties": map[string]any{"away": left}})
}

// shorten cuts a text to what the history keeps.
func shorten(text string) string {
	if runes := []rune(text); len(runes) > store.MaxText {
		return string(runes[:store.MaxText-1]) + "…"
	}
	return text
}
