package api

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"

	"github.com/labstack/echo/v4"

	"surgeonward/api/wire"
	"surgeonward/routing/coverage"
)

const demandPath = "/v1/region/demand"

// MaxDemand is the longest file of people that is served, in bytes: what it becomes is to
// be asked with, and a question is no longer than wire.MaxPlanning.
const MaxDemand = wire.MaxPlanning

// DemandFile reads the region's file of people, CSV or GeoJSON, as it is now: at least
// MaxDemand bytes and one of it, where it has so many. The error is fs.ErrNotExist where
// there is none.
type DemandFile func() ([]byte, error)

// demand answers GET /v1/region/demand: the region's own people, as a question of coverage
// or siting takes them.
func (s *service) demand(c echo.Context) error {
	if _, err := readQuery(c); err != nil {
		return err
	}
	if s.people == nil {
		return noPeople(nil)
	}
	text, err := s.people()
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return noPeople(err)
	case err != nil:
		return &problem{kind: storeUnavailable, detail: "the region's file of people cannot be read", cause: err}
	case len(text) > MaxDemand:
		return &problem{kind: conflict, detail: fmt.Sprintf("the region's file of people has more than %d bytes, more than a question may have: join its points", MaxDemand)}
	}
	body, err := demandGeoJSON(text)
	if err != nil {
		return demandProblem(err)
	}
	return sendFile(c, body, typeGeoJSON, typeJSON)
}

func noPeople(cause error) error {
	return &problem{kind: noThing, detail: "the region has no file of people: put a demand.csv into its folder, or give demand with the question", cause: cause}
}

// demandGeoJSON is a file of people as GeoJSON: a table made into points, GeoJSON as it is.
func demandGeoJSON(text []byte) ([]byte, error) {
	if start := bytes.TrimLeft(text, " \t\r\n"); len(start) > 0 && start[0] == '{' {
		_, _, err := coverage.DecodeGeoJSON(text)
		return text, err
	}
	cells, err := coverage.DecodeCSV(text)
	if err != nil {
		return nil, err
	}
	type properties struct {
		People float64 `json:"people"`
		Name   string  `json:"name,omitempty"`
	}
	type geometry struct {
		Type string     `json:"type"`
		At   [2]float64 `json:"coordinates"`
	}
	type feature struct {
		Type       string     `json:"type"`
		Geometry   geometry   `json:"geometry"`
		Properties properties `json:"properties"`
	}
	out := struct {
		Type     string    `json:"type"`
		Features []feature `json:"features"`
	}{"FeatureCollection", make([]feature, 0, len(cells))}
	for _, p := range cells {
		out.Features = append(out.Features, feature{"Feature", geometry{"Point", [2]float64{p.At.Lon(), p.At.Lat()}}, properties{p.People, p.Name}})
	}
	return wire.JSON(out)
}

// demandProblem says what is wrong in the file.
func demandProblem(err error) error {
	var faults coverage.Faults
	if !errors.As(err, &faults) {
		return err
	}
	p := &problem{kind: conflict, detail: "the region's file of people cannot be used: mend it where the errors say", cause: err}
	for _, f := range faults {
		p.errors = append(p.errors, wire.Fault{Pointer: "#", Detail: f.At + ": " + f.Detail}) // a line of a table has no pointer
	}
	return p
}
