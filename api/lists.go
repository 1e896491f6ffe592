package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"surgeonward/api/wire"
)

func (s *service) facilities(c echo.Context) error {
	r, err := s.region()
	if err != nil {
		return err
	}
	return sendFile(c, r.Facilities.Encode(), typeGeoJSON, typeJSON)
}

func (s *service) facility(c echo.Context) error {
	r, err := s.region()
	if err != nil {
		return err
	}
	feature, ok := r.Feature(c.Param("id"))
	if !ok {
		return &problem{kind: noThing, detail: "no facility has this id: GET /v1/facilities lists them"}
	}
	media, err := accepted(c, typeGeoJSON, typeJSON)
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, media, feature)
}

func (s *service) assets(c echo.Context) error {
	r, err := s.region()
	if err != nil {
		return err
	}
	return sendFile(c, r.FleetFile(), typeJSON)
}

func (s *service) asset(c echo.Context) error {
	r, err := s.region()
	if err != nil {
		return err
	}
	asset, ok := r.Asset(c.Param("id"))
	if !ok {
		return &problem{kind: noThing, detail: "no asset has this id: GET /v1/assets lists them"}
	}
	media, err := accepted(c, typeJSON)
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, media, asset)
}

func (s *service) roads(c echo.Context) error {
	r, err := s.region()
	if err != nil {
		return err
	}
	roads, ok := r.Roads()
	if !ok {
		return &problem{kind: noThing, detail: "the region has no roads.geojson: its roads are estimated by the road factor alone"}
	}
	return sendFile(c, roads, typeGeoJSON, typeJSON)
}

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
