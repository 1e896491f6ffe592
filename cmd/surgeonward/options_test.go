package main

import (
	"encoding/json"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
	"surgeonward/testdata"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// The whole printed answer to a worked scenario, in still air and under a
// weather. The numbers in it are the engine's, which has tests of its own: this
// one shows what a person reads. Other widths are held to hand-made answers in
// package terminal.
func TestOptionsGolden(t *testing.T) {
	for _, tc := range []struct {
		name string
		args []string
	}{
		{"harbour-stabbing", []string{"--scenario", "harbour-stabbing", "--target-min", "45"}},
		{"far-island-windy", []string{"--scenario", "far-island", "--weather", "windy-night"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := call(t, "", append([]string{"options", "--width", "80"}, tc.args...)...)
			require.Equal(t, exitOK, got.code, got.errors)
			file := filepath.Join("testdata", tc.name+".golden.txt")
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got.out), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(want), got.out)
		})
	}
}

func TestEveryScenario(t *testing.T) {
	files, err := fs.Glob(testdata.Scenarios, "*.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := strings.TrimSuffix(file, ".json")
		t.Run(name, func(t *testing.T) {
			got := call(t, "", "options", "--scenario", name)
			require.Equal(t, exitOK, got.code, got.errors)
			assert.Empty(t, got.errors)
			assert.True(t, strings.HasPrefix(strings.Join(strings.Fields(got.out), " "), routing.Caution))
			assert.Contains(t, got.out, "DEMONSTRATION")
			assert.Contains(t, got.out, "\n1. ")
		})
	}
}

// The three ways to ask the same question give the same answer.
func TestSameQuestionSameAnswer(t *testing.T) {
	const at = "2031-03-14T21:40:00Z"
	body := `{"at": "` + at + `", "scene": {"position_text": "45 31.2N 29 24.6W", "landing": "possible"},
		"patient": {"age_years": 34, "needs": ["cardiothoracic_surgery"], "escort": "physician"}, "limit": 3, "rank_by": "slow", "target_s": 2700,
		"happened": [{"asset": "heli-1", "event": "lifted", "at": "2031-03-14T21:36:00Z"},
			{"event": "alerted", "at": "2031-03-14T21:38:00Z", "facility": "ettuquar-chest"}],
		"output_lost_at": "2031-03-14T21:30:00Z", "output_regained_at": "2031-03-14T21:34:00Z"}`
	file := filepath.Join(t.TempDir(), "request.json")
	require.NoError(t, os.WriteFile(file, []byte(body), 0o600))
	flags := call(t, "", "options", "--json", "--scene", "45 31.2N 29 24.6W", "--at", at, "--landing", "possible",
		"--age", "34", "--need", "cardiothoracic_surgery", "--escort", "physician", "--limit", "3", "--rank-by", "slow", "--target-min", "45",
		"--happened", "heli-1,lifted,2031-03-14T21:36:00Z", "--happened", "alerted, 2031-03-14T21:38:00Z, ettuquar-chest",
		"--lost-at", "2031-03-14T21:30:00Z", "--regained-at", "2031-03-14T21:34:00Z")
	require.Equal(t, exitOK, flags.code, flags.errors)
	assert.Equal(t, flags, call(t, "", "options", "--json", "--request", file))
	assert.Equal(t, flags, call(t, body, "options", "--json", "--request", "-"))
}

