package siting_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/siting"
)

// TestFullSites: units may stand together, but not at a kept site that is full. Source: brute force
// over all choices.
func TestFullSites(t *testing.T) {
	const radius, busy = 700, 0.6
	shared := false // somewhere a second unit at the kept site would be better
	for seed := range uint64(20) {
		p := scattered(30, 5, seed+100)
		p.Keep, p.Count = []int{1, 3}, 4
		value := p.ExpectedCovered(radius, busy)
		best := func() (most float64) {
			choices(p, p.Count, true, func(sites []int) {
				for _, j := range p.Full {
					if n := len(sites) - len(slices.DeleteFunc(slices.Clone(sites), func(s int) bool { return s == j })); n > 1 {
						return
					}
				}
				most = max(most, value(sites))
			})
			return most
		}
		open := best()
		p.Full = []int{1, 3}
		closed := best()
		shared = shared || closed < open
		s, err := siting.ExpectedCover(t.Context(), p, radius, busy, siting.Effort{})
		require.NoError(t, err)
		assert.True(t, s.Proven())
		assert.InDelta(t, closed, s.Value, 1e-6, "seed %d", seed)
	}
	assert.True(t, shared)
	p := scattered(30, 5, 1)
	p.Full = []int{2}
	_, err := siting.ExpectedCover(t.Context(), p, radius, busy, siting.Effort{})
	assert.ErrorContains(t, err, "full names site 2, which is not kept")
}
