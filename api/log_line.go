package api

import (
	"net/http"
	"slices"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"
)

// methods are those a log line names; any other text is the caller's own.
var methods = []string{http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch,
	http.MethodDelete, http.MethodConnect, http.MethodOptions, http.MethodTrace}

// logLine writes one line for each request, after its answer. It writes
// the answer of an error, so that it sees every status.
//
// Templates are the paths a line may name: for a path that no route takes, the
// router gives the path itself.
func logLine(logger zerolog.Logger, templates map[string]bool) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			began := time.Now()
			if err := next(c); err != nil {
				c.Error(err)
			}
			level := zerolog.InfoLevel
			if c.Response().Status >= http.StatusInternalServerError {
				level = zerolog.ErrorLevel
			}
			logger.WithLevel(level).
				Str("id", idOf(c)).
				Str("method", methodOf(c)).
				Str("route", routeOf(c, templates)).
				Int("status", c.Response().Status).
				Float64("duration_ms", float64(time.Since(began).Microseconds())/1000).
				Int64("bytes", c.Response().Size).
				Msg("request")
			return nil
		}
	}
}

// methodOf and routeOf name a request in words that are ours, not the caller's.
func methodOf(c echo.Context) string {
	if method := c.Request().Method; slices.Contains(methods, method) {
		return method
	}
	return "other"
}

func routeOf(c echo.Context, templates map[string]bool) string {
	if route := c.Path(); templates[route] {
		return route
	}
	return "none"
}
