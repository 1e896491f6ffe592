package testdata_test

import (
	"io/fs"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/testdata"
)

func TestTheListDecodesWithoutADoubt(t *testing.T) {
	data, err := fs.ReadFile(testdata.Demo, "facilities.geojson")
	require.NoError(t, err)
	list, faults, warnings := facilities.Decode(data, facilities.DecodeOptions{Zone: time.FixedZone("", -2*3600)})
	assert.Empty(t, faults)
	assert.Empty(t, warnings)
	require.NotNil(t, list)
	assert.Equal(t, 9+24+4+16, list.Len())
}
