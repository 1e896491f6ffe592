package siting_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/siting"
)

// The optima of the OR-Library's problems. Source: Beasley 1985 for the medians,
// Pullan 2008 for the centres, as in planning.md of the reference folder, read.
var orLibrary = []struct {
	name           string
	count          int
	median, centre float64
}{
	{"pmed1", 5, 5819, 127},
	{"pmed2", 10, 4093, 98},
	{"pmed3", 10, 4250, 93},
	{"pmed4", 20, 3034, 74},
	{"pmed5", 33, 1355, 48},
	{"pmed11", 5, 7696, 59},
	{"pmed20", 133, 1789, 13},
}

func TestOrLibrary(t *testing.T) {
	for _, tt := range orLibrary {
		t.Run(tt.name, func(t *testing.T) {
			p := pmed(t, tt.name)
			require.Equal(t, tt.count, p.Count)
			median, err := siting.MeanTime(t.Context(), p, math.Inf(1), siting.Effort{})
			require.NoError(t, err)
			assert.Equal(t, tt.median, median.Value)
			assert.True(t, median.Proven(), "bound %g after %d parts", median.Bound, median.Nodes)
			assert.Len(t, median.Sites, p.Count)
			centre, err := siting.WorstTime(t.Context(), p, siting.Effort{})
			require.NoError(t, err)
			assert.Equal(t, tt.centre, centre.Value)
			assert.True(t, centre.Proven(), "bound %g after %d parts", centre.Bound, centre.Nodes)
			assert.LessOrEqual(t, len(centre.Sites), p.Count)
			t.Logf("median after %d parts, centre after %d", median.Nodes, centre.Nodes)
		})
	}
}

// TestSanFrancisco holds every model to full enumeration. Source: PySAL spopt's
// sample data, enumerated; see planning.md of the reference folder.
func TestSanFrancisco(t *testing.T) {
	const radius = 5000
	want := expected(t)
	p, _ := sanFrancisco(t)
	for count := 1; count <= 8; count++ {
		t.Run(fmt.Sprintf("%d sites", count), func(t *testing.T) {
			p.Count = count
			row := want[fmt.Sprintf("p=%d", count)]
			require.NotEmpty(t, row)
			cover, err := siting.MaxCover(t.Context(), p, radius, siting.Effort{})
			require.NoError(t, err)
			assert.Equal(t, row["MCLP"], fmt.Sprintf("%.0f", cover.Value))
			assert.True(t, cover.Proven())
			median, err := siting.MeanTime(t.Context(), p, math.Inf(1), siting.Effort{})
			require.NoError(t, err)
			assert.InDelta(t, number(t, row["PMED"]), median.Value, 0.001)
			assert.InDelta(t, number(t, row["mean"]), median.Value/p.Total(), 1e-6)
			assert.True(t, median.Proven(), "gap %g", median.Gap())
			centre, err := siting.WorstTime(t.Context(), p, siting.Effort{})
			require.NoError(t, err)
			assert.InDelta(t, number(t, row["PCENTER"]), centre.Value, 1e-6)
			assert.True(t, centre.Proven())
		})
	}
	full, err := siting.FullCover(t.Context(), p, radius, siting.Effort{})
	require.NoError(t, err)
	assert.EqualValues(t, 8, full.Value, "LSCP in planning.md")
	assert.True(t, full.Proven())
	for _, busy := range []float64{0.2, 0.4, 0.6} {
		for _, count := range []int{2, 4, 6} {
			t.Run(fmt.Sprintf("%d units busy %g", count, busy), func(t *testing.T) {
				p.Count = count
				row := want[fmt.Sprintf("MEXCLPq=%gp=%d", busy, count)]
				require.NotEmpty(t, row)
				s, err := siting.ExpectedCover(t.Context(), p, radius, busy, siting.Effort{})
				require.NoError(t, err)
				assert.InEpsilon(t, number(t, row["value"]), s.Value, 1e-9)
				assert.InDelta(t, 0, s.Gap(), 1e-8)
			})
		}
	}
}

// TestTwoUnitsAtOneSite: at a busy share of 0.6 the best four units stand at three
// sites. Source: planning.md of the reference folder, enumerated.
func TestTwoUnitsAtOneSite(t *testing.T) {
	p, names := sanFrancisco(t)
	p.Count = 4
	s, err := siting.ExpectedCover(t.Context(), p, 5000, 0.6, siting.Effort{})
	require.NoError(t, err)
	var sites []int
	for _, j := range s.Sites {
		sites = append(sites, names[j])
	}
	assert.Equal(t, []int{3, 12, 16, 16}, sites)
}

// TestSixTowns: two stations within 15 minutes of six towns, the only pair being 2
// and 4. Source: Winston, Operations Research, from memory; enumerated.
func TestSixTowns(t *testing.T) {
	p := &siting.Problem{Count: 6, Weights: []float64{1, 1, 1, 1, 1, 1}, TimesS: [][]float64{
		{0, 10, 20, 30, 30, 20}, {10, 0, 25, 35, 20, 10}, {20, 25, 0, 15, 30, 20},
		{30, 35, 15, 0, 15, 25}, {30, 20, 30, 15, 0, 14}, {20, 10, 20, 25, 14, 0},
	}}
	s, err := siting.FullCover(t.Context(), p, 15, siting.Effort{})
	require.NoError(t, err)
	assert.Equal(t, []int{1, 3}, s.Sites)
	assert.True(t, s.Proven())
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}
