package testdata_test

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/coverage"
	"surgeonward/testdata"
)

// TestDemandIsTheSettlements: the people of demand.csv are those of the base map,
// settlement by settlement. Source: identity.
func TestDemandIsTheSettlements(t *testing.T) {
	data, err := fs.ReadFile(testdata.Demo, "demand.csv")
	require.NoError(t, err)
	cells, err := coverage.DecodeCSV(data)
	require.NoError(t, err)
	people := map[string]float64{}
	for _, c := range cells {
		people[c.Name] += c.People
	}
	settlements := ofKind(features(t, "map.geojson"), "settlement")
	assert.Len(t, people, len(settlements))
	for _, s := range settlements {
		assert.EqualValues(t, s.Properties["population"], people[s.Properties["name"].(string)], s.Properties["name"])
	}
}
