package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Source: definition of the command.
func TestMerge(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "region")
	require.Equal(t, exitOK, call(t, "", "init", dir).code)
	for _, list := range []struct{ name, file string }{{"facilities", "facilities.geojson"}, {"assets", "fleet.json"}} {
		before, err := os.ReadFile(filepath.Join(dir, list.file))
		require.NoError(t, err)
		table := call(t, "", "export", "--region", dir, "--list", list.name)
		require.Equal(t, exitOK, table.code, table.errors)
		same := call(t, table.out, "merge", "--region", dir, "--list", list.name, "-")
		require.Equal(t, exitOK, same.code, same.errors)
		assert.Equal(t, string(before), same.out, "byte for byte")
		assert.Contains(t, same.errors, "added: none\nchanged: none\n")

		id, _, _ := strings.Cut(strings.Split(table.out, "\r\n")[1], ",")
		changed := call(t, "id;name\n"+id+";Quite another name\n", "merge", "--region", dir, "--list", list.name, "-")
		require.Equal(t, exitOK, changed.code, changed.errors)
		assert.Contains(t, changed.out, "Quite another name")
		assert.Contains(t, changed.errors, "changed: "+id)
		assert.Contains(t, changed.errors, "note: semicolons separate the cells")
		after, err := os.ReadFile(filepath.Join(dir, list.file))
		require.NoError(t, err)
		assert.Equal(t, string(before), string(after), "no file is written")
	}
	got := call(t, "id,latitude\nnowhere,north\n,1\n", "merge", "-")
	assert.Equal(t, exitFailed, got.code)
	assert.Empty(t, got.out)
	assert.Contains(t, got.errors, "line 2, column latitude (nowhere)")
	assert.Contains(t, got.errors, "line 3, column id")
}
