package api

import (
	"regexp"
	"strings"

	"github.com/labstack/echo/v4"

	"surgeonward/api/region"
)

// collection is one of the lists that a region consists of.
type collection struct {
	path   string // of its route
	file   string // of the region
	noun   string
	plural string
	media  []string // of an element and of the list
	head   string   // how a list of some of its elements begins
}

var (
	facilityList = &collection{path: "/v1/facilities", file: region.FacilitiesFile, noun: "facility", plural: "facilities",
		media: []string{typeGeoJSON, typeJSON}, head: `{"type":"FeatureCollection","features":[`}
	assetList = &collection{path: "/v1/assets", file: region.FleetFile, noun: "asset", plural: "assets",
		media: []string{typeJSON}, head: `{"assets":[`}
	roadList = &collection{path: "/v1/roads", file: region.RoadsFile, noun: "road feature", plural: "road features",
		media: []string{typeGeoJSON, typeJSON}, head: `{"type":"FeatureCollection","features":[`}
)

// collections are all of them, in the order of their routes.
var collections = []*collection{facilityList, assetList, roadList}

// missing is the problem that the collection has nothing by an id.
func (l *collection) missing() error {
	return &problem{kind: noThing, detail: "no " + l.noun + " has this id: GET " + l.path + " lists them"}
}

// goodID is what an id can be, in every file.
var goodID = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,63}$`)

// idIn is the id in a request's path. What cannot be an id is no id of anything.
func (l *collection) idIn(c echo.Context) (string, error) {
	id := c.Param("id")
	if !goodID.MatchString(id) {
		return "", &problem{kind: noThing, detail: "no " + l.noun + " can have this id: an id is 1 to 64 of the characters a-z, 0-9 and -, not starting with -"}
	}
	return id, nil
}

// list answers with the elements that the query asks for, or with the whole file.
func (s *service) list(l *collection) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, err := s.region()
		if err != nil {
			return err
		}
		keep, all, err := l.filter(c, r)
		if err != nil {
			return err
		}
		file, ok := r.File(l.file)
		if !ok {
			return &problem{kind: noThing, detail: "the region has no roads.geojson: its roads are estimated by the road factor alone"}
		}
		if all {
			return l.sendWhole(c, r, file)
		}
		var body strings.Builder
		body.WriteString(l.head)
		comma := ""
		for _, e := range r.Elements(l.file) {
			if keep(&e) {
				body.WriteString(comma)
				body.Write(e.Text)
				comma = ","
			}
		}
		body.WriteString("]}\n")
		return sendFile(c, []byte(body.String()), l.media...)
	}
}

// one answers with one element.
func (s *service) one(l *collection) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, err := s.region()
		if err != nil {
			return err
		}
		text, ok := r.Element(l.file, c.Param("id"))
		if !ok {
			return l.missing()
		}
		return sendFile(c, text, l.media...)
	}
}
