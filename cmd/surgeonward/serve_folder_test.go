package main

import (
	"bytes"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/region"
)

// TestServeFolder: what an editor saves is served, what cannot be used is not and
// is told, and mending it is all that is needed.
func TestServeFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "region")
	files, err := region.DemoFiles()
	require.NoError(t, err)
	require.NoError(t, os.Mkdir(dir, 0o755))
	save := func(name string, content []byte) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), content, 0o644))
	}
	for name, content := range files {
		save(name, content)
	}
	var stdout, stderr screen
	address, stop := serving(t, &stdout, &stderr, &stdout, "--region", dir)
	assert.Contains(t, stdout.String(), "edits: in the region's folder\n")
	get := func(path string) string {
		answer, err := http.Get(address + path)
		require.NoError(t, err)
		text, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		require.NoError(t, answer.Body.Close())
		return string(text)
	}
	shows := func(path, words string) {
		t.Helper()
		require.Eventually(t, func() bool { return bytes.Contains([]byte(get(path)), []byte(words)) }, 20*time.Second, 20*time.Millisecond)
	}
	fleet := files[region.FleetFile]
	save(region.FleetFile, bytes.Replace(fleet, []byte(`"cruise_kt": 137`), []byte(`"cruise_kt": 131`), 1))
	shows("/v1/assets", `"cruise_kt": 131`)
	save(region.FleetFile, bytes.Replace(fleet, []byte(`"cruise_kt": 137`), []byte(`"cruise_kn": 131`), 1))
	shows("/v1/region/faults", "cruise_kn")
	assert.Contains(t, get("/v1/assets"), `"cruise_kt": 131`, "the last good version is served")
	save(region.FleetFile, fleet)
	shows("/v1/assets", `"cruise_kt": 137`)
	shows("/v1/region/faults", `"faults":[]`)
	assert.Equal(t, exitOK, stop())
}
