package api

import (
	"errors"
	"fmt"
	"net/http"
	"runtime"

	"github.com/labstack/echo/v4"
	"github.com/rs/zerolog"
)

// recoverPanic turns a panic into an internal error. The log gets the type of
// what was thrown and the functions it passed, never its text: that may hold
// what the caller sent.
func recoverPanic(logger zerolog.Logger) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) (err error) {
			defer func() {
				thrown := recover()
				if thrown == nil {
					return
				}
				if e, ok := thrown.(error); ok && errors.Is(e, http.ErrAbortHandler) {
					panic(thrown) // net/http's own way to give a connection up
				}
				logger.Error().Str("id", idOf(c)).Str("thrown", fmt.Sprintf("%T", thrown)).
					Strs("in", callers()).Msg("panic")
				err = unexplained(nil) // the line above says all that may be said
			}()
			return next(c)
		}
	}
}

// callers names the functions between the panic and the handler, innermost first.
func callers() []string {
	pcs := make([]uintptr, 24)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(4, pcs)])
	var names []string
	for {
		frame, more := frames.Next()
		if frame.Function != "" {
			names = append(names, fmt.Sprintf("%s:%d", frame.Function, frame.Line))
		}
		if !more {
			return names
		}
	}
}
