package main

import (
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"surgeonward/api/region"
	"surgeonward/testdata"
)

// TestServeEditedFolder edits one folder from both sides: over HTTP and by hand.
func TestServeEditedFolder(t *testing.T) {
	defer goleak.VerifyNone(t)
	dir := t.TempDir()
	for _, name := range region.Files() {
		data, err := fs.ReadFile(testdata.Demo, name)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o600))
	}
	read := func(name string) string {
		data, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		return string(data)
	}
	var stdout, stderr screen
	address, stop := serving(t, &stdout, &stderr, &stdout, "--region", dir)
	assert.Contains(t, stdout.String(), "edits: ")
	client := &http.Client{Timeout: 20 * time.Second}
	defer client.CloseIdleConnections()
	ask := func(method, path, body string) (int, string) {
		r, err := http.NewRequestWithContext(t.Context(), method, address+path, strings.NewReader(body))
		require.NoError(t, err)
		r.Header.Set("Content-Type", "application/json")
		w, err := client.Do(r)
		require.NoError(t, err)
		text, err := io.ReadAll(w.Body)
		require.NoError(t, err)
		require.NoError(t, w.Body.Close())
		return w.StatusCode, string(text)
	}
	eventually := func(path, want string) {
		t.Helper()
		require.Eventually(t, func() bool { _, text := ask("GET", path, ""); return strings.Contains(text, want) }, 5*time.Second, 20*time.Millisecond, want)
	}

	status, text := ask("POST", "/v1/facilities/ettuquar-chest/accepting", `{"state":"divert","reason":"theatre flooded"}`)
	require.Equal(t, 200, status, text)
	assert.Contains(t, read(region.FacilitiesFile), `"reason": "theatre flooded"`, "in the file, in its own layout")

	fleet := read(region.FleetFile)
	require.NoError(t, os.WriteFile(filepath.Join(dir, region.FleetFile), []byte(strings.Replace(fleet, `"Helicopter 1"`, `"Helicopter One"`, 1)), 0o600))
	eventually("/v1/assets/heli-1", "Helicopter One")
	eventually("/v1/history?who=file&element=heli-1", `"action":"change"`)

	require.NoError(t, os.WriteFile(filepath.Join(dir, region.SettingsFile), []byte("{"), 0o600))
	eventually("/v1/region/faults", `"file":"settings.json"`)
	status, _ = ask("GET", "/v1/options?scene=45.52,-29.41&only=amb-11", "")
	assert.Equal(t, 200, status, "the last good version answers")
	settings, err := fs.ReadFile(testdata.Demo, region.SettingsFile)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, region.SettingsFile), settings, 0o600))
	eventually("/v1/region/faults", `"faults":[]`)

	status, _ = ask("POST", "/v1/facilities/ettuquar-chest/accepting", `{"state":"closed"}`)
	require.Equal(t, 200, status)
	require.Equal(t, exitOK, stop(), stderr.String())
	assert.Contains(t, stderr.String(), "the last good version is served")
	assert.Contains(t, stderr.String(), "in order again")

	// Nothing is lost by a stop.
	var again, errors screen
	address, stop = serving(t, &again, &errors, &again, "--region", dir)
	eventually("/v1/facilities/ettuquar-chest", `"closed"`)
	require.Equal(t, exitOK, stop())
}
