package busy_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/busy"
)

// threeServerCity is the example of Larson & Odoni 1981, sections 5.4.3 and 5.5.3, by
// groups of atoms with the same order, in calls per service time. The text gives the
// orders, the total of 1.5 and unit 1's half of it; the rest of the rates is in a figure that
// could not be read, and was chosen, in steps of 0.05, so that the exact shares come out as printed.
func threeServerCity() *busy.System {
	return &busy.System{
		PerHour:  []float64{0.50, 0.25, 0.35, 0.40},
		Orders:   [][]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {2, 0, 1}},
		ServiceS: [][]float64{{3600}, {3600}, {3600}},
		Line:     true,
	}
}

// TestThreeServerCity: Larson & Odoni 1981, section 5.5.3, four decimals. Their
// approximation stops at the third round, which is good to 0.0011.
func TestThreeServerCity(t *testing.T) {
	exact, err := busy.Exact(t.Context(), threeServerCity())
	require.NoError(t, err)
	near, err := busy.Approximate(t.Context(), threeServerCity())
	require.NoError(t, err)
	for u, want := range []struct{ exact, near float64 }{{0.5574, 0.5627}, {0.4734, 0.4716}, {0.4693, 0.4657}} {
		assert.InDelta(t, want.exact, exact.Busy[u], 0.00005)
		assert.InDelta(t, want.near, near.Busy[u], 0.0011)
	}
}

// TestCorrectionFactor: Larson & Odoni 1981, section 5.5.3, five decimals.
func TestCorrectionFactor(t *testing.T) {
	for place, want := range []float64{1, 0.73684, 0.63158} {
		assert.InDelta(t, want, busy.Factor(3, 1.5, true, place), 0.000005)
	}
}
