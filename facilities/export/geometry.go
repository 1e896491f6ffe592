package export

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"

	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/ewkbhex"
	"github.com/twpayne/go-geom/encoding/wkt"

	"surgeonward/facilities"
	"surgeonward/facilities/table"
)

// srid is the number of WGS 84, longitude first, in spatial databases.
const srid = 4326

// point is a facility's position.
func point(f *facilities.Facility) *geom.Point {
	return geom.NewPointFlat(geom.XY, []float64{f.Position.Lon(), f.Position.Lat()}).SetSRID(srid)
}

// WKT writes a table (RFC 4180) with the columns id, kind, name and geometry, the
// last as well-known text: "POINT (-29.41 45.52)". Map programs read it as delimited
// text with the geometry in a column.
func WKT(l *facilities.List) ([]byte, error) {
	return geometryTable(l, func(p *geom.Point) (string, error) { return wkt.Marshal(p) })
}

// EWKB writes a table (RFC 4180) with the columns id, kind, name and geometry, the
// last as extended well-known binary in upper-case hexadecimal, little endian, with
// SRID 4326: what PostGIS itself prints, so that COPY loads it into a geometry column.
func EWKB(l *facilities.List) ([]byte, error) {
	return geometryTable(l, func(p *geom.Point) (string, error) {
		text, err := ewkbhex.Encode(p, ewkbhex.NDR)
		return strings.ToUpper(text), err
	})
}

func geometryTable(l *facilities.List, encode func(*geom.Point) (string, error)) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true // RFC 4180 section 2
	rows := [][]string{{"id", "kind", "name", "geometry"}}
	for _, f := range l.All() {
		text, err := encode(point(f))
		if err != nil {
			return nil, fmt.Errorf("the position of %s: %w", f.ID, err)
		}
		rows = append(rows, []string{f.ID, string(f.Kind), table.SafeText(f.Name), text})
	}
	err := w.WriteAll(rows)
	return b.Bytes(), err
}
