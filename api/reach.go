package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"surgeonward/api/wire"
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
	q, err := s.decoder.DecodeReach(body, r, s.now())
	if err != nil {
		return err
	}
	ans, err := r.Engine.Reach(c.Request().Context(), q.Question, q.Reach)
	if err != nil {
		return err
	}
	form, err := wire.EncodeReach(&ans, &q, r, s.build)
	if err != nil {
		return err
	}
	text, err := wire.JSON(form)
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, media, text)
}
