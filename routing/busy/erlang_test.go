package busy_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/busy"
)

// TestErlangB: its definition as a quotient of sums, where that does not overflow.
func TestErlangB(t *testing.T) {
	for _, servers := range []int{1, 2, 7, 40} {
		for _, load := range []float64{0, 1e-9, 0.3, 1, 7, 39.9, 60} {
			term, sum := 1.0, 1.0
			for k := 1; k <= servers; k++ {
				term *= load / float64(k)
				sum += term
			}
			b, err := busy.ErlangB(servers, load)
			require.NoError(t, err)
			assert.InEpsilon(t, 1+term/sum, 1+b, 1e-13, "%d servers, %g erlangs", servers, load)
			if load >= float64(servers) {
				continue
			}
			c, err := busy.ErlangC(servers, load)
			require.NoError(t, err)
			tail := term * float64(servers) / (float64(servers) - load)
			assert.InDelta(t, tail/(sum-term+tail), c, 1e-13, "%d servers, %g erlangs", servers, load)
		}
	}
}

// TestErlangExtremes: shares stay shares where factorials and powers would overflow.
func TestErlangExtremes(t *testing.T) {
	for _, row := range []struct {
		servers int
		load    float64
		want    float64
		tol     float64
		source  string
	}{
		{1, 1e308, 1, 1e-15, "definition: load / (1 + load)"},
		{busy.MaxServers, 1, 0, 1e-300, "definition: 1 / 1000000! at most"},
		{1000, 1e15, 1, 1e-11, "all but 1000 of the calls are lost"},
		{1, math.SmallestNonzeroFloat64, 0, 1e-300, "definition"},
	} {
		b, err := busy.ErlangB(row.servers, row.load)
		require.NoError(t, err)
		assert.InDelta(t, row.want, b, row.tol, row.source)
	}
}

func TestErlangFaults(t *testing.T) {
	for _, row := range []struct {
		servers int
		load    float64
		says    string
	}{
		{0, 1, "there are 0 servers"},
		{-3, 1, "there are -3 servers"},
		{busy.MaxServers + 1, 1, "not 1 to"},
		{3, math.NaN(), "the load is NaN"},
		{3, math.Inf(1), "the load is +Inf"},
		{3, -1, "the load is -1"},
	} {
		for name, f := range map[string]func(int, float64) (float64, error){"B": busy.ErlangB, "C": busy.ErlangC} {
			_, err := f(row.servers, row.load)
			assert.ErrorContains(t, err, row.says, fmt.Sprint(name, row))
		}
	}
	_, err := busy.ErlangC(3, 3)
	assert.ErrorIs(t, err, busy.ErrOverloaded)
}
