package api

import (
	"context"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/facilities/have"
	"surgeonward/facilities/table"
)

// The limits on one request.
const (
	MaxBody = 256 << 10        // longest body in bytes
	MaxTime = 10 * time.Second // longest time for an answer

	maxImportTime = 60 * time.Second // for reading it, checking it and preparing its roads
	maxImports    = 2                // at a time
)

// The routes with limits of their own.
const (
	eventsPath     = "/v1/events"
	regionFilePath = "/v1/region/files/:name"
)

// limit bounds the body and the time of a request. The time reaches the engine
// through the request's context. A stream of events has no end.
func limit(most time.Duration) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if c.Path() == eventsPath || c.Path() == jobEventsPath {
				return next(c)
			}
			most, longest := most, int64(MaxBody)
			if c.Path() == coveragePath || c.Path() == sitingPath {
				longest = wire.MaxPlanning - 1024 // what it is kept with comes on top
			}
			if isImport(c) {
				longest = importLimit(c)
				most = max(most, maxImportTime)
				moreTime(c, most)
			}
			ctx, cancel := context.WithTimeout(c.Request().Context(), most)
			defer cancel()
			r := c.Request().WithContext(ctx)
			if r.ContentLength > longest {
				return &http.MaxBytesError{Limit: longest}
			}
			r.Body = http.MaxBytesReader(c.Response(), r.Body, longest)
			c.SetRequest(r)
			return next(c)
		}
	}
}

func isImport(c echo.Context) bool {
	path := c.Path()
	return c.Request().Method == http.MethodPut && path == regionFilePath ||
		c.Request().Method == http.MethodPost && (path == tablePath || path == statusPath)
}

// importLimit is how long the body of an import can be.
func importLimit(c echo.Context) int64 {
	switch c.Path() {
	case tablePath:
		return table.MaxBytes
	case statusPath:
		return have.MaxBytes
	}
	if most := region.MaxBytes(c.Param("name")); most > 0 {
		return most
	}
	return MaxBody
}

// moreTime moves the connection's deadlines. Where there is no connection, as
// in a test, there is none to move.
func moreTime(c echo.Context, most time.Duration) {
	control := http.NewResponseController(c.Response())
	_ = control.SetReadDeadline(time.Now().Add(most))
	_ = control.SetWriteDeadline(time.Now().Add(most + 5*time.Second))
}
