package testdata_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
)

func TestRoadsCrossNoBarrier(t *testing.T) {
	all := features(t, "roads.geojson")
	land, barriers := lands(t), ofKind(all, "barrier")
	require.Len(t, barriers, 14)
	for _, r := range ofKind(all, "road") {
		line := r.line
		assert.True(t, onLand(land, line[0]), "%v starts in the sea", r.ID)
		for _, b := range barriers {
			wall := b.line
			for i := 1; i < len(line); i++ {
				for j := 1; j < len(wall); j++ {
					if crosses(line[i-1], line[i], wall[j-1], wall[j]) {
						t.Fatalf("%v crosses %v near %v", r.ID, b.ID, line[i])
					}
				}
			}
		}
	}
}

func TestCrossingsCrossWhatTheyShould(t *testing.T) {
	all := features(t, "roads.geojson")
	want := map[string][]string{ // definition: the barriers a crossing leads over
		"narrows-bridge": {"coast-thauvemar", "coast-irrolune"},
		"muorque-bridge": {"coast-thauvemar", "coast-muorque"},
		"sound-ferry":    {"coast-irrolune", "coast-quessavel"},
		"thauvemar-pass": {"crest-orquathem"},
	}
	land, crossings := lands(t), ofKind(all, "crossing")
	require.Len(t, crossings, len(want))
	for _, c := range crossings {
		line := c.line
		require.Len(t, line, 2)
		assert.True(t, onLand(land, line[0]) && onLand(land, line[1]), "%v ends in the sea", c.ID)
		var got []string
		for _, b := range ofKind(all, "barrier") {
			wall := b.line
			for j := 1; j < len(wall); j++ {
				if crosses(line[0], line[1], wall[j-1], wall[j]) {
					got = append(got, b.ID)
				}
			}
		}
		// Each barrier exactly once: a crossing that grazes a headland would list it three times.
		assert.ElementsMatch(t, want[c.ID], got, c.ID)
	}
}

// Every settlement can be driven to from every other, over roads and crossings.
func TestRoadsAndCrossingsJoinAllSettlements(t *testing.T) {
	group := map[orb.Point]orb.Point{}
	var find func(p orb.Point) orb.Point
	find = func(p orb.Point) orb.Point {
		if group[p] == p {
			return p
		}
		group[p] = find(group[p])
		return group[p]
	}
	add := func(line orb.LineString) {
		for _, p := range line {
			if _, seen := group[p]; !seen {
				group[p] = p
			}
		}
		for i := 1; i < len(line); i++ {
			group[find(line[i])] = find(line[0])
		}
	}
	all := features(t, "roads.geojson")
	for _, f := range append(ofKind(all, "road"), ofKind(all, "crossing")...) {
		add(f.line)
	}
	settlements := ofKind(features(t, "map.geojson"), "settlement")
	root := orb.Point{}
	for i, s := range settlements {
		p := s.point
		require.Contains(t, group, p, "%v is on no road", s.ID)
		if i == 0 {
			root = find(p)
		}
		assert.Equal(t, root, find(p), "%v cannot be driven to", s.ID)
	}
}

// A hospital or a road station that no road comes near would look drawn at random.
func TestDoorsAreNearARoad(t *testing.T) {
	roads := ofKind(features(t, "roads.geojson"), "road")
	for _, f := range features(t, "facilities.geojson") {
		if kind := f.Properties["kind"]; kind != "hospital" && kind != "base" {
			continue
		}
		nearestM := math.Inf(1)
		for _, r := range roads {
			line := r.line
			for i := 1; i < len(line); i++ {
				for k := range 11 {
					f2 := float64(k) / 10
					q := orb.Point{line[i-1][0] + f2*(line[i][0]-line[i-1][0]), line[i-1][1] + f2*(line[i][1]-line[i-1][1])}
					nearestM = math.Min(nearestM, geo.Distance(f.point, q))
				}
			}
		}
		assert.Less(t, nearestM, 3000.0, "%v is far from every road", f.ID)
	}
}
