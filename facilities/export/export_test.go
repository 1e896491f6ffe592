package export_test

import (
	"encoding/binary"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geom/encoding/wkt"
	"pgregory.net/rapid"

	"surgeonward/facilities"
	"surgeonward/facilities/export"
	"surgeonward/geo/xmltree"
)

// list decodes the example file.
func list(t testing.TB) *facilities.List {
	t.Helper()
	data, err := os.ReadFile("../testdata/example.geojson")
	require.NoError(t, err)
	return decode(t, string(data))
}

func decode(t testing.TB, data string) *facilities.List {
	t.Helper()
	l, errs, _ := facilities.Decode([]byte(data), facilities.DecodeOptions{})
	require.Empty(t, errs)
	return l
}

// bases is a list of bases at points, with ids b0, b1 and so on.
func bases(t testing.TB, points ...orb.Point) *facilities.List {
	t.Helper()
	var features []string
	for i, p := range points {
		coordinates, err := json.Marshal([]float64{p.Lon(), p.Lat()})
		require.NoError(t, err)
		features = append(features, fmt.Sprintf(`{"type":"Feature","id":"b%d","geometry":{"type":"Point","coordinates":%s},"properties":{"kind":"base","name":"B%d"}}`, i, coordinates, i))
	}
	return decode(t, `{"type":"FeatureCollection","features":[`+strings.Join(features, ",")+`]}`)
}

// geometries returns the geometry column of a table by id.
func geometries(t testing.TB, table []byte, err error) map[string]string {
	t.Helper()
	require.NoError(t, err)
	assert.NotContains(t, strings.ReplaceAll(string(table), "\r\n", ""), "\n", "line ends of RFC 4180")
	rows, err := csv.NewReader(strings.NewReader(string(table))).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"id", "kind", "name", "geometry"}, rows[0])
	out := map[string]string{}
	for _, row := range rows[1:] {
		out[row[0]] = row[3]
	}
	return out
}

// byHand are points and their EWKB. Source: the layout of OGC 06-103r4 section 8.2 with
// the SRID flag 0x20000000 of PostGIS, from memory, and IEEE 754 doubles worked by hand:
// byte order 01, type 01 00 00 20, SRID E6 10 00 00 (4326), x, y.
var byHand = []struct {
	point     orb.Point
	wkt, ewkb string
}{
	{orb.Point{1, 2}, "POINT (1 2)", "0101000020E6100000" + "000000000000F03F" + "0000000000000040"},
	{orb.Point{-2, 0.5}, "POINT (-2 0.5)", "0101000020E6100000" + "00000000000000C0" + "000000000000E03F"},
	{orb.Point{180, -90}, "POINT (180 -90)", "0101000020E6100000" + "0000000000806640" + "00000000008056C0"},
	{orb.Point{0, 0}, "POINT (0 0)", "0101000020E6100000" + "0000000000000000" + "0000000000000000"},
}

func TestGeometryByHand(t *testing.T) {
	var points []orb.Point
	for _, c := range byHand {
		points = append(points, c.point)
	}
	l := bases(t, points...)
	text, err := export.WKT(l)
	wkts := geometries(t, text, err)
	binaryText, err := export.EWKB(l)
	ewkbs := geometries(t, binaryText, err)
	for i, c := range byHand {
		id := fmt.Sprintf("b%d", i)
		assert.Equal(t, c.wkt, wkts[id])
		assert.Equal(t, c.ewkb, ewkbs[id])
	}
}

// Every double comes through to the last bit: read back by the published layout, and
// by the parser of well-known text.
func TestGeometryKeepsEveryBit(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := orb.Point{rapid.Float64Range(-180, 180).Draw(r, "lon"), rapid.Float64Range(-90, 90).Draw(r, "lat")}
		l := bases(t, p)
		binaryText, err := export.EWKB(l)
		raw, err2 := hex.DecodeString(geometries(t, binaryText, err)["b0"])
		require.NoError(t, err2)
		require.Len(t, raw, 1+4+4+8+8)
		want, _ := l.Get("b0")
		assert.Equal(t, want.Position, orb.Point{math.Float64frombits(binary.LittleEndian.Uint64(raw[9:])), math.Float64frombits(binary.LittleEndian.Uint64(raw[17:]))})
		text, err := export.WKT(l)
		g, err2 := wkt.Unmarshal(geometries(t, text, err)["b0"])
		require.NoError(t, err2)
		assert.Equal(t, want.Position, orb.Point{g.FlatCoords()[0], g.FlatCoords()[1]})
	})
}

