package routing

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestP90IsThatOfTheSpread. Source: identity.
func TestP90IsThatOfTheSpread(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		number := rapid.OneOf(rapid.Float64Range(0, 1e6), rapid.SampledFrom([]float64{0, 1, 1, 2}))
		totals := rapid.SliceOfN(number, 1, 300).Draw(rt, "totals")
		typical := rapid.Float64Range(0, 10).Draw(rt, "typical")
		before := slices.Clone(totals)
		s := newSampler()
		require.Equal(rt, s.spread(totals, typical, 0).P90S, s.p90(totals, typical))
		require.Equal(rt, before, totals, "the draws stay in their order")
	})
}
