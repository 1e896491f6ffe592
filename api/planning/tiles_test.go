package planning_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/api/job"
	"surgeonward/api/planning"
	"surgeonward/api/wire"
	"surgeonward/facilities"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

// TestTiles: every cell of every plan is in one tile, in order, and no tile is more than
// the bound. Source: definition.
func TestTiles(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var plans []coverage.Plan
		for _, cells := range rapid.SliceOfN(rapid.IntRange(1, 3000), 1, 5).Draw(rt, "cells") {
			plans = append(plans, coverage.Plan{Demand: coverage.AtPoints(make([]coverage.Cell, cells)), Second: rapid.Bool().Draw(rt, "second")})
		}
		plan, next := 0, 0
		for _, tile := range planning.Tiles(plans) {
			if next == len(plans[plan].Demand.Cells) {
				plan, next = plan+1, 0
			}
			require.Equal(rt, [2]int{plan, next}, [2]int{tile.Plan, tile.From})
			require.Greater(rt, tile.To, tile.From)
			require.LessOrEqual(rt, tile.Looks(plans), planning.TileLooks)
			next = tile.To
		}
		require.Equal(rt, len(plans)-1, plan)
		require.Equal(rt, len(plans[plan].Demand.Cells), next)
	})
}

// quiet is a progress that nobody is told of.
func quiet(int, int, string) {}

// shared makes a question's files of its tiles, which are looked at in the order given.
func shared(t testing.TB, order func(n int) []int, ask func(planning.Run) ([]job.File, error)) []job.File {
	t.Helper()
	plans, err := planning.Plans(func(run planning.Run) error { _, err := ask(run); return err })
	require.NoError(t, err)
	tiles := planning.Tiles(plans)
	made := make([][]byte, len(tiles))
	for _, i := range order(len(tiles)) {
		made[i], err = tiles[i].Look(t.Context(), plans)
		require.NoError(t, err)
	}
	files, err := ask(planning.Joined(tiles, func(tile int) ([]byte, error) { return made[tile], nil }))
	require.NoError(t, err)
	return files
}

// backwards is the last first.
func backwards(n int) (order []int) {
	for i := range n {
		order = append(order, n-1-i)
	}
	return order
}

// TestJoinedIsHere: what is made of tiles, whoever is first, is what one process makes, byte for
// byte. Source: identity.
func TestJoinedIsHere(t *testing.T) {
	r := demo(t)
	many := slices.Clone(villages)
	for i := range planning.TileLooks / 2 { // more than one tile of each plan
		many = append(many, coverage.Cell{At: orb.Point{-29.4 + float64(i)*1e-4, 45.5}, People: float64(i)})
	}
	for name, ask := range map[string]func(run planning.Run) ([]job.File, error){
		"coverage": func(run planning.Run) ([]job.File, error) {
			return planning.Coverage(t.Context(), r, &wire.CoverageRequest{Situations: []coverage.Situation{byNight(), byNight().Away("heli-1")}, Places: wire.Places{Points: many[:planning.TileLooks/2+5]}, Second: true}, "test", run, quiet)
		},
		"siting": func(run planning.Run) ([]job.File, error) {
			return planning.Siting(t.Context(), r, &wire.SitingRequest{Situation: byNight(), Places: wire.Places{Points: villages}, Like: asset(t, r, "heli-1"), Count: 1, Objective: planning.LeastMeanTime, LostS: 4 * 3600,
				Candidates: []coverage.Candidate{{Name: "far", At: orb.Point{-29.9, 45.4}}, {Name: "near", At: orb.Point{-29.3, 45.55}}}}, "test", run, quiet)
		},
	} {
		t.Run(name, func(t *testing.T) {
			here, err := ask(planning.Here)
			require.NoError(t, err)
			got := shared(t, backwards, ask)
			require.Equal(t, len(here), len(got))
			for i := range here {
				assert.Equal(t, here[i].Name, got[i].Name)
				assert.True(t, slices.Equal(here[i].Content, got[i].Content), "%s differs", here[i].Name)
			}
		})
	}
}

