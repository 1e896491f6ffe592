package api

import (
	"cmp"
	"net/http"

	"github.com/labstack/echo/v4"

	"surgeonward/api/access"
)

// readers is the highest role whose routes change nothing.
const readers = access.Reader

// audit writes and counts what has to be answered for: who changed what, or was
// refused, and how it ended. It names routes and reasons, never what was sent.
func (s *service) audit(c echo.Context, route, method string, status int) {
	reason, refused := c.Get(reasonKey).(access.Reason)
	changes := s.changes(c)
	if !refused && !changes {
		return
	}
	problem, _ := c.Get(kindKey).(string)
	outcome := "done"
	if status >= http.StatusBadRequest {
		outcome = cmp.Or(problem, otherProblem.Name)
	}
	if refused {
		s.metrics.refused.WithLabelValues(string(reason)).Inc()
	}
	if changes {
		s.metrics.edits.WithLabelValues(outcome).Inc()
	}
	who := whoOf(c)
	line := s.logger.Info().
		Str("id", idOf(c)).
		Str("who", cmp.Or(who.Name, "unknown")).
		Str("role", who.Role.String()).
		Str("method", method).
		Str("route", route).
		Int("status", status).
		Str("outcome", outcome)
	if refused {
		line = line.Str("reason", string(reason))
	}
	line.Msg("audit")
}
