package testdata_test

import (
	"encoding/json"
	"io/fs"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"

	"surgeonward/testdata"
)

// feature is a GeoJSON feature of the demo region.
type feature struct {
	ID         string
	Properties map[string]any
	Geometry   struct {
		Type        string
		Coordinates json.RawMessage
	}

	point orb.Point      // Point
	line  orb.LineString // LineString, or the outer ring of a Polygon
}

func features(t *testing.T, name string) []feature {
	t.Helper()
	data, err := fs.ReadFile(testdata.Demo, name)
	require.NoError(t, err)
	var c struct{ Features []feature }
	require.NoError(t, json.Unmarshal(data, &c))
	for i := range c.Features {
		f := &c.Features[i]
		var target any = &f.point
		var rings []orb.LineString
		switch f.Geometry.Type {
		case "LineString":
			target = &f.line
		case "Polygon":
			target = &rings
		}
		require.NoError(t, json.Unmarshal(f.Geometry.Coordinates, target), f.ID)
		if f.Geometry.Type == "Polygon" {
			require.Len(t, rings, 1, f.ID)
			f.line = rings[0]
		}
	}
	require.NotEmpty(t, c.Features)
	return c.Features
}

func ofKind(all []feature, kind string) (out []feature) {
	for _, f := range all {
		if f.Properties["kind"] == kind {
			out = append(out, f)
		}
	}
	return out
}

func lands(t *testing.T) []feature { return ofKind(features(t, "map.geojson"), "land") }

func onLand(lands []feature, p orb.Point) bool {
	for _, l := range lands {
		if planar.RingContains(orb.Ring(l.line), p) {
			return true
		}
	}
	return false
}

// crosses reports whether two segments cross in their interiors.
func crosses(a, b, c, d orb.Point) bool {
	side := func(a, b, p orb.Point) float64 { return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0]) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}
