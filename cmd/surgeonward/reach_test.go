package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

// The whole printed answer; the numbers are the engine's. No crew of the
// demonstration region can open the chest, so that the skill asked for here is
// one that some have.
func TestReachGolden(t *testing.T) {
	got := call(t, "", "reach", "--width", "80", "--scenario", "harbour-stabbing", "--lost-at", "2031-03-14T21:38:00Z",
		"--window", "erc_2021", "--skill", "physician", "--weather", "windy-night", "--all")
	require.Equal(t, exitOK, got.code, got.errors)
	file := filepath.Join("testdata", "reach.golden.txt")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got.out), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got.out)
}

// Flags and a request ask the same.
func TestReachSameQuestion(t *testing.T) {
	const request = `{"at": "2031-03-14T21:40:00Z", "scene": {"position_text": "45 31.2N 29 24.6W", "landing": "possible"},
		"output_lost_at": "2031-03-14T21:39:00Z", "window_s": 1200, "skill": "physician"}`
	flags := call(t, "", "reach", "--json", "--scene", "45 31.2N 29 24.6W", "--at", "2031-03-14T21:40:00Z", "--landing", "possible",
		"--lost-at", "2031-03-14T21:39:00Z", "--window-min", "20", "--skill", "physician")
	require.Equal(t, exitOK, flags.code, flags.errors)
	assert.Equal(t, flags, call(t, request, "reach", "--json", "--request", "-"))
	var answer struct {
		Caution string            `json:"caution"`
		Teams   []json.RawMessage `json:"teams"`
	}
	require.NoError(t, json.Unmarshal([]byte(flags.out), &answer))
	assert.Equal(t, routing.Caution, answer.Caution)
	assert.NotEmpty(t, answer.Teams)
}

// A team that set out as planned is there when it was said to be, and surer to
// be. Source: identity.
func TestReachHappened(t *testing.T) {
	type arrival struct {
		At     string `json:"at"`
		SlowAt string `json:"slow_at"`
	}
	ask := func(more ...string) arrival {
		got := call(t, "", append([]string{"reach", "--json", "--scene", "45 31.2N 29 24.6W", "--skill", "physician"}, more...)...)
		require.Equal(t, exitOK, got.code, got.errors)
		var answer struct {
			Teams []struct {
				Asset      string  `json:"asset"`
				Arrival    arrival `json:"arrival"`
				Activities []struct {
					ID   string  `json:"id"`
					EndS float64 `json:"end_s"`
				} `json:"activities"`
			} `json:"teams"`
		}
		require.NoError(t, json.Unmarshal([]byte(got.out), &answer))
		for _, team := range answer.Teams {
			if team.Asset == "car-3" {
				if len(more) == 2 {
					require.Equal(t, "mobilise", team.Activities[0].ID)
					require.InDelta(t, 150, team.Activities[0].EndS, 0, "the time below")
				}
				return team.Arrival
			}
		}
		require.Fail(t, "car-3 is not among the teams")
		return arrival{}
	}
	before := ask("--at", "2031-03-14T21:40:00Z")
	on := ask("--at", "2031-03-14T21:45:00Z", "--happened", "car-3,lifted,2031-03-14T21:42:30Z", "--lost-at", "2031-03-14T21:40:00Z")
	assert.Equal(t, before.At, on.At)
	assert.Less(t, on.SlowAt, before.SlowAt)

	got := call(t, "", "reach", "--scene", "45 31.2N 29 24.6W", "--happened", "car-3,lifted")
	assert.Equal(t, exitUsage, got.code)
	assert.Contains(t, got.errors, "--happened: write ASSET,EVENT,TIME")
	got = call(t, "", "reach", "--scene", "45 31.2N 29 24.6W", "--at", "2031-03-14T21:40:00Z", "--happened", "car-3,lifted,2031-03-14T21:41:00Z")
	assert.Equal(t, exitUsage, got.code)
	assert.Contains(t, got.errors, "--happened: is after the decision time")
}

// A request for reach is held to what reach has; a scenario is a question for
// options, and what reach does not have is left out of it.
func TestReachIsStrict(t *testing.T) {
	const request = `{"scene": {"position": [-29.41, 45.52]}, "patient": {"age_years": 34}, "window": "nope"}`
	got := call(t, request, "reach", "--request", "-")
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.errors, "#/patient: ")
	assert.Contains(t, got.errors, "#/window: ")
	assert.Equal(t, exitOK, call(t, "", "reach", "--scenario", "hospital-transfer").code)
}
