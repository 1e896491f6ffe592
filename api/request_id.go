package api

import (
	"crypto/rand"
	"regexp"

	"github.com/labstack/echo/v4"
)

// safeID is what a caller may use as a request id: it goes into the log and
// into a URI, so nothing with a point, a comma or a space.
var safeID = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9_-]{7,63}$`)

const idKey = "request id"

// requestID takes the caller's X-Request-ID when it is safe and makes one
// otherwise; the answer always carries it.
func requestID(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		id := c.Request().Header.Get(echo.HeaderXRequestID)
		if !safeID.MatchString(id) {
			id = rand.Text()
		}
		c.Set(idKey, id)
		c.Response().Header().Set(echo.HeaderXRequestID, id)
		return next(c)
	}
}

// idOf is the request's id; empty before requestID has run.
func idOf(c echo.Context) string {
	id, _ := c.Get(idKey).(string)
	return id
}
