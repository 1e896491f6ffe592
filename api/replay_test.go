package api_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/record"
	"surgeonward/api/region"
	"surgeonward/testdata"
)

// TestReplay: every recorded answer is made again from nothing but what the
// record holds. Source: definition, the same bytes.
func TestReplay(t *testing.T) {
	dir := t.TempDir()
	h, _ := recording(t, dir)
	ids := map[string]string{}
	for name, c := range recordedCalls(t) {
		ids[name] = do(h, c).Header().Get(recordHeader)
	}
	reader, _, err := record.OpenReadOnly(dir)
	require.NoError(t, err)
	for name, id := range ids {
		t.Run(name, func(t *testing.T) {
			rec, err := reader.Get(id)
			require.NoError(t, err)
			r, err := api.RecordedRegion(&rec, reader)
			require.NoError(t, err)
			again, err := api.NewReplay(t.Context(), &rec, r, reader)
			require.NoError(t, err)
			assert.Equal(t, string(rec.Answer), string(again.Answer))
			assert.True(t, again.Same)
			assert.Empty(t, again.Difference+again.Parameters)
			assert.Empty(t, again.Versions)
			assert.Equal(t, "test", again.Engine)
		})
	}
}

// demoWith is the demo region with a text in one of its files replaced.
func demoWith(t *testing.T, file, was, becomes string) *region.Region {
	t.Helper()
	files := map[string][]byte{}
	for _, name := range []string{region.FacilitiesFile, region.FleetFile, region.SettingsFile, region.RoadsFile} {
		content, err := fs.ReadFile(testdata.Demo, name)
		require.NoError(t, err)
		if name == file {
			require.Contains(t, string(content), was)
			content = []byte(strings.ReplaceAll(string(content), was, becomes))
		}
		files[name] = content
	}
	r, report := region.FromFiles(files)
	require.Empty(t, report.Faults)
	return r
}

// TestReplayNoticesChanges: a region in which one thing differs gives another
// answer, and the first difference is named.
func TestReplayNoticesChanges(t *testing.T) {
	dir := t.TempDir()
	h, store := recording(t, dir)
	id, _ := ask(t, h, quickQuestion)
	rec, err := store.Get(id)
	require.NoError(t, err)
	for _, tt := range []struct{ name, file, was, becomes, version, difference, parameters string }{
		{"a parameter", region.SettingsFile, `"road_factor": 1.3`, `"road_factor": 1.4`, "parameters", ": recorded ", "(of road_factor): recorded 1.3, now 1.4"},
		{"the fleet", region.FleetFile, `"Ambulance 11"`, `"Ambulance eleven"`, "fleet", `Ambulance eleven`, ""},
		{"a hospital", region.FacilitiesFile, `Ettuquar Heart and Chest Hospital`, `Ettuquar Chest Hospital`, "facilities", `now "Ettuquar Chest Hospital"`, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			again, err := api.NewReplay(t.Context(), &rec, demoWith(t, tt.file, tt.was, tt.becomes), store.Reader)
			require.NoError(t, err)
			assert.False(t, again.Same)
			assert.Equal(t, []string{tt.version}, again.Versions)
			assert.Contains(t, again.Difference, tt.difference)
			assert.Contains(t, again.Parameters, tt.parameters)
			assert.Equal(t, tt.parameters == "", again.Parameters == "")
		})
	}
	t.Run("another question", func(t *testing.T) {
		other := rec
		other.Asked = "something"
		_, err := api.NewReplay(t.Context(), &other, demo(t), store.Reader)
		assert.ErrorContains(t, err, `"something"`)
	})
	t.Run("a file that decayed", func(t *testing.T) {
		hash := rec.Data[1].Hash.String()
		path := filepath.Join(dir, "blobs", hash[:2], hash[2:])
		content, err := os.ReadFile(path)
		require.NoError(t, err)
		content[len(content)/2] ^= 1
		require.NoError(t, os.WriteFile(path, content, 0o600))
		_, err = api.RecordedRegion(&rec, store.Reader)
		assert.ErrorContains(t, err, "fleet.json of answer "+id)
		assert.ErrorContains(t, err, "damaged")
		require.NoError(t, os.Remove(path))
		_, err = api.RecordedRegion(&rec, store.Reader)
		assert.ErrorIs(t, err, record.ErrNotFound)
	})
}
