package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/region"
	"surgeonward/facilities/store/folder"
	"surgeonward/facilities/store/postgres/pgserver"
)

// TestBackupAndRestore: a region goes into a file, from there into a database,
// and back into a folder, with the same bytes in its files.
func TestBackupAndRestore(t *testing.T) {
	address := pgserver.Schema(t)
	top := t.TempDir()
	file, dir := filepath.Join(top, "region.tar.gz"), filepath.Join(top, "back")
	assert.Equal(t, "kept 1 version in region.tar.gz\n", called(t, "backup", file))
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.EqualValues(t, 0o600, info.Mode().Perm())
	assert.Equal(t, "restored 1 version\n", called(t, "restore", file, address))
	assert.Equal(t, "copied 1 version\n", called(t, "copy", address, dir))
	want, err := region.DemoFiles()
	require.NoError(t, err)
	for name, content := range want {
		got, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.Equal(t, string(content), string(got))
	}

	for _, tt := range []struct {
		name string
		args []string
		want string
	}{
		{"backup over a file", []string{"backup", file}, "exists already"},
		{"restore over a folder", []string{"restore", file, dir}, "is not empty"},
		{"restore over a database", []string{"restore", file, address}, "there is a region already"},
		{"copy over a folder", []string{"copy", address, dir}, "is not empty"},
		{"no backup", []string{"restore", filepath.Join(dir, region.FleetFile), filepath.Join(top, "new")}, "it is no gzip file"},
		{"no source", []string{"copy", filepath.Join(top, "nowhere"), filepath.Join(top, "new")}, "no such file"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := call(t, "", tt.args...)
			assert.Equal(t, exitFailed, got.code)
			assert.Contains(t, got.errors, tt.want)
		})
	}
}

// TestBackupBesideService: a folder that a service has open is backed up with
// all its versions, and one that is closed with what was edited by hand last.
func TestBackupBesideService(t *testing.T) {
	dir, top := edited(t), t.TempDir()
	held, err := folder.Open(dir, folder.Options{Names: region.Files()})
	require.NoError(t, err)
	assert.Equal(t, "kept 3 versions in beside.tar.gz\n", called(t, "backup", "--region", dir, filepath.Join(top, "beside.tar.gz")))
	assert.Equal(t, "copied 3 versions\n", called(t, "copy", dir, filepath.Join(top, "copy")))
	require.NoError(t, held.Close())
	path := filepath.Join(dir, region.FacilitiesFile)
	content, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, append(content, '\n'), 0o600))
	assert.Equal(t, "kept 4 versions in closed.tar.gz\n", called(t, "backup", "--region", dir, filepath.Join(top, "closed.tar.gz")))
	assert.Contains(t, called(t, "history", "--region", filepath.Join(top, "copy")), "theatre flooded")
}

func called(t *testing.T, args ...string) string {
	t.Helper()
	got := call(t, "", args...)
	require.Equal(t, exitOK, got.code, got.errors)
	return got.out
}

// TestServeDatabase: the service answers from a database, and says where edits go.
func TestServeDatabase(t *testing.T) {
	address := pgserver.Schema(t)
	empty := call(t, "", "serve", "--database", address, "--listen", "127.0.0.1:0")
	assert.Equal(t, exitFailed, empty.code)
	assert.Contains(t, empty.errors, "the database holds no region yet: put one there with surgeonward copy DIR URL")

	file := filepath.Join(t.TempDir(), "region.tar.gz")
	called(t, "backup", file)
	called(t, "restore", file, address)
	var stdout, stderr screen
	_, stop := serving(t, &stdout, &stderr, &stdout, "--database", address)
	assert.Contains(t, stdout.String(), "edits: in a PostgreSQL database\n")
	assert.Equal(t, exitOK, stop())
}
