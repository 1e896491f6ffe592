package api

import (
	"fmt"
	"net/http"
	"regexp"
	"strconv"

	"github.com/labstack/echo/v4"

	"surgeonward/api/access"
)

// archivePath is where the base map's file is served.
const archivePath = "/v1/base-map/archive"

// maxRange is how much of the base map's file one request may read, in bytes: a
// browser reads directories and single tiles.
const maxRange = 16 << 20

// typeArchive is registered with IANA.
const typeArchive = "application/vnd.pmtiles"

// baseMap says what is drawn under the region's own lines. All left out: nothing.
type baseMap struct {
	TileURL     string `json:"tile_url,omitempty"`
	Archive     string `json:"archive,omitempty"`
	MinZoom     int    `json:"min_zoom,omitempty"`
	MaxZoom     int    `json:"max_zoom,omitempty"`
	Attribution string `json:"attribution,omitempty"`
}

func (s *service) baseMapRoutes() []route {
	return []route{
		{http.MethodGet, "/v1/base-map", access.Reader, s.aboutBaseMap, "the map that is drawn under the region's own lines, if any"},
		{http.MethodGet, archivePath, access.Reader, s.baseMapArchive, "a range of the base map's PMTiles file"},
	}
}

func (s *service) aboutBaseMap(c echo.Context) error {
	out := baseMap{}
	if m := s.baseMap; m != nil {
		out = baseMap{TileURL: m.TileURL, MinZoom: m.MinZoom, MaxZoom: m.MaxZoom, Attribution: m.Attribution}
		if m.Archive != nil {
			out.Archive = archivePath
		}
	}
	return sendJSON(c, out)
}

// oneRange is the one form of RFC 9110's byte ranges that the page asks for.
var oneRange = regexp.MustCompile(`^bytes=(\d{1,18})-(\d{1,18})$`)

// baseMapArchive answers with a range of the file. Which ranges somebody reads tells
// where they look, so no cache keeps them.
func (s *service) baseMapArchive(c echo.Context) error {
	if s.baseMap == nil || s.baseMap.Archive == nil {
		return &problem{kind: noThing, detail: "the service has no such file: it is started with one by --tiles"}
	}
	if _, err := accepted(c, typeArchive); err != nil {
		return err
	}
	a := s.baseMap.Archive
	m := oneRange.FindStringSubmatch(c.Request().Header.Get("Range"))
	if m == nil {
		return &problem{kind: badRequest, detail: "ask for a part of the file: Range: bytes=0-16383"}
	}
	first, err := strconv.ParseInt(m[1], 10, 64)
	if err != nil { // 18 digits fit
		return err
	}
	last, err := strconv.ParseInt(m[2], 10, 64)
	if err != nil {
		return err
	}
	last = min(last, a.Size()-1)
	if first > last {
		c.Response().Header().Set("Content-Range", fmt.Sprintf("bytes */%d", a.Size()))
		return &problem{kind: badRequest, status: http.StatusRequestedRangeNotSatisfiable, detail: fmt.Sprintf("the file has %d bytes", a.Size())}
	}
	if last-first >= maxRange {
		return &problem{kind: badRequest, detail: fmt.Sprintf("ask for at most %d bytes at a time", maxRange)}
	}
	body := make([]byte, last-first+1)
	if _, err := a.ReadAt(body, first); err != nil {
		return fmt.Errorf("reading the base map: %w", err)
	}
	h := c.Response().Header()
	h.Set("Content-Range", fmt.Sprintf("bytes %d-%d/%d", first, last, a.Size()))
	h.Set("ETag", a.Tag())
	return c.Blob(http.StatusPartialContent, typeArchive, body)
}
