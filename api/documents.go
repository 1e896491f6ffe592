package api

import (
	"net/http"

	"github.com/labstack/echo/v4"
)

// documents are the routes of the OpenAPI document and the files' schemas.
func (s *service) documents() ([]route, error) {
	document, err := documentJSON()
	if err != nil {
		return nil, err
	}
	schemas := Schemas()
	return []route{
		{http.MethodGet, "/" + documentName, open, func(c echo.Context) error {
			return sendFile(c, document, typeJSON)
		}, "the OpenAPI document as JSON"},
		{http.MethodGet, "/v1/openapi.yaml", open, func(c echo.Context) error {
			return sendFile(c, documentYAML, typeYAML)
		}, "the OpenAPI document as YAML"},
		{http.MethodGet, "/" + schemaPath + ":name", open, func(c echo.Context) error {
			schema, ok := schemas[c.Param("name")]
			if !ok {
				return &problem{kind: noThing, detail: "there is no schema of this name: facilities, fleet, roads and settings have one, as in fleet.schema.json"}
			}
			return sendFile(c, schema, typeSchema, typeJSON)
		}, "the JSON Schema of a region file"},
	}, nil
}
