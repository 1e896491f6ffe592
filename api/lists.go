package api

import (
	"github.com/labstack/echo/v4"

	"surgeonward/api/wire"
)

func (s *service) parameters(c echo.Context) error {
	r, err := s.region()
	if err != nil {
		return err
	}
	body, err := wire.JSON(wire.EncodeParameters(r))
	if err != nil {
		return err
	}
	return sendFile(c, body, typeJSON)
}
