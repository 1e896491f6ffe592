package coverage_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/coverage"
)

func TestDecodeCSV(t *testing.T) {
	cells, err := coverage.DecodeCSV([]byte("\ufeffLatitude,longitude,remark,people,name\n45.5,-29.5,x,12.5,\"Some, where\"\n-45,180,,0,\n"))
	require.NoError(t, err)
	require.Len(t, cells, 2)
	assert.Equal(t, coverage.Cell{At: middle, People: 12.5, Name: "Some, where"}, cells[0])
	cells, err = coverage.DecodeCSV([]byte("latitude,longitude\n45.5,-29.5\n"))
	require.NoError(t, err)
	assert.Equal(t, 1.0, cells[0].People, "definition: without a weight each row counts one")
}

func TestDecodeCSVFaults(t *testing.T) {
	for _, c := range []struct {
		name, text string
		says       []string
	}{
		{"empty", "", []string{"line 1: has no header"}},
		{"no columns", "a,b\n1,2\n", []string{"latitude is missing", "longitude is missing"}},
		{"twice", "latitude,latitude,longitude,people,weight\n", []string{"latitude is there twice", "keep one"}},
		{"no rows", "latitude,longitude\n", []string{"no row"}},
		{"every fault of every row", "latitude,longitude,people\n-129.5,45.5,1\nx,,NaN\n1,2,-3\n1,2,Inf\n",
			[]string{"line 2, latitude", "line 3, longitude", "line 3, latitude", "line 3, people", "line 4, people", "line 5, people"}},
		{"a short row", "latitude,longitude,people\n1\n", []string{"longitude: is empty", "people: is empty"}},
		{"torn", "latitude,longitude\n\"1,2\n", []string{"line 2"}},
		{"not text", "latitude,longitude\n\xff,2\n", []string{"UTF-8"}},
		{"no end of faults", "latitude,longitude\n" + strings.Repeat("x,y\n", 1000), []string{"only the first 50 faults are listed"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := coverage.DecodeCSV([]byte(c.text))
			require.Error(t, err)
			for _, s := range c.says {
				assert.ErrorContains(t, err, s)
			}
		})
	}
}

func TestDecodeGeoJSON(t *testing.T) {
	points, area, err := coverage.DecodeGeoJSON([]byte(`{"type":"FeatureCollection","features":[
		{"type":"Feature","properties":{"people":7,"name":"here"},"geometry":{"type":"Point","coordinates":[-29.5,45.5]}},
		{"type":"Feature","properties":null,"geometry":{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]}}]}`))
	require.NoError(t, err)
	assert.Equal(t, []coverage.Cell{{At: middle, People: 7, Name: "here"}}, points)
	assert.Len(t, area, 1)
	for _, c := range []struct{ name, text, says string }{
		{"not JSON", `{`, ""},
		{"another thing", `{"type":"Point"}`, "FeatureCollection"},
		{"nothing in it", `{"type":"FeatureCollection","features":[]}`, "neither a point nor a polygon"},
		{"swapped", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[45,-129]}}]}`, "/features/0/geometry/coordinates: must be longitude"},
		{"open ring", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,1]]]}}]}`, "not closed"},
		{"a weight that is none", `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"people":"x"},"geometry":{"type":"Point","coordinates":[1,2]}}]}`, "/properties/people"},
		{"a line", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"LineString","coordinates":[[1,2],[2,3]]}}]}`, "must be Point"},
		{"null", `{"type":"FeatureCollection","features":[null,{"type":"Feature","geometry":{"type":"Polygon","coordinates":[null]}}]}`, "/features/0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, _, err := coverage.DecodeGeoJSON([]byte(c.text))
			require.ErrorContains(t, err, c.says)
		})
	}
}

func FuzzDecodeCSV(f *testing.F) {
	for _, s := range []string{"", "latitude,longitude\n1,2\n", "latitude,longitude,people\n1e308,-0,0x1p3\n", "\"", "latitude;longitude\n1;2", "latitude,longitude\r\n90,180\r\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		cells, err := coverage.DecodeCSV([]byte(text))
		if err != nil {
			return
		}
		require.NoError(t, coverage.AtPoints(cells).Check())
	})
}

func FuzzDecodeGeoJSON(f *testing.F) {
	for _, s := range []string{"", "{}", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"MultiPolygon","coordinates":[[[[0,0],[1,0],[1,1],[0,0]]]]}}]}`,
		`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[1e308,2]}}]}`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		cells, area, err := coverage.DecodeGeoJSON([]byte(text))
		if err != nil {
			return
		}
		if len(cells) > 0 {
			require.NoError(t, coverage.AtPoints(cells).Check())
		}
		if len(area) > 0 {
			_, _ = coverage.NewGrid(area, 200_000) // must not panic
		}
	})
}
