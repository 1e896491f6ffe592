package api

import (
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"surgeonward/api/exchange"
	"surgeonward/api/region"
)

// sendWhole answers with a whole collection, as it stands or, to whom asks for that
// media type, in the format of another program.
func (l *collection) sendWhole(c echo.Context, r *region.Region, file []byte) error {
	offers := slices.Clone(l.media)
	forms := map[string]exchange.File{}
	for _, f := range exchange.Files() {
		if f.List == l.plural && (f.As == "kml" || f.As == "csv") {
			offers = append(offers, f.Media)
			forms[f.Media] = f
		}
	}
	media, err := accepted(c, offers...)
	if err != nil {
		return err
	}
	form, other := forms[media]
	if !other {
		return sendFile(c, file, media)
	}
	body, err := form.Write(r)
	if err != nil {
		return err
	}
	return sendFile(c, body, media)
}

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
