package facilities_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
)

// collection is a file of the given features.
func collection(features ...string) []byte {
	return []byte(`{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`)
}

// feature is a feature in the invented island group; properties are JSON members.
func feature(id, coordinates, properties string) string {
	return fmt.Sprintf(`{"type":"Feature","id":%q,"geometry":{"type":"Point","coordinates":%s},"properties":{%s}}`, id, coordinates, properties)
}

const here = `[-29.41,45.52]`

func base(id, coordinates string) string {
	return feature(id, coordinates, `"kind":"base","name":"Base `+id+`"`)
}

// hospital has the capabilities that need no surgeons, and more members.
func hospital(id, more string) string {
	return feature(id, here, `"kind":"hospital","name":"Hospital `+id+`","capabilities":["trauma_surgery","ecmo"]`+more)
}

func site(id, more string) string {
	return feature(id, here, `"kind":"landing_site","name":"Site `+id+`"`+more)
}

func decode(data []byte) (*facilities.List, []facilities.Fault, []facilities.Fault) {
	return facilities.Decode(data, facilities.DecodeOptions{Zone: time.UTC})
}

func example(t testing.TB) []byte {
	t.Helper()
	data, err := os.ReadFile("testdata/example.geojson")
	require.NoError(t, err)
	return data
}

// brief writes faults as "pointer: detail".
func brief(faults []facilities.Fault) []string {
	out := []string{}
	for _, f := range faults {
		out = append(out, f.Pointer+": "+f.Detail)
	}
	return out
}
