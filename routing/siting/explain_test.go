package siting_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/siting"
)

// TestExplain works a problem by hand: three villages of 5, 3 and 2 people, each
// with a site that reaches only it, and a fourth site that reaches the last.
// Source: worked by hand from the definitions.
func TestExplain(t *testing.T) {
	far := math.Inf(1)
	p := &siting.Problem{Count: 2, Weights: []float64{5, 3, 2}, TimesS: [][]float64{
		{60, far, far}, {far, 60, far}, {far, far, 60}, {far, far, 90},
	}}
	s, err := siting.MaxCover(t.Context(), p, 100, siting.Effort{})
	require.NoError(t, err)
	require.Equal(t, []int{0, 1}, s.Sites)
	got := p.Explain(s.Sites, p.Covered(100), true, 0.15, 10)
	assert.Equal(t, siting.Reasons{
		Gains:        []siting.Gain{{Site: 0, Adds: 5, Alone: 5}, {Site: 1, Adds: 3, Alone: 3}},
		Alternatives: []siting.Alternative{{Out: 1, In: 2, Value: 7, Worse: 1}, {Out: 1, In: 3, Value: 7, Worse: 1}},
	}, got)
	p.Keep = []int{1}
	assert.Empty(t, p.Explain(s.Sites, p.Covered(100), true, 0.15, 10).Alternatives)
}

// TestFaults: every fault of a problem is named.
func TestFaults(t *testing.T) {
	good := func() *siting.Problem {
		return &siting.Problem{Count: 1, Weights: []float64{1, 2}, TimesS: [][]float64{{1, 2}, {3, 4}}}
	}
	for _, tt := range []struct {
		name   string
		change func(*siting.Problem)
		want   []string
	}{
		{"nothing", func(p *siting.Problem) { *p = siting.Problem{} }, []string{"0 sites and 0 demands"}},
		{"no count", func(p *siting.Problem) { p.Count = 0 }, []string{"count is 0"}},
		{"kept", func(p *siting.Problem) { p.Keep = []int{0, 0, 7} }, []string{"3 sites are kept", "keep names site 0", "keep names site 7"}},
		{"weights", func(p *siting.Problem) { p.Weights[1] = math.NaN() }, []string{"weight of demand 1 is NaN"}},
		{"endless weight", func(p *siting.Problem) { p.Weights[0] = math.Inf(1) }, []string{"weight of demand 0 is +Inf"}},
		{"huge weight", func(p *siting.Problem) { p.Weights[0] = math.MaxFloat64 }, []string{"weight of demand 0 is 1.79"}},
		{"huge time", func(p *siting.Problem) { p.TimesS[0][1] = math.MaxFloat64 }, []string{"from site 0 to demand 1 is 1.79"}},
		{"times", func(p *siting.Problem) { p.TimesS[1][0] = -1 }, []string{"from site 1 to demand 0 is -1"}},
		{"no time", func(p *siting.Problem) { p.TimesS[1][0] = math.NaN() }, []string{"from site 1 to demand 0 is NaN"}},
		{"short row", func(p *siting.Problem) { p.TimesS[1] = nil }, []string{"site 1 has 0 times"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := good()
			tt.change(p)
			_, err := siting.MaxCover(t.Context(), p, 10, siting.Effort{})
			for _, want := range tt.want {
				assert.ErrorContains(t, err, want)
			}
		})
	}
	for _, radius := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, err := siting.MaxCover(t.Context(), good(), radius, siting.Effort{})
		assert.ErrorContains(t, err, "the radius is")
	}
	_, err := siting.ExpectedCover(t.Context(), good(), 10, 1, siting.Effort{})
	assert.ErrorContains(t, err, "busy share is 1")
	many := good()
	many.Count = math.MaxInt
	_, err = siting.ExpectedCover(t.Context(), many, 10, 0.5, siting.Effort{})
	assert.ErrorContains(t, err, "more than 1000")
	_, err = siting.MeanTime(t.Context(), good(), math.MaxFloat64, siting.Effort{})
	assert.ErrorContains(t, err, "nobody reaches counts 1.79")
	lost := good()
	lost.TimesS[0][0] = math.Inf(1)
	_, err = siting.MeanTime(t.Context(), lost, math.Inf(1), siting.Effort{})
	assert.ErrorContains(t, err, "site 0 does not reach demand 0")
}

// TestProgress: what is told on the way closes in on the answer. Source: identity,
// branch and bound never loses a choice or a bound.
func TestProgress(t *testing.T) {
	p := scattered(200, 40, 5)
	p.Count = 8
	var values, bounds []float64
	s, err := siting.ExpectedCover(t.Context(), p, 700, 0.4, siting.Effort{Progress: func(value, bound float64) {
		values, bounds = append(values, value), append(bounds, bound)
	}})
	require.NoError(t, err)
	require.Greater(t, len(values), 2)
	assert.True(t, slices.IsSorted(values))
	assert.GreaterOrEqual(t, slices.Min(bounds), s.Value)
	assert.Equal(t, s.Value, values[len(values)-1])
}

// TestEnded: a search that is stopped says what it has, and how far off it may be.
func TestEnded(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	p := scattered(300, 60, 1)
	p.Count = 8
	s, err := siting.MeanTime(ctx, p, 1e6, siting.Effort{})
	require.NoError(t, err)
	assert.Len(t, s.Sites, 8)
	assert.False(t, s.Proven())
	full, err := siting.MeanTime(t.Context(), p, 1e6, siting.Effort{})
	require.NoError(t, err)
	assert.LessOrEqual(t, s.Bound, full.Value)
	assert.GreaterOrEqual(t, s.Value, full.Value)
	near, err := siting.MeanTime(t.Context(), p, 1e6, siting.Effort{Gap: 0.05})
	require.NoError(t, err)
	assert.LessOrEqual(t, near.Gap(), 0.05)
	assert.LessOrEqual(t, near.Nodes, full.Nodes)
}
