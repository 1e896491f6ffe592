package api

import (
	"context"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

// The limits on one request.
const (
	MaxBody = 256 << 10        // longest body in bytes
	MaxTime = 10 * time.Second // longest time for an answer
)

// limit bounds the body and the time of a request. The time reaches the engine
// through the request's context.
func limit(most time.Duration) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			ctx, cancel := context.WithTimeout(c.Request().Context(), most)
			defer cancel()
			r := c.Request().WithContext(ctx)
			if r.ContentLength > MaxBody {
				return &http.MaxBytesError{Limit: MaxBody}
			}
			r.Body = http.MaxBytesReader(c.Response(), r.Body, MaxBody)
			c.SetRequest(r)
			return next(c)
		}
	}
}