// TestPackedOutcomes: what is packed comes out to the last bit. Source: identity.
func TestPackedOutcomes(t *testing.T) {
	best := func(rt *rapid.T) routing.Best {
		// what nobody is reached by is the zero value, as the engine has it
		if !rapid.Bool().Draw(rt, "reached") {
			return routing.Best{}
		}
		text := rapid.StringN(0, 4, 12)
		return routing.Best{Reached: true, ID: text.Draw(rt, "id"), Shape: routing.Shape(text.Draw(rt, "shape")), Destination: text.Draw(rt, "destination"),
			Assets: rapid.SliceOfN(text, 1, 3).Draw(rt, "assets"), Total: facilities.Timing{TypicalS: rapid.Float64().Draw(rt, "typical"), SlowS: rapid.Float64().Draw(rt, "slow")}}
	}
	rapid.Check(t, func(rt *rapid.T) {
		in := make([]coverage.Outcome, rapid.IntRange(1, 20).Draw(rt, "cells"))
		for i := range in {
			in[i] = coverage.Outcome{Best: best(rt)}
			if second := best(rt); second.Reached { // nil where nobody is
				in[i].Second = &second
			}
		}
		content, err := planning.PackOutcomes(in)
		require.NoError(rt, err)
		out, err := planning.UnpackOutcomes(content, len(in))
		require.NoError(rt, err)
		require.Equal(rt, in, out)
		_, err = planning.UnpackOutcomes(content, len(in)+1)
		require.Error(rt, err)
	})
	in := []coverage.Outcome{{Best: routing.Best{Reached: true, Assets: []string{"a"}, Total: facilities.Timing{TypicalS: math.Inf(1), SlowS: math.Copysign(0, -1)}}}}
	content, err := planning.PackOutcomes(in)
	require.NoError(t, err)
	out, err := planning.UnpackOutcomes(content, 1)
	require.NoError(t, err)
	assert.True(t, math.Signbit(out[0].Total.SlowS) && math.IsInf(out[0].Total.TypicalS, 1))
	// What is not packed would be lost: a member more must be packed too.
	assert.Equal(t, 6, reflect.TypeFor[routing.Best]().NumField(), "of routing.Best; see packed in pack.go")
	assert.Equal(t, 2, reflect.TypeFor[coverage.Outcome]().NumField(), "of coverage.Outcome")
}

// FuzzUnpackOutcomes: what a database holds may be anything; it is read or refused.
func FuzzUnpackOutcomes(f *testing.F) {
	content, err := planning.PackOutcomes(make([]coverage.Outcome, 3))
	require.NoError(f, err)
	f.Add(content, 3)
	f.Add(content[:len(content)/2], 3)
	f.Add(content, math.MaxInt)
	f.Add(content, -1)
	f.Add([]byte{}, 0)
	f.Fuzz(func(t *testing.T, content []byte, cells int) {
		if out, err := planning.UnpackOutcomes(content, cells); err == nil {
			require.Len(t, out, cells)
		}
	})
}

// TestTilesThatDoNotFit are refused.
func TestTilesThatDoNotFit(t *testing.T) {
	r := demo(t)
	ask := func(run planning.Run) error {
		_, err := planning.Coverage(t.Context(), r, &wire.CoverageRequest{Situations: []coverage.Situation{byNight()}, Places: wire.Places{Points: villages}}, "test", run, quiet)
		return err
	}
	plans, err := planning.Plans(ask)
	require.NoError(t, err)
	made, err := planning.Tile{From: 0, To: 1}.Look(t.Context(), plans)
	require.NoError(t, err)
	done := func(int) ([]byte, error) { return made, nil }
	for _, tiles := range [][]planning.Tile{{}, {{To: 1}}, {{To: 2}}, {{Plan: 1, To: 1}}} {
		assert.Error(t, ask(planning.Joined(tiles, done)), "%v", tiles)
	}
	for _, tile := range []planning.Tile{{Plan: -1, To: 1}, {Plan: 1, To: 1}, {From: -1, To: 1}, {From: 1, To: 1}, {To: 1e9}} {
		_, err := tile.Look(t.Context(), plans)
		assert.Error(t, err, "%v", tile)
	}
}
