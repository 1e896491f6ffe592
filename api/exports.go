package api

import (
	"strings"

	"github.com/labstack/echo/v4"

	"surgeonward/api/exchange"
)

// exported answers with one of the region's lists in the format of another program. The
// name in the address says which, since map programs take an address but no headers.
func (s *service) exported(c echo.Context) error {
	r, err := s.region()
	if err != nil {
		return err
	}
	file, ok := exchange.Find(c.Param("name"))
	if !ok {
		var names []string
		for _, f := range exchange.Files() {
			names = append(names, f.Name)
		}
		return &problem{kind: noThing, detail: "no export has this name: there are " + strings.Join(names, ", ")}
	}
	body, err := file.Write(r)
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderContentDisposition, `attachment; filename="`+file.Name+`"`)
	return sendFile(c, body, file.Media)
}
