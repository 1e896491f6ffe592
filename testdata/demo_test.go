package testdata_test

import (
	"encoding/json"
	"io/fs"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/testdata"
)

func TestRegionHasWhatWasOrdered(t *testing.T) {
	const source = "the demo region's own specification"
	counts := map[string]int{}
	surgical := map[string]int{}
	var fuel []string
	padsAway, padsWithVehicle, padsUnlit, withoutPad := 0, 0, 0, 0
	for _, f := range features(t, "facilities.geojson") {
		kind := f.Properties["kind"].(string)
		counts[kind]++
		if kind == "base" {
			counts[strings.Split(f.ID, "-")[0]]++
		}
		if f.Properties["fuel"] == true {
			fuel = append(fuel, f.ID)
		}
		if kind != "hospital" {
			continue
		}
		for _, c := range f.Properties["capabilities"].([]any) {
			surgical[c.(string)]++
		}
		pad, ok := f.Properties["pad"].(map[string]any)
		if !ok {
			withoutPad++
			continue
		}
		if pad["position"] != nil {
			padsAway++
		}
		if pad["vehicle_needed"] == true {
			padsWithVehicle++
			assert.NotNil(t, pad["shuttle_call"], "%v: its vehicle must be called", f.ID)
		}
		if pad["fuel"] == true {
			fuel = append(fuel, f.ID)
		}
		if pad["lit"] == false {
			padsUnlit++
		}
	}
	assert.Equal(t, 9, counts["hospital"], source)
	assert.Equal(t, 24, counts["landing_site"], source)
	assert.Equal(t, 4, counts["airfield"], source)
	assert.Equal(t, 4, counts["air"], source)
	assert.Equal(t, 12, counts["road"], source)
	assert.Equal(t, 2, surgical["cardiothoracic_surgery"], source)
	assert.Equal(t, 1, surgical["paediatric_cardiothoracic_surgery"], source)
	assert.Equal(t, 1, surgical["visiting_surgical_team"], source)
	assert.ElementsMatch(t, []string{"air-ossuvaune", "air-quorreth", "air-luorimaune", "air-velimaune",
		"ossuvaune-airfield", "quorreth-airfield", "luorimaune-airfield", "quessimaune-hospital"}, fuel, source)
	assert.Equal(t, 2, padsAway, source)
	assert.Equal(t, 1, padsWithVehicle, source)
	assert.Equal(t, 1, padsUnlit, source)
	assert.Equal(t, 2, withoutPad, source)
}

func TestRegionIsOfTheStatedSize(t *testing.T) {
	const source = "design of the demo region: some 150 by 120 km about 45.5 N 29.5 W, about 400,000 people"
	people := 0.0
	bound := orb.Bound{Min: orb.Point{0, 90}, Max: orb.Point{-180, -90}}
	for _, f := range features(t, "map.geojson") {
		if f.Properties["kind"] == "land" {
			bound = bound.Union(f.line.Bound())
		}
		if f.Properties["kind"] == "settlement" {
			people += f.Properties["population"].(float64)
		}
	}
	assert.InDelta(t, 400_000, people, 10_000, source)
	middle := bound.Center()
	eastWestM := geo.Distance(orb.Point{bound.Min[0], middle[1]}, orb.Point{bound.Max[0], middle[1]})
	northSouthM := geo.Distance(orb.Point{middle[0], bound.Min[1]}, orb.Point{middle[0], bound.Max[1]})
	assert.InDelta(t, 150_000, eastWestM, 10_000, source)
	assert.InDelta(t, 120_000, northSouthM, 10_000, source)
	assert.Less(t, geo.Distance(middle, orb.Point{-29.5, 45.5}), 10_000.0, source)
}

