package api

import (
	"context"
	"encoding/json"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/store"
)

// pastEdit is an entry of the history.
type pastEdit struct {
	Number   int64          `json:"number"`
	At       time.Time      `json:"at"`
	Who      string         `json:"who"`
	Why      string         `json:"why,omitempty"`
	Changes  []pastChange   `json:"changes"`
	More     int            `json:"more,omitempty"`
	Versions *contentHashes `json:"versions,omitempty"`
	Files    []store.File   `json:"files,omitempty"`
}

// pastChange is one element that an edit changed. Before and after are left
// out of lists.
type pastChange struct {
	Action  string          `json:"action"`
	File    string          `json:"file"`
	Element string          `json:"element,omitempty"`
	Before  json.RawMessage `json:"before,omitempty"`
	After   json.RawMessage `json:"after,omitempty"`
}

func toPastEdit(e *store.Entry, whole bool) pastEdit {
	return pastEdit{
		Number: e.Number, At: shown(e.At), Who: e.Who, Why: e.Why,
		Changes: toPastChanges(e.What, whole), More: e.More,
	}
}

func toPastChanges(changes []store.Change, whole bool) []pastChange {
	out := make([]pastChange, len(changes))
	for i, c := range changes {
		out[i] = pastChange{Action: c.Action, File: c.File, Element: c.Element}
		if whole {
			out[i].Before, out[i].After = rawText(c.Before), rawText(c.After)
		}
	}
	return out
}

// withHistory is the region with its history.
func (s *service) withHistory() (*region.Live, error) {
	if s.live == nil {
		return nil, &problem{kind: noThing, detail: "this service was started on data that has no history"}
	}
	return s.live, nil
}

// The bounds of a page of the history, in entries.
const (
	usualPage = 50
	largePage = 500
	scanned   = 5000 // looked at for one page
)

// historyFilter is what a page of the history is to be about.
type historyFilter struct{ file, element, who string }

func (f historyFilter) keeps(e *store.Entry) bool {
	if f.who != "" && e.Who != f.who {
		return false
	}
	if f.file == "" && f.element == "" {
		return true
	}
	for i := range e.What {
		c := &e.What[i]
		if (f.file == "" || c.File == f.file) && (f.element == "" || c.Element == f.element) {
			return true
		}
	}
	return false
}

// history answers GET /v1/history.
func (s *service) history(c echo.Context) error {
	live, err := s.withHistory()
	if err != nil {
		return err
	}
	q, err := readQuery(c, "before", "limit", "element", "file", "who", "content")
	if err != nil {
		return err
	}
	before, err := number(q, "before", 1, 1<<62, 0)
	if err != nil {
		return err
	}
	limit, err := number(q, "limit", 1, largePage, usualPage)
	if err != nil {
		return err
	}
	keep := historyFilter{q.Get("file"), q.Get("element"), q.Get("who")}
	out := struct {
		Entries []pastEdit `json:"entries"`
		Next    int64      `json:"next,omitempty"` // the page after this one begins with ?before=next
	}{Entries: []pastEdit{}}
	ctx := c.Request().Context()
	walk := walkAll
	if q.Has("content") {
		numbers, err := live.Using(ctx, q.Get("content"))
		if err != nil {
			return err
		}
		walk = walkOnly(numbers)
	}
	seen := 0
	err = walk(ctx, live.Store(), before, func(e *store.Entry) bool {
		if len(out.Entries) == int(limit) || seen == scanned {
			return false
		}
		seen++
		if keep.keeps(e) {
			out.Entries = append(out.Entries, toPastEdit(e, false))
		}
		out.Next = e.Number
		return true
	}, func() { out.Next = 0 })
	if err != nil {
		return err
	}
	body, err := wire.JSON(out)
	if err != nil {
		return err
	}
	return sendFile(c, body, typeJSON)
}

// walkAll visits entries, the newest first, until visit has enough or done says
// that there are no more.
func walkAll(ctx context.Context, from store.Store, before int64, visit func(*store.Entry) bool, done func()) error {
	const page = 200
	for {
		entries, err := from.History(ctx, before, page)
		if err != nil {
			return err
		}
		for i := range entries {
			if !visit(&entries[i]) {
				return nil
			}
		}
		if len(entries) < page {
			done()
			return nil
		}
		before = entries[len(entries)-1].Number
	}
}

