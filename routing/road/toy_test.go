package road_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing/road"
)

// props are a feature's properties.
type props map[string]any

// with returns the properties with others added.
func (p props) with(more props) props {
	out := props{}
	for k, v := range p {
		out[k] = v
	}
	for k, v := range more {
		out[k] = v
	}
	return out
}

// feature is a GeoJSON feature: a polygon if its properties name an area, a
// line otherwise.
type feature struct {
	props props
	line  []orb.Point
}

func wall(line ...orb.Point) feature {
	return feature{props{"kind": "barrier", "name": "the wall", "water": "none"}, line}
}

func coast(name string, ring ...orb.Point) feature {
	return feature{props{"kind": "barrier", "name": name, "water": "outside"}, append(ring, ring[0])}
}

func crossing(kind, name string, a, b orb.Point, more props) feature {
	return feature{props{"kind": "crossing", "crossing": kind, "name": name}.with(more), []orb.Point{a, b}}
}

func area(more props, ring ...orb.Point) feature {
	return feature{props{"kind": "area", "name": "the hills"}.with(more), append(ring, ring[0])}
}

// document writes features as a roads.geojson.
func document(features ...feature) []byte {
	all := []any{}
	for i, f := range features {
		geometry := map[string]any{"type": "LineString", "coordinates": f.line}
		if f.props["kind"] == "area" {
			geometry = map[string]any{"type": "Polygon", "coordinates": [][]orb.Point{f.line}}
		}
		all = append(all, map[string]any{
			"type": "Feature", "id": fmt.Sprintf("feature-%d", i), "properties": f.props, "geometry": geometry,
		})
	}
	data, err := json.Marshal(map[string]any{"type": "FeatureCollection", "features": all})
	if err != nil {
		panic(err)
	}
	return data
}

// plain is a law without spread, so that times are easy to follow.
var plain = road.Law{CruiseMS: 20, AccelerationMS2: 0.4}

// noon is a Friday.
var noon = time.Date(2031, 3, 14, 12, 0, 0, 0, time.UTC)

func terrain(t require.TestingT, region road.Region, features ...feature) *road.Terrain {
	m, faults, _ := road.Decode(document(features...), road.DecodeOptions{Zone: time.UTC})
	require.Empty(t, faults)
	out, err := road.NewTerrain(m, region)
	require.NoError(t, err)
	return out
}

// straightRoads has roads as the crow flies, by the plain law.
var straightRoads = road.Region{Factor: 1, Law: plain}

// sketch is a map drawn in letters: each letter is a point, a cell is a
// hundredth of a degree (1,112 m) across, at the equator.
type sketch map[rune]orb.Point

func draw(art string) sketch {
	s := sketch{}
	for row, line := range strings.Split(strings.Trim(art, "\n"), "\n") {
		for column, letter := range []rune(line) {
			if letter != '.' && letter != ' ' {
				s[letter] = orb.Point{0.01 * float64(column), -0.01 * float64(row)}
			}
		}
	}
	return s
}

// line is the points of some letters.
func (s sketch) line(letters string) []orb.Point {
	var out []orb.Point
	for _, l := range letters {
		p, ok := s[l]
		if !ok {
			panic("no " + string(l) + " in the sketch")
		}
		out = append(out, p)
	}
	return out
}

// lengthM is the great-circle length of a line.
func lengthM(line []orb.Point) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += geo.Distance(line[i-1], line[i])
	}
	return sum
}
