package coverage_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/coverage"
)

// wellFormed reads XML to its end.
func wellFormed(t *testing.T, text string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err)
	}
}

func TestWriters(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 8))
	e := crowd(random, 40_000).engine(t)
	g := grid(t, square(middle, 60_000), 10_000)
	d := coverage.OnGrid(g, []coverage.Cell{{At: middle, People: 1000, Name: `=a "name", & <more>`}})
	r, err := coverage.Run(t.Context(), coverage.Plan{Engine: e, Demand: d, Situation: situation(), Second: true})
	require.NoError(t, err)

	var b bytes.Buffer
	require.NoError(t, r.WriteCSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, g.Len()+1)
	sum := 0.0
	for i, row := range rows[1:] {
		people, err := strconv.ParseFloat(row[3], 64)
		require.NoError(t, err)
		sum += people
		require.False(t, strings.HasPrefix(row[2], "="), "a spreadsheet would take it for a formula")
		require.Equal(t, r.Outcomes[i].Destination, row[10])
	}
	assert.InDelta(t, d.People(), sum, 1e-9, "identity: people sum to the total")

	b.Reset()
	require.NoError(t, r.WriteGeoJSON(&b, "a caution"))
	var file struct {
		Features []struct {
			Properties map[string]any
			Geometry   struct {
				Type        string
				Coordinates orb.MultiPolygon
			}
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &file))
	require.Len(t, file.Features, len(coverage.BandsS))
	for i, f := range file.Features {
		band := r.Summary().Bands[len(coverage.BandsS)-1-i]
		assert.Equal(t, band.WithinS/60, f.Properties["within_min"])
		assert.InDelta(t, band.AreaM2/1e6, f.Properties["area_km2"], 1e-9)
		assert.Equal(t, "MultiPolygon", f.Geometry.Type)
		valid(t, f.Geometry.Coordinates)
		assert.InDelta(t, band.AreaM2, areaM2(f.Geometry.Coordinates), 2_000, "square metres")
	}

	b.Reset()
	m := coverage.Map{Title: `A <map> & more`, Note: "a caution", Result: r, Marks: []coverage.Mark{{Name: "<h>", At: middle, Kind: coverage.MarkHospital}}}
	require.NoError(t, m.WriteSVG(&b))
	wellFormed(t, b.String())
	assert.Contains(t, b.String(), coverage.PaletteName)
	assert.NotContains(t, b.String(), "NaN")

	b.Reset()
	require.NoError(t, coverage.Report{Title: "A <report>", Caution: "a caution", Method: []string{"how"}, Result: r, Map: &m}.WriteHTML(&b))
	assert.NotContains(t, b.String(), "<script")
	assert.NotContains(t, b.String(), "<more>")
	assert.NotContains(t, b.String(), "NaN")
	assert.Contains(t, b.String(), "a caution")

	r.Demand.Grid = nil
	b.Reset()
	require.NoError(t, r.WriteGeoJSON(&b, ""))
	require.True(t, json.Valid(b.Bytes()))
	require.ErrorIs(t, m.WriteSVG(&b), coverage.ErrNoGrid)
	_, err = r.Isochrones(coverage.BandsS)
	require.ErrorIs(t, err, coverage.ErrNoGrid)
}
