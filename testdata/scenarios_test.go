package testdata_test

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities"
	"surgeonward/testdata"
)

// scenario has the members of a request that scenarios may use.
type scenario struct {
	At    time.Time `json:"at"`
	Scene struct {
		Position     *orb.Point         `json:"position"`
		PositionText string             `json:"position_text"`
		Facility     string             `json:"facility"`
		UncertaintyM float64            `json:"uncertainty_m"`
		Landing      string             `json:"landing"`
		Carry        *facilities.Timing `json:"carry"`
	} `json:"scene"`
	Patient struct {
		AgeYears float64           `json:"age_years"`
		Needs    []string          `json:"needs"`
		Escort   string            `json:"escort"`
		ReadyIn  facilities.Timing `json:"ready_in"`
	} `json:"patient"`
	Assets struct {
		States []struct {
			Asset string `json:"asset"`
			State string `json:"state"`
		} `json:"states"`
	} `json:"assets"`
	RankBy string `json:"rank_by"`
	Limit  int    `json:"limit"`
}

func scenarios(t *testing.T) map[string]scenario {
	t.Helper()
	out := map[string]scenario{}
	names, err := fs.Glob(testdata.Scenarios, "*.json")
	require.NoError(t, err)
	for _, name := range names {
		data, err := fs.ReadFile(testdata.Scenarios, name)
		require.NoError(t, err)
		decoder := json.NewDecoder(bytes.NewReader(data))
		decoder.DisallowUnknownFields()
		var s scenario
		require.NoError(t, decoder.Decode(&s), name)
		out[strings.TrimSuffix(name, ".json")] = s
	}
	return out
}

func TestScenariosStandInTheRegion(t *testing.T) {
	all := scenarios(t)
	require.Len(t, all, 7)
	for name, s := range all {
		assert.Equal(t, 2031, s.At.Year(), name)
		given := 0
		if s.Scene.Position != nil {
			given++
			assert.True(t, onLand(lands(t), *s.Scene.Position), "%s is in the sea", name)
		}
		if s.Scene.PositionText != "" {
			given++
		}
		if s.Scene.Facility != "" {
			given++
		}
		assert.Equal(t, 1, given, "%s: one way of saying where", name)
		assert.NotEmpty(t, s.Patient.Needs, name)
		for _, state := range s.Assets.States {
			assert.Equal(t, "at_scene", state.State, name)
		}
	}
}