// A mission asked about again as it goes: what has happened stands in the
// answer, the time to the surgeon and its range shrink. Source: definition; that
// they shrink by what has passed is tested over HTTP.
func TestAskedAgain(t *testing.T) {
	var last struct{ typicalS, widthS float64 }
	for i, step := range [][]string{
		{"--at", "2031-06-17T14:20:00Z"},
		{"--at", "2031-06-17T14:27:00Z", "--happened", "heli-2,lifted,2031-06-17T14:26:00Z"},
		{"--at", "2031-06-17T14:43:00Z", "--happened", "heli-2,lifted,2031-06-17T14:26:00Z", "--happened", "heli-2,patient_loaded,2031-06-17T14:42:00Z"},
	} {
		args := append([]string{"options", "--scenario", "village-child", "--lost-at", "2031-06-17T14:16:00Z"}, step...)
		got := call(t, "", append(args, "--json")...)
		require.Equal(t, exitOK, got.code, got.errors)
		var a struct {
			Options []struct {
				ID    string `json:"id"`
				Total struct {
					TypicalS float64 `json:"typical_s"`
				} `json:"total"`
				Spread struct {
					P10S float64 `json:"p10_s"`
					P90S float64 `json:"p90_s"`
				} `json:"spread"`
			} `json:"options"`
		}
		require.NoError(t, json.Unmarshal([]byte(got.out), &a))
		first := a.Options[0]
		require.Equal(t, "air:heli-2:luorimaune-childrens", first.ID)
		if i > 0 {
			assert.Less(t, first.Total.TypicalS, last.typicalS)
			assert.Less(t, first.Spread.P90S-first.Spread.P10S, last.widthS)
		}
		last.typicalS, last.widthS = first.Total.TypicalS, first.Spread.P90S-first.Spread.P10S

		page := strings.Join(strings.Fields(call(t, "", append(args, "--width", "200")...).out), " ")
		assert.Contains(t, page, "From output lost, 12:16, to surgeon, typical/slow min: 1. ")
		assert.Equal(t, i > 0, strings.Contains(page, "Happened: 12:26 Helicopter 2 under way"))
		assert.Equal(t, i > 1, strings.Contains(page, "; 12:42 patient on board Helicopter 2"))
	}
}

// Flags beside a whole request replace its members and leave the rest alone.
func TestFlagsOverRequest(t *testing.T) {
	const request = `{"at": "2031-03-14T21:40:00Z", "scene": {"position": [-29.41, 45.52], "landing": "impossible"}, "patient": {"age_years": 34}}`
	const same = `{"at": "2031-03-14T12:00:00Z", "scene": {"position": [-29.41, 45.52], "landing": "possible"}, "patient": {"age_years": 34}, "limit": 2}`
	want := call(t, same, "options", "--json", "--request", "-")
	require.Equal(t, exitOK, want.code, want.errors)
	assert.Equal(t, want, call(t, request, "options", "--json", "--request", "-", "--at", "2031-03-14T12:00:00Z", "--landing", "possible", "--limit", "2"))
}

// A flag never hides what is wrong with the request it changes.
func TestFlagsOverFaultyRequest(t *testing.T) {
	for _, request := range []string{``, `[]`, `{"limit": 1, "limit": 2}`, `{"scene": 3}`, `{"scene": {}, "patient": []}`} {
		got := call(t, request, "options", "--request", "-", "--age", "3", "--landing", "possible")
		assert.Equal(t, exitFailed, got.code, request)
		assert.Contains(t, got.errors, "surgeonward: #", request)
	}
}

func TestGeoJSON(t *testing.T) {
	got := call(t, "", "options", "--scenario", "harbour-stabbing", "--geojson")
	require.Equal(t, exitOK, got.code, got.errors)
	var collection struct {
		Type     string            `json:"type"`
		Features []json.RawMessage `json:"features"`
	}
	require.NoError(t, json.Unmarshal([]byte(got.out), &collection))
	assert.Equal(t, "FeatureCollection", collection.Type)
	assert.NotEmpty(t, collection.Features)
}

// A southern latitude starts with a minus sign, as a flag does. Source: the
// scene is far from the region, so no asset can be quick, but it is read.
func TestSceneWithMinus(t *testing.T) {
	got := call(t, "", "options", "--scene", "-45.52, -29.41", "--at", "2031-03-14T21:40:00Z")
	require.Equal(t, exitOK, got.code, got.errors)
	assert.Contains(t, got.out, "45 31.200S 029 24.600W")
}

func TestTransfer(t *testing.T) {
	got := call(t, "", "options", "--facility", "quorreth-hospital", "--at", "2031-03-14T12:00:00Z", "--limit", "1")
	require.Equal(t, exitOK, got.code, got.errors)
	assert.Contains(t, got.out, "Scene: Quorreth Hospital, ")
}

func TestEveryWay(t *testing.T) {
	brief := call(t, "", "options", "--scenario", "harbour-stabbing")
	all := call(t, "", "options", "--scenario", "harbour-stabbing", "--all")
	assert.Contains(t, brief.out, "Every way: --all")
	assert.NotContains(t, all.out, "Every way: --all")
	assert.Greater(t, len(all.out), len(brief.out))
}
