package api

import (
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"surgeonward/api/wire"
)

// accepted is the media type to answer with, or the problem that there is none.
func accepted(c echo.Context, offers ...string) (string, error) {
	if len(offers) > 1 && !slices.Contains(c.Response().Header().Values(echo.HeaderVary), echo.HeaderAccept) {
		c.Response().Header().Add(echo.HeaderVary, echo.HeaderAccept)
	}
	chosen, ok := negotiate(c.Request().Header.Values(echo.HeaderAccept), offers...)
	if !ok {
		return "", &problem{kind: notAcceptable, detail: "this answer comes as " + strings.Join(offers, " or ")}
	}
	return chosen, nil
}

// sendJSON answers with a value as JSON.
func sendJSON(c echo.Context, value any) error {
	media, err := accepted(c, typeJSON)
	if err != nil {
		return err
	}
	body, err := wire.JSON(value)
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, media, body)
}

// sendFile answers with content that callers may keep, and with 304 where the
// one they have is the same.
func sendFile(c echo.Context, body []byte, offers ...string) error {
	media, err := accepted(c, offers...)
	if err != nil {
		return err
	}
	tag := etag(body)
	setTag(c, tag)
	if matches(c.Request().Header.Values(headerIfNoneMatch), tag) {
		return c.NoContent(http.StatusNotModified)
	}
	return c.Blob(http.StatusOK, media, body)
}

func etag(body []byte) string {
	sum := sha256.Sum256(body)
	return `"` + hex.EncodeToString(sum[:16]) + `"`
}

// matches compares weakly, as RFC 9110 section 13.1.2 asks.
func matches(headers []string, tag string) bool {
	return matchesAny(headers, []string{tag}, weakly)
}
