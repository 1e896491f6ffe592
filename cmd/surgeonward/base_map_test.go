package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"
)

func TestBaseMapFlags(t *testing.T) {
	// source: definition
	const address = "http://tiles.example/{z}/{x}/{y}.png"
	for _, tt := range []struct {
		name      string
		flags     mapFlags
		encrypted bool
		says      []string
	}{
		{"none", mapFlags{TileMaxZoom: 18}, false, nil},
		{"an address", mapFlags{TileMaxZoom: 18, TileURL: address, TileAttribution: "whose"}, false, nil},
		{"nobody's", mapFlags{TileMaxZoom: 18, TileURL: address, TileAttribution: " "}, false, []string{"--tile-attribution: say whose map"}},
		{"both, too deep", mapFlags{TileMaxZoom: 23, TileURL: address, TileAttribution: "whose", Tiles: "a"}, false, []string{"give one of them", "must be from 1 to 22"}},
		{"not encrypted", mapFlags{TileMaxZoom: 18, TileURL: address, TileAttribution: "whose"}, true, []string{"must begin with https://"}},
		{"no place for x", mapFlags{TileMaxZoom: 18, TileURL: "https://a.example/{z}/{y}", TileAttribution: "whose"}, true, []string{"--tile-url: must have {z}, {x} and {y}"}},
	} {
		err := tt.flags.check(tt.encrypted)
		if tt.says == nil {
			assert.NoError(t, err, tt.name)
		}
		for _, part := range tt.says {
			assert.ErrorContains(t, err, part, tt.name)
		}
	}
}

func TestABaseMapThatCannotBeUsedKeepsThePortClosed(t *testing.T) {
	defer goleak.VerifyNone(t)
	path := filepath.Join(t.TempDir(), "map.pmtiles")
	require.NoError(t, os.WriteFile(path, []byte("no map"), 0o600))
	got := call(t, "", "serve", "--listen", "127.0.0.1:0", "--tiles", path)
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.errors, "is no PMTiles file")
	assert.NotContains(t, got.out, "listening")
	got = call(t, "", "serve", "--tile-url", "ftp://a/{z}/{x}/{y}")
	assert.Equal(t, exitUsage, got.code)
	assert.Contains(t, got.errors, "--tile-url: must begin with")
}