func TestEverythingStandsOnLand(t *testing.T) {
	all := append(features(t, "facilities.geojson"), ofKind(features(t, "map.geojson"), "settlement")...)
	require.Greater(t, len(all), 80)
	land := lands(t)
	for _, f := range all {
		assert.True(t, onLand(land, f.point), "%v is in the sea", f.ID)
		if pad, ok := f.Properties["pad"].(map[string]any); ok && pad["position"] != nil {
			at := pad["position"].([]any)
			assert.True(t, onLand(land, orb.Point{at[0].(float64), at[1].(float64)}), "the pad of %v is in the sea", f.ID)
		}
	}
}

func TestNoCoastCrossesItselfOrAnother(t *testing.T) {
	type edge struct {
		a, b orb.Point
		of   any
	}
	var edges []edge
	for _, l := range lands(t) {
		ring := l.line
		assert.Equal(t, ring[0], ring[len(ring)-1], "%v is not closed", l.ID)
		assert.Equal(t, orb.CCW, orb.Ring(ring).Orientation(), "%v: RFC 7946 wants outer rings counterclockwise", l.ID)
		for i := 1; i < len(ring); i++ {
			edges = append(edges, edge{ring[i-1], ring[i], l.ID})
		}
	}
	for i := range edges {
		for j := i + 1; j < len(edges); j++ {
			if crosses(edges[i].a, edges[i].b, edges[j].a, edges[j].b) {
				t.Fatalf("coasts of %v and %v cross near %v", edges[i].of, edges[j].of, edges[i].a)
			}
		}
	}
}

func TestTheStraitIsThreeToSixKilometresWideAtItsBridge(t *testing.T) {
	a := lands(t)[0].line
	b := lands(t)[1].line
	narrowestM := math.Inf(1)
	for _, p := range a {
		for _, q := range b {
			narrowestM = math.Min(narrowestM, geo.Distance(p, q))
		}
	}
	assert.GreaterOrEqual(t, narrowestM, 2500.0, "the strait closes somewhere")
	assert.LessOrEqual(t, narrowestM, 6000.0)
}

func TestIDsAndPositionsAreWellFormed(t *testing.T) {
	id := regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,63}$`)
	decimals := regexp.MustCompile(`\.[0-9]{6,}`)
	size := 0
	err := fs.WalkDir(testdata.Demo, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(testdata.Demo, path)
		size += len(data)
		assert.False(t, decimals.Match(data), "%s has a number with more than 5 decimals", path)
		return err
	})
	require.NoError(t, err)
	assert.Less(t, size, 400_000, "the demo region is embedded in the program: keep it small")
	for _, name := range []string{"facilities.geojson", "roads.geojson", "map.geojson"} {
		seen := map[string]bool{}
		for _, f := range features(t, name) {
			assert.Regexp(t, id, f.ID)
			assert.False(t, seen[f.ID], "%s twice in %s", f.ID, name)
			seen[f.ID] = true
		}
	}
}

func TestEveryAssetHasABaseOfItsKind(t *testing.T) {
	bases, kinds := map[string]bool{}, map[string]any{}
	for _, f := range features(t, "facilities.geojson") {
		kinds[f.ID] = f.Properties["kind"]
		if kinds[f.ID] == "base" {
			bases[f.ID] = false
		}
	}
	data, err := fs.ReadFile(testdata.Demo, "fleet.json")
	require.NoError(t, err)
	var fleet struct {
		Assets []struct{ ID, Kind, Base string }
	}
	require.NoError(t, json.Unmarshal(data, &fleet))
	counts := map[string]int{}
	for _, a := range fleet.Assets {
		counts[a.Kind]++
		if a.Kind == "aeroplane" { // it stands beside its runway
			assert.Equal(t, "airfield", kinds[a.Base], a.ID)
			continue
		}
		require.Contains(t, bases, a.Base, a.ID)
		bases[a.Base] = true
		assert.Equal(t, a.Kind == "helicopter", strings.HasPrefix(a.Base, "air-"), a.ID)
	}
	assert.Equal(t, map[string]int{"helicopter": 4, "aeroplane": 1, "ambulance": 12, "response_car": 5}, counts)
	for base, used := range bases {
		assert.True(t, used, "nothing stands at %s", base)
	}
}
