package busy_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"math/big"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/busy"
)

// reference reads a file of values worked out elsewhere, which is never part of the project.
func reference(t testing.TB, name string) []byte {
	t.Helper()
	folder := os.Getenv("SURGEONWARD_REFERENCE")
	if folder == "" {
		folder = "../../../shared/reference/data"
	}
	data, err := os.ReadFile(filepath.Join(folder, "planning", name))
	if os.IsNotExist(err) {
		t.Skipf("no reference file %s: set SURGEONWARD_REFERENCE", name)
	}
	require.NoError(t, err)
	return data
}

// TestErlangValues: erlang_values.txt, ten decimals.
func TestErlangValues(t *testing.T) {
	lines := bufio.NewScanner(bytes.NewReader(reference(t, "erlang_values.txt")))
	rows := 0
	for ; lines.Scan(); rows++ {
		var servers int
		var load, wantB, wantC float64
		_, err := fmt.Sscanf(lines.Text(), "%d %g ErlangB %g ErlangC %g", &servers, &load, &wantB, &wantC)
		require.NoError(t, err)
		b, err := busy.ErlangB(servers, load)
		require.NoError(t, err)
		c, err := busy.ErlangC(servers, load)
		require.NoError(t, err)
		assert.InDelta(t, wantB, b, 6e-11, lines.Text())
		assert.InDelta(t, wantC, c, 6e-11, lines.Text())
	}
	require.NoError(t, lines.Err())
	require.Equal(t, 7, rows)
}

// TestThreeUnits: hypercube_3unit_exact.json, rational numbers from the balance equations.
func TestThreeUnits(t *testing.T) {
	type number struct{ Exact string }
	var want struct {
		Lambda     []float64
		Preference [][]int           `json:"preference_1based"`
		States     map[string]number `json:"state_bit0_is_unit1"`
		Workload   map[string]number
		Loss       number             `json:"loss_probability"`
		Dispatch   map[string]float64 `json:"dispatch_fractions_of_served"`
	}
	require.NoError(t, json.Unmarshal(reference(t, "hypercube_3unit_exact.json"), &want))
	for _, order := range want.Preference {
		for k := range order {
			order[k]--
		}
	}
	r, err := busy.Exact(t.Context(), &busy.System{
		PerHour: want.Lambda, Orders: want.Preference, ServiceS: [][]float64{{3600}, {3600}, {3600}},
	})
	require.NoError(t, err)
	value := func(n number) float64 {
		exact, ok := new(big.Rat).SetString(n.Exact)
		require.True(t, ok)
		v, _ := exact.Float64()
		return v
	}
	const tol = 1e-13
	require.Len(t, want.States, 8)
	for name, n := range want.States { // the last digit is unit 1
		var state int
		_, err := fmt.Sscanf(name, "%b", &state)
		require.NoError(t, err)
		assert.InDelta(t, value(n), r.States[state], tol, name)
	}
	for u, b := range r.Busy {
		assert.InDelta(t, value(want.Workload[fmt.Sprintf("unit%d", u+1)]), b, tol)
	}
	assert.InDelta(t, value(want.Loss), r.LostShare, tol)
	require.Len(t, want.Dispatch, 15)
	for j, shares := range r.Shares {
		for u, share := range shares {
			ofServed := share * want.Lambda[j] / 1.2 / (1 - r.LostShare)
			assert.InDelta(t, want.Dispatch[fmt.Sprintf("unit%d_atom%d", u+1, j+1)], ofServed, tol)
		}
	}
}
