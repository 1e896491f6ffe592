package testdata_test

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"path"
	"regexp"
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
	require.Len(t, all, 5)
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

// METAR lines as the region's three stations would send them: one from each
// station within the hour before each scenario, so that every scenario can be
// told under every weather.
func TestWeatherHasAReportForEveryScenario(t *testing.T) {
	line := regexp.MustCompile(`^METAR (QQ[A-Z]{2}) (\d{6})Z (VRB|\d{3})\d{2}(G\d{2})?KT .* Q\d{4}( .*)?$`)
	files, err := fs.Glob(testdata.Demo, "weather/*.txt")
	require.NoError(t, err)
	require.Equal(t, []string{"weather/clear-day.txt", "weather/foggy-morning.txt", "weather/windy-night.txt"}, files)
	for _, file := range files {
		data, err := fs.ReadFile(testdata.Demo, file)
		require.NoError(t, err)
		issued := map[string][]string{}
		for _, text := range strings.Split(strings.TrimSpace(string(data)), "\n") {
			parts := line.FindStringSubmatch(text)
			require.NotNil(t, parts, "%s: %q", path.Base(file), text)
			issued[parts[1]] = append(issued[parts[1]], parts[2])
		}
		assert.Len(t, issued, 3, file)
		for station, times := range issued {
			for name, s := range scenarios(t) {
				fresh := false
				for _, at := range times {
					sent, err := time.Parse("200601 021504", s.At.Format("200601")+" "+at)
					require.NoError(t, err)
					age := s.At.Sub(sent)
					fresh = fresh || age >= 0 && age <= time.Hour
				}
				assert.True(t, fresh, "%s: %s sent nothing for %s", file, station, name)
			}
		}
	}
}