// walkOnly visits the entries with the numbers, which ascend.
func walkOnly(numbers []int64) func(context.Context, store.Store, int64, func(*store.Entry) bool, func()) error {
	return func(ctx context.Context, from store.Store, before int64, visit func(*store.Entry) bool, done func()) error {
		for i := len(numbers) - 1; i >= 0; i-- {
			if before > 0 && numbers[i] >= before {
				continue
			}
			entries, err := from.History(ctx, numbers[i]+1, 1)
			if err != nil {
				return err
			}
			for j := range entries {
				if !visit(&entries[j]) {
					return nil
				}
			}
		}
		done()
		return nil
	}
}

// version finds the version that a path names.
func (s *service) version(c echo.Context) (*region.Live, *store.Version, error) {
	live, err := s.withHistory()
	if err != nil {
		return nil, nil, err
	}
	n, err := strconv.ParseInt(c.Param("number"), 10, 64)
	if err != nil || n < 1 {
		return nil, nil, store.ErrNotFound
	}
	v, err := live.Store().At(c.Request().Context(), n)
	return live, v, err
}

// pastVersion answers GET /v1/history/{number}.
func (s *service) pastVersion(c echo.Context) error {
	live, v, err := s.version(c)
	if err != nil {
		return err
	}
	out := toPastEdit(&v.Entry, true)
	h, err := live.HashesOf(c.Request().Context(), v.Number)
	if err != nil {
		return err
	}
	out.Versions, out.Files = &contentHashes{h.Parameters, h.Facilities, h.Fleet, h.Roads}, v.Files
	body, err := wire.JSON(out)
	if err != nil {
		return err
	}
	return sendFile(c, body, typeJSON)
}

// pastFile answers GET /v1/history/{number}/files/{name}.
func (s *service) pastFile(c echo.Context) error {
	_, v, err := s.version(c)
	if err != nil {
		return err
	}
	content, ok := v.Content[c.Param("name")]
	if !ok {
		return &problem{kind: noThing, detail: "this version has no file of that name: GET /v1/history/" + c.Param("number") + " lists them"}
	}
	return sendFile(c, content, mediaOf(c.Param("name"))...)
}

// mediaOf is what the file of a region can be sent as.
func mediaOf(name string) []string {
	switch name {
	case region.FacilitiesFile, region.RoadsFile:
		return []string{typeGeoJSON, typeJSON}
	}
	return []string{typeJSON}
}

// pastChanges answers GET /v1/history/{number}/changes: what has changed since
// another version, the one before where none is given.
func (s *service) pastChanges(c echo.Context) error {
	live, v, err := s.version(c)
	if err != nil {
		return err
	}
	q, err := readQuery(c, "since")
	if err != nil {
		return err
	}
	since, err := number(q, "since", 0, 1<<62, v.Number-1)
	if err != nil {
		return err
	}
	base := &store.Version{} // before the first version there was nothing
	if since > 0 {
		if base, err = live.Store().At(c.Request().Context(), since); err != nil {
			return err
		}
	}
	changes := region.Diff(base.Content, v.Content)
	body, err := wire.JSON(struct {
		Since   int64        `json:"since"`
		Number  int64        `json:"number"`
		Changes []pastChange `json:"changes"`
	}{since, v.Number, toPastChanges(changes, true)})
	if err != nil {
		return err
	}
	return sendFile(c, body, typeJSON)
}

// restore answers POST /v1/history/{number}/restore: a new version with the
// files of an old one.
func (s *service) restore(c echo.Context) error {
	if _, err := accepted(c, typeJSON); err != nil {
		return err
	}
	live, by, err := s.editor(c)
	if err != nil {
		return err
	}
	_, old, err := s.version(c)
	if err != nil {
		return err
	}
	demand := preconditionOf(c.Request())
	v, err := live.Edit(c.Request().Context(), by.who, by.why, func(v *store.Version) (region.Draft, error) {
		if len(demand.match) == 0 {
			return region.Draft{}, needed("region")
		}
		st := live.State()
		st.Version = v.Entry
		tag, state := regionTags(st)
		if err := demand.check(tag, state); err != nil {
			return region.Draft{}, err
		}
		changes := region.Diff(v.Content, old.Content)
		for i := range changes {
			changes[i].Action = "restore"
		}
		return region.Draft{Files: replacing(v.Content, old.Content), What: changes, Why: "as in version " + strconv.FormatInt(old.Number, 10)}, nil
	})
	if err != nil && v == nil {
		return err
	}
	c.Response().Header().Set(headerVersion, strconv.FormatInt(v.Number, 10))
	return s.sendRegion(c, live.Region())
}

// replacing are the files of an edit that makes others of some.
func replacing(before, after map[string][]byte) map[string][]byte {
	files := map[string][]byte{}
	for name := range before {
		files[name] = nil
	}
	for name, content := range after {
		files[name] = content
	}
	return files
}
