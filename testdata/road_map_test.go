package testdata_test

import (
	"io/fs"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing/road"
	"surgeonward/testdata"
)

func TestTheRoadMapDecodesWithoutADoubt(t *testing.T) {
	data, err := fs.ReadFile(testdata.Demo, "roads.geojson")
	require.NoError(t, err)
	m, faults, warnings := road.Decode(data, road.DecodeOptions{Zone: time.FixedZone("", -2*3600)})
	assert.Empty(t, faults)
	assert.Empty(t, warnings)
	require.NotNil(t, m)
	assert.Len(t, m.Crossings, 4)
}
