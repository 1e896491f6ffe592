package testdata_test

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/testdata"
)

// The README promises every name of the region: none may be forgotten when a
// table of the generator changes.
func TestReadmeHasEveryName(t *testing.T) {
	text, err := fs.ReadFile(testdata.Demo, "README.md")
	require.NoError(t, err)
	readme := strings.Join(strings.Fields(string(text)), " ")
	for _, name := range []string{"map.geojson", "facilities.geojson"} {
		for _, f := range features(t, name) {
			assert.True(t, strings.Contains(readme, f.Properties["name"].(string)), "no %v", f.Properties["name"])
			if people, ok := f.Properties["population"].(float64); ok {
				assert.Contains(t, readme, fmt.Sprintf("%s %s", f.Properties["name"], thousands(int(people))))
			}
		}
	}
	for _, f := range ofKind(features(t, "roads.geojson"), "crossing") {
		assert.Contains(t, readme, f.Properties["name"], f.ID)
	}
	data, err := fs.ReadFile(testdata.Demo, "fleet.json")
	require.NoError(t, err)
	var fleet struct {
		Assets []struct{ ID, Name string }
	}
	require.NoError(t, json.Unmarshal(data, &fleet))
	for _, a := range fleet.Assets {
		assert.Contains(t, readme, a.Name+" (`"+a.ID+"`)")
	}
	stories, err := fs.ReadFile(testdata.Scenarios, "README.md")
	require.NoError(t, err)
	for name := range scenarios(t) {
		assert.Contains(t, string(stories), "**"+name+"**")
	}
}

func thousands(n int) string {
	if n < 1000 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%d,%03d", n/1000, n%1000)
}
