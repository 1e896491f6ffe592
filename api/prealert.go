package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"surgeonward/api/wire"
)

// preAlert answers POST /v1/pre-alert.
func (s *service) preAlert(c echo.Context) error {
	media, err := accepted(c, typeJSON, typeText)
	if err != nil {
		return err
	}
	r, body, err := s.asked(c)
	if err != nil {
		return err
	}
	q, err := s.decoder.DecodePreAlert(body, r, s.now())
	if err != nil {
		return err
	}
	alert, err := r.Engine.PreAlert(c.Request().Context(), q.Question, q.Alert)
	if err != nil {
		return err
	}
	form, err := wire.EncodePreAlert(&alert, &q, r, s.build)
	if err != nil {
		return err
	}
	if media == typeText {
		return c.Blob(http.StatusOK, echo.MIMETextPlainCharsetUTF8, []byte(wire.PreAlertText(&form)))
	}
	text, err := wire.JSON(form)
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, media, text)
}
