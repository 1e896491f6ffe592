package api_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// Golden numbers agree within these: another processor may round the last
// digit another way. Whole seconds and metres may then differ by one.
const (
	toleranceS     = 1.0
	toleranceM     = 1.0
	toleranceDeg   = 1e-6
	toleranceShare = 0.002 // a few draws
)

// TestGolden compares one answer of each endpoint with the file kept for it.
// Source: the files were read when they were made; they show every change.
func TestGolden(t *testing.T) {
	h := handler(t)
	harbour := strings.Replace(scenarios(t)["harbour-stabbing"], `"limit": 10`, `"limit": 2`, 1)
	cliff := strings.Replace(scenarios(t)["cliff-path"], `"limit": 10`, `"limit": 2`, 1)
	const windy = `{"at":"2031-03-14T22:10:00Z","scene":{"position":[-30.07,45.232],"landing":"impossible","carry":{"distance_m":200}},
		"assets":{"only":["amb-61","heli-1","heli-3"]},"limit":1,"conditions":{"wind":{"from_deg":240,"speed_kt":25},"reports":[
		"METAR QQOV 142120Z 25030G44KT 8000 -RA BKN016 OVC028 09/07 Q0991","METAR QQRR 142120Z 26036G52KT 5000 RA BKN011 OVC020 09/07 Q0991"]}}`
	geo := http.Header{"Accept": {"application/geo+json"}}
	tests := []struct {
		name string
		call call
	}{
		{"options", call{method: "POST", path: "/v1/options", body: harbour}},
		{"options_map", call{method: "POST", path: "/v1/options", body: cliff, header: geo}},
		{"options_weather", call{method: "POST", path: "/v1/options", body: windy}},
		{"options_quick", call{method: "GET", path: "/v1/options?scene=45.52,-29.41&limit=1&target_s=2700"}},
		{"reach", call{method: "POST", path: "/v1/reach", body: `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52],"landing":"impossible"},
			"assets":{"only":["heli-1","amb-11","car-9"],"add":[{"id":"car-9","name":"Visiting car","kind":"response_car","state":"moving","position":[-29.42,45.525],"skills":["physician","thoracotomy"]}]},"output_lost_at":"2031-03-14T21:38:00Z","window":"erc_2021"}`}},
		{"pre_alert", call{method: "POST", path: "/v1/pre-alert", body: strings.Replace(harbour, `"limit": 2`, `"limit": 2, "option": "rendezvous:amb-11+car-1+heli-1:ls-ossuvaune-quay:ettuquar-chest",
			"clinical": {"incident_at": "2031-03-14T21:12:00Z", "mechanism": "stab", "injuries": ["chest_left"], "signs": {"heart_rate_per_min": 130, "output": "lost", "output_lost_at": "2031-03-14T21:38:00Z"},
			"treatment": {"given": ["intubated", "chest_opened"]}}`, 1)}},
		{"facility", call{method: "GET", path: "/v1/facilities/ettuquar-chest"}},
		{"asset", call{method: "GET", path: "/v1/assets/heli-2"}},
		{"parameters", call{method: "GET", path: "/v1/parameters"}},
		{"index", call{method: "GET", path: "/"}},
		{"healthz", call{method: "GET", path: "/healthz"}},
		{"readyz", call{method: "GET", path: "/readyz"}},
		{"problem_kind", call{method: "GET", path: "/v1/problems/bad-json"}},
		{"problem_content", call{method: "POST", path: "/v1/options", body: `{"scene":{"position":[-29.41,45.52],"landig":"possible"},"patient":{"needs":["ecmoo"]}}`}},
		{"problem_query", call{method: "GET", path: "/v1/options?scene=45.52&ages=4"}},
		{"problem_json", call{method: "POST", path: "/v1/options", body: `{"scene":{"position":[NaN,1]}}`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tt.call.header = maps.Clone(tt.call.header)
			if tt.call.header == nil {
				tt.call.header = http.Header{}
			}
			tt.call.header.Set("X-Request-Id", "golden-request")
			compareGolden(t, tt.name, do(h, tt.call).Body.Bytes())
		})
	}
}

// contentHash is a hash of the demo region's files, which change for reasons of
// their own.
var contentHash = regexp.MustCompile(`"[0-9a-f]{64}"`)

func compareGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	got = contentHash.ReplaceAll(got, []byte(`"(hash)"`))
	file := filepath.Join("testdata", name+".golden.json")
	if *update {
		var pretty bytes.Buffer
		require.NoError(t, json.Indent(&pretty, bytes.TrimSpace(got), "", " "))
		pretty.WriteByte('\n')
		require.NoError(t, os.WriteFile(file, pretty.Bytes(), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	for i, d := range differences("", "", decode(t, want), decode(t, got)) {
		if i == 10 {
			t.Error("and more")
			break
		}
		t.Error(d)
	}
	wantOrder, gotOrder := memberOrder(t, want), memberOrder(t, got)
	for i := range min(len(wantOrder), len(gotOrder)) {
		require.Equal(t, wantOrder[i], gotOrder[i], "the order of members, at name %d", i)
	}
}

// differences lists where two decoded texts differ, numbers by more than their
// unit's tolerance.
func differences(at, key string, want, got any) (out []string) {
	differ := func() []string { return []string{fmt.Sprintf("%s: want %v, got %v", at, want, got)} }
	switch want := want.(type) {
	case map[string]any:
		got, ok := got.(map[string]any)
		if !ok || !slices.Equal(slices.Sorted(maps.Keys(want)), slices.Sorted(maps.Keys(got))) {
			return differ()
		}
		for _, k := range slices.Sorted(maps.Keys(want)) {
			out = append(out, differences(at+"/"+k, k, want[k], got[k])...)
		}
	case []any:
		got, ok := got.([]any)
		if !ok || len(want) != len(got) {
			return differ()
		}
		for i := range want {
			out = append(out, differences(fmt.Sprintf("%s/%d", at, i), key, want[i], got[i])...)
		}
	case float64:
		got, ok := got.(float64)
		if !ok || math.Abs(want-got) > tolerance(key) {
			return differ()
		}
	default:
		if want != got {
			return differ()
		}
	}
	return out
}

func tolerance(key string) float64 {
	switch {
	case strings.HasSuffix(key, "_s"):
		return toleranceS
	case key == "quickest" || key == "quickest_other" || key == "within_target":
		return toleranceShare
	case strings.HasSuffix(key, "_m"):
		return toleranceM
	case key == "position" || key == "coordinates" || key == "path":
		return toleranceDeg
	}
	return 0
}

// memberOrder lists the names of all members in the order they are written.
func memberOrder(t *testing.T, text []byte) []string {
	t.Helper()
	var names []string
	d := json.NewDecoder(bytes.NewReader(text))
	type level struct{ object, value bool }
	var levels []level
	for {
		token, err := d.Token()
		if err != nil {
			return names
		}
		top := len(levels) - 1
		isName := top >= 0 && levels[top].object && !levels[top].value
		switch token {
		case json.Delim('{'):
			levels = append(levels, level{object: true})
			continue
		case json.Delim('['):
			levels = append(levels, level{})
			continue
		case json.Delim('}'), json.Delim(']'):
			levels = levels[:top]
			if top--; top >= 0 {
				levels[top].value = false
			}
			continue
		}
		if isName {
			names = append(names, token.(string))
			levels[top].value = true
		} else if top >= 0 {
			levels[top].value = false
		}
	}
}

// TestFilesAreServedAsTheyAre checks the lists and documents, whose content is
// that of a file.
func TestFilesAreServedAsTheyAre(t *testing.T) {
	h := handler(t)
	tests := []struct{ name, path, file, media string }{
		{"facilities", "/v1/facilities", "../testdata/demo/facilities.geojson", "application/geo+json"},
		{"assets", "/v1/assets", "../testdata/demo/fleet.json", "application/json"},
		{"document", "/v1/openapi.yaml", "openapi.yaml", "application/yaml"},
		{"facilities schema", "/v1/schemas/facilities.schema.json", "../facilities/schema/facilities.schema.json", "application/schema+json"},
		{"roads", "/v1/roads", "../testdata/demo/roads.geojson", "application/geo+json"},
		{"roads schema", "/v1/schemas/roads.schema.json", "../routing/road/schema/roads.schema.json", "application/schema+json"},
		{"fleet schema", "/v1/schemas/fleet.schema.json", "../routing/schema/fleet.schema.json", "application/schema+json"},
		{"settings schema", "/v1/schemas/settings.schema.json", "../routing/schema/settings.schema.json", "application/schema+json"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			want, err := os.ReadFile(tt.file)
			require.NoError(t, err)
			w := get(h, tt.path)
			require.Equal(t, http.StatusOK, w.Code)
			assert.Equal(t, string(want), w.Body.String())
			assert.Equal(t, tt.media, w.Header().Get("Content-Type"))
			tag := w.Header().Get("ETag")
			assert.Regexp(t, `^"[0-9a-f]{32}"$`, tag)
			// RFC 9110, section 13.1.2: weak comparison, a list, or any.
			for _, known := range []string{tag, "W/" + tag, `"x", ` + tag, "*"} {
				again := do(h, call{method: http.MethodGet, path: tt.path, header: http.Header{"If-None-Match": {known}}})
				assert.Equal(t, http.StatusNotModified, again.Code, known)
				assert.Empty(t, again.Body.String())
				assert.Equal(t, tag, again.Header().Get("ETag"))
			}
			other := do(h, call{method: http.MethodGet, path: tt.path, header: http.Header{"If-None-Match": {`"x"`}}})
			assert.Equal(t, http.StatusOK, other.Code)
		})
	}
}
