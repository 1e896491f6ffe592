package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"surgeonward/api/record"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/routing"
)

// reach answers POST /v1/reach.
func (s *service) reach(c echo.Context) error {
	media, err := accepted(c, typeJSON)
	if err != nil {
		return err
	}
	r, body, err := s.asked(c)
	if err != nil {
		return err
	}
	now := s.now()
	q, err := s.decoder.DecodeReach(body, r, now)
	if err != nil {
		return err
	}
	ans, err := r.Engine.Reach(c.Request().Context(), q.Question, q.Reach)
	if err != nil {
		return err
	}
	text, err := reachText(&ans, &q, r, s.build)
	if err != nil {
		return err
	}
	s.recorder.keep(c, r, question{body, now}, record.AnswerRecord{Asked: askedReach, At: ans.At, Answer: text})
	return c.Blob(http.StatusOK, media, text)
}

// reachText is an answer of reach as JSON, as it is sent, recorded and replayed.
func reachText(ans *routing.Reach, q *wire.ReachRequest, r *region.Region, build string) ([]byte, error) {
	form, err := wire.EncodeReach(ans, q, r, build)
	if err != nil {
		return nil, err
	}
	return wire.JSON(form)
}
