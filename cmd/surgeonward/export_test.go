package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/exchange"
	"surgeonward/api/region"
)

// Source: identity, the same bytes as over HTTP.
func TestExport(t *testing.T) {
	r, report := region.Demo()
	require.Empty(t, report.Faults)
	for _, f := range exchange.Files() {
		want, err := f.Write(r)
		require.NoError(t, err)
		got := call(t, "", "export", "--list", f.List, "--as", f.As)
		require.Equal(t, exitOK, got.code, got.errors)
		assert.Equal(t, string(want), got.out, f.Name)
	}
	assert.True(t, strings.HasPrefix(call(t, "", "export").out, "id,kind,name,latitude,longitude,"))
	got := call(t, "", "export", "--list", "assets", "--as", "kml")
	assert.Equal(t, exitUsage, got.code)
	assert.Contains(t, got.errors, "assets are not written as kml: use --as csv")
	assert.Equal(t, exitUsage, call(t, "", "export", "--as", "xls").code)
}
