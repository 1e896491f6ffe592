package coverage_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing"
	"surgeonward/routing/coverage"
)

func planOf(e *routing.Engine, d *coverage.Demand) coverage.Plan {
	return coverage.Plan{Engine: e, Demand: d, Situation: situation()}
}

// drawn is the difference that another engine makes, with its ranges.
func drawn(t testing.TB, before, after *routing.Engine, d *coverage.Demand, workers int) *coverage.Difference {
	t.Helper()
	difference, err := coverage.Compare(run(t, before, d), run(t, after, d))
	require.NoError(t, err)
	plan := planOf(before, d)
	plan.Workers = workers
	require.NoError(t, difference.Draw(t.Context(), plan, planOf(after, d)))
	return difference
}

// varied is crowd with allowances that vary, and one helicopter more.
func varied(seed uint64, more bool) *toy {
	random := rand.New(rand.NewPCG(seed, 12))
	f := crowd(random, 60_000).varying()
	if more {
		f.asset("new", "helicopter", geo.Destination(middle, 40, 50_000))
	}
	return f
}

// TestRangesOfNothing: a region against itself is no different in any draw. Source: identity.
func TestRangesOfNothing(t *testing.T) {
	for seed := range uint64(3) {
		d := scattered(rand.New(rand.NewPCG(seed, 1)), 40, 80_000)
		r := drawn(t, varied(seed, true).engine(t), varied(seed, true).engine(t), d, 2).Ranges
		for _, g := range r.GainS {
			require.True(t, g == routing.Range{} || math.IsNaN(g.Low), "%v", g)
		}
		assert.Equal(t, routing.Range{}, r.MeanS)
		for _, n := range r.Net {
			assert.Equal(t, routing.Range{}, n)
		}
	}
}

// TestRangesByHand: the same figures from all draws of all cells at once. Source: definition.
func TestRangesByHand(t *testing.T) {
	for seed := range uint64(3) {
		d := scattered(rand.New(rand.NewPCG(seed, 2)), 75, 80_000)
		before, after := varied(seed, false).engine(t), varied(seed, true).engine(t)
		difference := drawn(t, before, after, d, 1)
		require.Equal(t, difference.Ranges, drawn(t, before, after, d, 3).Ranges, "any number of workers")
		totals := func(e *routing.Engine) (out [][]float64) {
			batch, err := e.Batch(situation().Question)
			require.NoError(t, err)
			for _, c := range d.Cells {
				_, all, err := batch.Drawer().Best(t.Context(), c.At)
				require.NoError(t, err)
				out = append(out, slices.Clone(all))
			}
			return out
		}
		was, is := totals(before), totals(after)
		mean, net, people := make([]float64, routing.Draws), make([]float64, routing.Draws), 0.0
		const bandNumber = 2
		limit := coverage.BandsS[bandNumber]
		for i, c := range d.Cells {
			if was[i] == nil || is[i] == nil {
				require.True(t, math.IsNaN(difference.Ranges.GainS[i].Low))
				continue
			}
			people += c.People
			gain := make([]float64, routing.Draws)
			for k := range gain {
				gain[k] = was[i][k] - is[i][k]
				mean[k] += c.People * gain[k]
				if was[i][k] <= limit {
					net[k] -= c.People
				}
				if is[i][k] <= limit {
					net[k] += c.People
				}
			}
			require.Equal(t, routing.RangeOf(gain), difference.Ranges.GainS[i])
		}
		for k := range mean {
			mean[k] /= people
		}
		const tolS, tolPeople = 1e-6, 1e-6
		for _, pair := range [][2]routing.Range{{routing.RangeOf(mean), difference.Ranges.MeanS}, {routing.RangeOf(net), difference.Ranges.Net[bandNumber]}} {
			assert.InDelta(t, pair[0].Low, pair[1].Low, tolS)
			assert.InDelta(t, pair[0].Median, pair[1].Median, tolS)
			assert.InDelta(t, pair[0].High, pair[1].High, tolPeople)
			assert.LessOrEqual(t, pair[1].Low, pair[1].Median)
			assert.LessOrEqual(t, pair[1].Median, pair[1].High)
		}
	}
}

// TestSharedCausesCancel: a scene whose helicopter stands nearer gains the flight alone; what
// the same crew needs to start, and the hospital, varies in both. Source: the flight does not
// vary here, so the gain is the same in every draw.
func TestSharedCausesCancel(t *testing.T) {
	region := func(metres float64) *routing.Engine {
		return (&toy{}).varying().hospital("h", middle, "resident").asset("heli", "helicopter", geo.Destination(middle, 90, metres)).engine(t)
	}
	d := coverage.AtPoints([]coverage.Cell{{At: geo.Destination(middle, 90, 20_000), People: 10}})
	difference := drawn(t, region(140_000), region(80_000), d, 1)
	const tolS = 1e-3
	assert.InDelta(t, 60_000/60, -difference.LongerS[0], 1)
	r := difference.Ranges.GainS[0]
	assert.InDelta(t, 0, r.High-r.Low, tolS, "%v", r)
	assert.InDelta(t, r.Median, difference.Ranges.MeanS.Median, tolS)
	o := difference.Before.Outcomes[0]
	assert.Greater(t, o.Total.SlowS, o.Total.TypicalS+60, "each time by itself varies by minutes")
}

// TestDifferenceFiles: the files say what the difference is, cell by cell.
func TestDifferenceFiles(t *testing.T) {
	d := coverage.OnGrid(grid(t, square(middle, 50_000), 20_000), []coverage.Cell{{At: middle, People: 1000, Name: "=sum"}})
	difference := drawn(t, varied(3, false).engine(t), varied(3, true).engine(t), d, 1)
	var b bytes.Buffer
	require.NoError(t, difference.WriteCSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(d.Cells)+1)
	b.Reset()
	require.NoError(t, difference.WriteGeoJSON(&b, "a caution"))
	var file struct {
		Caution  string
		Features []struct {
			Properties map[string]any
			Geometry   struct{ Type string }
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &file))
	assert.Equal(t, "a caution", file.Caution)
	require.Len(t, file.Features, len(d.Cells))
	sooner := 0
	for i, f := range file.Features {
		require.Equal(t, "MultiPolygon", f.Geometry.Type)
		require.Equal(t, string(difference.Effect(i)), f.Properties["change"])
		for k, name := range rows[0] {
			if v, there := f.Properties[name].(float64); there && name != "people" && name != "area_km2" {
				require.Equal(t, fmt.Sprintf("%.0f", v), rows[i+1][k], name)
			}
		}
		if difference.Effect(i) == coverage.Sooner {
			sooner++
			require.Greater(t, f.Properties["gain_s"], 0.0)
		}
	}
	assert.Positive(t, sooner, "else nothing is tested")
	valid(t, d.Grid.Cell(0))
	const tolM2 = 2_000
	assert.InDelta(t, d.Grid.CellAreaM2(), areaM2(d.Grid.Cell(0)), tolM2)
}

// TestEffects: each word. Source: definition.
func TestEffects(t *testing.T) {
	inf := math.Inf(1)
	d := coverage.Difference{LongerS: []float64{0, 0.49, 0.5, -0.5, inf, -inf, math.NaN()}}
	for i, want := range []coverage.Effect{coverage.Same, coverage.Same, coverage.Later, coverage.Sooner, coverage.OnlyBefore, coverage.OnlyAfter, coverage.NeverAtAll} {
		assert.Equal(t, want, d.Effect(i))
	}
}
