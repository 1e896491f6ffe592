package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/testdata"
)

// TestDemandFile: whose people a service serves. Source: definition, the file that the
// command line counts too.
func TestDemandFile(t *testing.T) {
	assert.Nil(t, place{Database: "postgres://desk@db.example/region"}.demandFile(), "a database holds none")

	text, err := place{}.demandFile()()
	require.NoError(t, err)
	want, err := fs.ReadFile(testdata.Demo, demandFileName)
	require.NoError(t, err)
	assert.Equal(t, want, text, "of the demonstration region")

	dir := t.TempDir()
	read := place{Region: dir}.demandFile()
	_, err = read()
	require.ErrorIs(t, err, fs.ErrNotExist)
	require.NoError(t, os.WriteFile(filepath.Join(dir, demandFileName), make([]byte, 2*api.MaxDemand), 0o600))
	text, err = read()
	require.NoError(t, err)
	assert.Len(t, text, api.MaxDemand+1, "no more is read than tells that it is too long")
}