// TestPostGIS asks a PostGIS database whether it prints the same EWKB for the same
// points, and whether it reads ours back.
func TestPostGIS(t *testing.T) {
	database := os.Getenv("SURGEONWARD_POSTGIS")
	if database == "" {
		t.Skip("SURGEONWARD_POSTGIS names no database with PostGIS")
	}
	text, err := export.EWKB(list(t))
	ours := geometries(t, text, err)
	require.NotEmpty(t, ours)
	for id, ewkb := range ours {
		f, ok := list(t).Get(id)
		require.True(t, ok)
		query := fmt.Sprintf("SELECT ST_AsHEXEWKB(ST_SetSRID(ST_MakePoint(%[1]v,%[2]v),4326),'NDR'), '%[3]s'::geometry::text, ST_X('%[3]s'::geometry)=%[1]v AND ST_Y('%[3]s'::geometry)=%[2]v, ST_SRID('%[3]s'::geometry)",
			f.Position.Lon(), f.Position.Lat(), ewkb)
		out, err := exec.Command("psql", "-XAtq", "-d", database, "-c", query).CombinedOutput()
		require.NoError(t, err, string(out))
		assert.Equal(t, ewkb+"|"+ewkb+"|t|4326", strings.TrimSpace(string(out)), id)
	}
}

func TestGeoJSON(t *testing.T) {
	out, err := export.GeoJSON(list(t))
	require.NoError(t, err)
	assert.JSONEq(t, `{"type":"FeatureCollection","features":[
		{"type":"Feature","id":"morvane-airfield","geometry":{"type":"Point","coordinates":[-29.6308,45.6127]},"properties":{"kind":"airfield","name":"Morvane Ridge Airfield"}},
		{"type":"Feature","id":"quellick-field","geometry":{"type":"Point","coordinates":[-29.2514,45.4406]},"properties":{"kind":"landing_site","name":"Quellick sports field"}},
		{"type":"Feature","id":"tavrin-hospital","geometry":{"type":"Point","coordinates":[-29.4102,45.5213]},"properties":{"kind":"hospital","name":"Tavrin Bay Hospital"}}]}`, string(out))
	out, err = export.GeoJSON(decode(t, `{"type":"FeatureCollection","features":[]}`))
	require.NoError(t, err)
	assert.JSONEq(t, `{"type":"FeatureCollection","features":[]}`, string(out), "a list, not null")
}

// Source: OGC KML 2.3 (12-007r2), from memory: longitude before latitude, between
// commas; the namespace is that of 2.2, which readers of either take.
func TestKML(t *testing.T) {
	data := strings.Replace(string(list(t).Encode()), "Quellick sports field", `Quellick <field> & \"green\"`, 1)
	out, err := export.KML(decode(t, data))
	require.NoError(t, err)
	root, err := xmltree.Parse(out, xmltree.Limits{Bytes: 1 << 20, Depth: 20, Elements: 1000})
	require.NoError(t, err)
	const ns = "http://www.opengis.net/kml/2.2"
	require.True(t, root.Is(ns, "kml"))
	found := map[string]string{} // name to coordinates
	values := map[string]string{}
	root.Walk(func(e *xmltree.Element) bool {
		if e.Is(ns, "Placemark") {
			found[e.Child(ns, "name").Content()] = e.Child(ns, "Point").Child(ns, "coordinates").Content()
			for _, d := range e.Child(ns, "ExtendedData").All(ns, "Data") {
				name, _ := d.Attr("", "name")
				values[e.Child(ns, "name").Content()+"/"+name] = d.Child(ns, "value").Content()
			}
		}
		return true
	})
	assert.Equal(t, map[string]string{
		"Tavrin Bay Hospital": "-29.4102,45.5213", "Pad of Tavrin Bay Hospital": "-29.4071,45.5231",
		`Quellick <field> & "green"`: "-29.2514,45.4406", "Morvane Ridge Airfield": "-29.6308,45.6127",
	}, found)
	assert.Equal(t, "tavrin-hospital", values["Tavrin Bay Hospital/id"])
	assert.Equal(t, "divert", values["Tavrin Bay Hospital/accepting"])
	assert.Equal(t, "2031-03-15T06:00:00Z", values["Tavrin Bay Hospital/accepting_until"])
	assert.Contains(t, values["Tavrin Bay Hospital/capabilities"], "cardiothoracic_surgery")
	assert.Equal(t, "tavrin-hospital", values["Pad of Tavrin Bay Hospital/hospital"])
}

func TestSameListSameBytes(t *testing.T) {
	data := string(list(t).Encode())
	for name, write := range map[string]func(*facilities.List) ([]byte, error){"KML": export.KML, "WKT": export.WKT, "EWKB": export.EWKB, "GeoJSON": export.GeoJSON} {
		first, err := write(decode(t, data))
		require.NoError(t, err)
		for range 5 {
			again, err := write(decode(t, data))
			require.NoError(t, err)
			assert.Equal(t, string(first), string(again), name)
		}
	}
}

// A name that a spreadsheet would run as a formula is none.
func TestNamesAreNoFormulas(t *testing.T) {
	data := strings.Replace(string(list(t).Encode()), "Quellick sports field", "=1+1", 1)
	out, err := export.WKT(decode(t, data))
	require.NoError(t, err)
	assert.Contains(t, string(out), ",'=1+1,")
}
