package api

import (
	"strconv"

	"github.com/labstack/echo/v4"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/store"
)

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
	ctx := c.Request().Context()
	entries := region.Entries(ctx, live.Store(), before)
	if q.Has("content") {
		numbers, err := live.Using(ctx, q.Get("content"))
		if err != nil {
			return err
		}
		entries = region.EntriesOf(ctx, live.Store(), numbers, before)
	}
	keep := region.PastFilter{File: q.Get("file"), Element: q.Get("element"), Who: q.Get("who")}
	page, next, err := keep.Page(entries, int(limit), scanned)
	if err != nil {
		return err
	}
	body, err := wire.JSON(wire.EncodeHistory(page, next))
	if err != nil {
		return err
	}
	return sendFile(c, body, typeJSON)
}

// version finds the version that a path names.
func (s *service) version(c echo.Context) (*region.Live, *store.Version, error) {
	live, err := s.withHistory()
	if err != nil {
		return nil, nil, err
	}
	n, err := versionNumber(c)
	if err != nil {
		return nil, nil, err
	}
	v, err := live.Store().At(c.Request().Context(), n)
	return live, v, err
}

func versionNumber(c echo.Context) (int64, error) {
	n, err := strconv.ParseInt(c.Param("number"), 10, 64)
	if err != nil || n < 1 {
		return 0, store.ErrNotFound
	}
	return n, nil
}

// pastVersion answers GET /v1/history/{number}.
func (s *service) pastVersion(c echo.Context) error {
	live, v, err := s.version(c)
	if err != nil {
		return err
	}
	h, err := live.HashesOf(c.Request().Context(), v.Number)
	if err != nil {
		return err
	}
	body, err := wire.JSON(wire.EncodeVersion(&v.Entry, h))
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
	body, err := wire.JSON(wire.EncodeDifference(since, v.Number, region.Diff(base.Content, v.Content)))
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
	number, err := versionNumber(c)
	if err != nil {
		return err
	}
	demand := preconditionOf(c.Request())
	v, err := live.Restore(c.Request().Context(), by.who, by.why, number, func(newest *store.Version) error {
		if len(demand.match) == 0 {
			return needed("region")
		}
		st := live.State()
		st.Version = newest.Entry
		tag, state := regionTags(st)
		return demand.check(tag, state)
	})
	if err != nil && v == nil {
		return err
	}
	c.Response().Header().Set(headerVersion, strconv.FormatInt(v.Number, 10))
	return s.sendRegion(c, live.Region())
}
