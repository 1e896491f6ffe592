package wire_test

import (
	"encoding/json"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/wire"
	"surgeonward/geo"
	"surgeonward/routing"
)

// collection is the map form as a client reads it.
type collection struct {
	Features []feature `json:"features"`
}

type feature struct {
	ID       string `json:"id"`
	Geometry struct {
		Type        string          `json:"type"`
		Coordinates json.RawMessage `json:"coordinates"`
	} `json:"geometry"`
	Properties map[string]any `json:"properties"`
}

// drawn encodes an answer with one leg.
func drawn(t testing.TB, path ...orb.Point) []byte {
	t.Helper()
	s := step(0, 100)
	s.Kind, s.ByAir, s.Path = routing.KindTravel, true, path
	out, err := wire.EncodeGeoJSON(answer(100, s), &wire.Request{}, demo(t), "test")
	require.NoError(t, err)
	text, err := wire.JSON(out)
	require.NoError(t, err)
	return text
}

func TestLegs(t *testing.T) {
	tests := []struct {
		name   string
		path   []orb.Point
		kind   string // of geometry; empty: no leg
		source string
	}{
		{"short", []orb.Point{{-29.4, 45.5}, {-29.3, 45.5}}, "LineString", "RFC 7946, section 3.1.4"},
		{"with corners", []orb.Point{{-29.4, 45.5}, {-29.3, 45.5}, {-29.3, 45.6}}, "LineString", "RFC 7946, section 3.1.4"},
		{"across the antimeridian", []orb.Point{{179.5, 10}, {-179.5, 12}}, "MultiLineString", "RFC 7946, section 3.1.9"},
		{"across it westward", []orb.Point{{-179.5, 10}, {179.5, 12}}, "MultiLineString", "RFC 7946, section 3.1.9"},
		{"nowhere", []orb.Point{{-29.4, 45.5}, {-29.4, 45.5}}, "", "definition: no length, no line"},
		{"less than a centimetre", []orb.Point{{-29.4, 45.5}, {-29.4, 45.500000001}}, "", "definition"},
		{"one point", []orb.Point{{-29.4, 45.5}}, "", "definition"},
		{"none", nil, "", "definition"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var c collection
			require.NoError(t, json.Unmarshal(drawn(t, tt.path...), &c))
			features := c.Features
			require.Equal(t, "scene", features[0].Properties["role"])
			require.Equal(t, "destination", features[1].Properties["role"])
			if tt.kind == "" {
				require.Len(t, features, 2)
				return
			}
			require.Len(t, features, 3)
			leg := features[2]
			assert.Equal(t, "leg", leg.Properties["role"])
			assert.Equal(t, tt.kind, leg.Geometry.Type)
			var lines orb.MultiLineString
			if tt.kind == "LineString" {
				lines = make(orb.MultiLineString, 1)
				require.NoError(t, json.Unmarshal(leg.Geometry.Coordinates, &lines[0]))
			} else {
				require.NoError(t, json.Unmarshal(leg.Geometry.Coordinates, &lines))
			}
			checkLine(t, tt.path, lines)
		})
	}
}

// TestRoadsAreStraight: a road runs straight from corner to corner, as its
// estimate does, and is cut where it crosses longitude 180.
func TestRoadsAreStraight(t *testing.T) {
	line := func(path ...orb.Point) string {
		s := step(0, 100)
		s.Kind, s.Path = routing.KindTravel, path
		out, err := wire.EncodeGeoJSON(answer(100, s), &wire.Request{}, demo(t), "test")
		require.NoError(t, err)
		require.Len(t, out.Features, 3)
		text, err := wire.JSON(out.Features[2].Geometry)
		require.NoError(t, err)
		return string(text)
	}
	assert.JSONEq(t, `{"type":"LineString","coordinates":[[-29,45],[-28,45],[-28,47]]}`,
		line(orb.Point{-29, 45}, orb.Point{-28, 45}, orb.Point{-28, 47}), "RFC 7946, section 3.1.1: a line is straight in longitude and latitude")
	assert.JSONEq(t, `{"type":"MultiLineString","coordinates":[[[179,10],[180,11]],[[-180,11],[-179,12]]]}`,
		line(orb.Point{179, 10}, orb.Point{-179, 12}), "RFC 7946, section 3.1.9")
}

// checkLine: the line begins and ends where the path does, its pieces are at
// most 10 km long, none jumps round the world, and pieces meet at longitude 180.
func checkLine(t *testing.T, path []orb.Point, lines orb.MultiLineString) {
	t.Helper()
	const stepM, toleranceM = 10_000.0, 0.05
	lengthM, wantM := 0.0, 0.0
	for i := 1; i < len(path); i++ {
		wantM += geo.Distance(path[i-1], path[i])
	}
	for i, line := range lines {
		for j := 1; j < len(line); j++ {
			d := geo.Distance(line[j-1], line[j])
			assert.LessOrEqual(t, d, stepM+toleranceM)
			assert.Less(t, line[j].Lon()-line[j-1].Lon(), 180.0)
			lengthM += d
		}
		if i > 0 {
			before := lines[i-1][len(lines[i-1])-1]
			assert.InDelta(t, 360, max(before.Lon()-line[0].Lon(), line[0].Lon()-before.Lon()), 0)
			assert.InDelta(t, before.Lat(), line[0].Lat(), 0)
		}
	}
	last := lines[len(lines)-1]
	assert.InDelta(t, 0, geo.Distance(path[0], lines[0][0]), toleranceM)
	assert.InDelta(t, 0, geo.Distance(path[len(path)-1], last[len(last)-1]), toleranceM)
	// The cut at longitude 180 lies on the chord, not on the arc: 2 m off at most.
	assert.InDelta(t, wantM, lengthM, 2+wantM*1e-6)
}

func TestForeignMembers(t *testing.T) {
	var all map[string]any
	require.NoError(t, json.Unmarshal(drawn(t, orb.Point{-29.4, 45.5}, orb.Point{-29.3, 45.5}), &all))
	assert.Equal(t, "FeatureCollection", all["type"])
	assert.Equal(t, routing.Caution, all["caution"])
	for _, name := range []string{"api_version", "at", "at_local", "region", "versions", "night", "rank_by", "found", "cautions"} {
		assert.Contains(t, all, name)
	}
	for _, f := range all["features"].([]any) {
		assert.NotEmpty(t, f.(map[string]any)["id"])
	}
}
