package api

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"surgeonward/api/web"
)

// assetsPath is where the page's files are served.
const assetsPath = "/page/"

// start answers a browser with the page, and anything else with what is served
// here.
func (s *service) start(c echo.Context) error {
	media, err := accepted(c, typeJSON, typeHTML)
	if err != nil {
		return err
	}
	if media == typeJSON {
		return s.index(c)
	}
	return s.pageFile(c, s.page.Start, "no-cache")
}

// worker serves the page's service worker, from the root because a worker's
// place bounds what it may look after.
func (s *service) worker(c echo.Context) error {
	if !s.page.Built {
		return &problem{kind: noThing, detail: "this program was built without the page: run make web, then build again"}
	}
	return s.pageFile(c, s.page.Worker, "no-cache")
}

// asset serves a file of the page. It is named after its content, so a browser
// may keep it for good.
func (s *service) pageAsset(c echo.Context) error {
	f, ok := s.page.Assets[c.Param("name")]
	if !ok {
		return &problem{kind: noThing, detail: "the page has no such file: GET / names those it has"}
	}
	return s.pageFile(c, f, "public, max-age=31536000, immutable")
}

// pageFile sends a file of the page, compressed where that is understood.
func (s *service) pageFile(c echo.Context, f web.File, keep string) error {
	h := c.Response().Header()
	// Also on an answer without a body: a browser takes the headers of a 304 for
	// the copy that it has.
	h.Set(echo.HeaderContentSecurityPolicy, s.policy)
	h.Set(echo.HeaderCacheControl, keep)
	h.Add(echo.HeaderVary, echo.HeaderAcceptEncoding)
	body, tag := f.Body, f.Tag
	if f.Zipped != nil && takesGzip(c.Request().Header.Values(echo.HeaderAcceptEncoding)) {
		body, tag = f.Zipped, strings.TrimSuffix(tag, `"`)+`-gz"` // another representation, another tag
		h.Set(echo.HeaderContentEncoding, "gzip")
	}
	h.Set("ETag", tag)
	if matches(c.Request().Header.Values("If-None-Match"), tag) {
		h.Del(echo.HeaderContentEncoding)
		return c.NoContent(http.StatusNotModified)
	}
	return c.Blob(http.StatusOK, f.Media, body)
}

// takesGzip reads Accept-Encoding as RFC 9110 section 12.5.3 has it, but asks
// for gzip by name: a browser always does.
func takesGzip(headers []string) bool {
	for element := range strings.SplitSeq(strings.Join(headers, ","), ",") {
		coding, weight, _ := strings.Cut(element, ";")
		if strings.EqualFold(strings.TrimSpace(coding), "gzip") {
			q := strings.TrimLeft(strings.ReplaceAll(weight, " ", ""), "qQ=")
			return q == "" || strings.Trim(q, "0.") != ""
		}
	}
	return false
}
