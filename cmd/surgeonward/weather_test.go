package main

import (
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo/weather"
	"surgeonward/testdata"
)

// The same weather, said in flags, in a file and in a request.
func TestSameWeatherSameAnswer(t *testing.T) {
	const metar, taf = "METAR QQOV 142120Z 24018G28KT 8000 -RA BKN018 09/07 Q0991", "TAF QQLU 141700Z 1418/1518 25032KT 6000 BKN014"
	dir := t.TempDir()
	body := `{"at": "2031-03-14T21:40:00Z", "scene": {"position_text": "45 31.2N 29 24.6W", "winch": true, "carry": {"distance_m": 250}},
		"conditions": {"wind": {"from_deg": 240, "speed_kt": 18, "gust_kt": 30}, "ceiling_ft": 1800, "visibility_m": 7000, "reports": ["` + metar + `", "` + taf + `"]}, "limit": 3}`
	file := filepath.Join(dir, "reports.txt")
	require.NoError(t, os.WriteFile(file, []byte("# from the desk\n\n  "+metar+"  # read at 21:35\r\n"+taf), 0o600))
	args := []string{"options", "--json", "--scene", "45 31.2N 29 24.6W", "--at", "2031-03-14T21:40:00Z", "--winch", "--carry-m", "250",
		"--wind", "240/18G30", "--ceiling-ft", "1800", "--visibility-m", "7000", "--limit", "3"}
	want := call(t, body, "options", "--json", "--request", "-")
	require.Equal(t, exitOK, want.code, want.errors)
	assert.Equal(t, want, call(t, "", append(args, "--report", metar, "--report", taf)...))
	assert.Equal(t, want, call(t, "", append(args, "--reports", file)...))
	assert.Equal(t, want, call(t, "", append(args, "--report", metar, "--reports", write(t, dir, taf))...))
}

func write(t *testing.T, dir, text string) string {
	t.Helper()
	file := filepath.Join(dir, "one.txt")
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	return file
}

// A fault of a report in a file is found by its line.
func TestReportsAreNumberedByLine(t *testing.T) {
	file := write(t, t.TempDir(), "# one\nMETAR QQOV 142120Z 24018KT 9999 FEW040\n\nMETAR QQZZ 142120Z 24018KT 9999 FEW040\n")
	got := call(t, "", "options", "--scene", "45.5,-29.4", "--at", "2031-03-14T21:40:00Z", "--reports", file)
	assert.Equal(t, exitUsage, got.code)
	assert.Contains(t, got.errors, "one.txt line 4: ")
	assert.Contains(t, got.errors, "QQZZ")

	empty := call(t, "", "options", "--scene", "45.5,-29.4", "--reports", write(t, t.TempDir(), "# nothing\n"))
	assert.Equal(t, exitFailed, empty.code)
	assert.Contains(t, empty.errors, "holds no report")

	long := call(t, "", "options", "--scene", "45.5,-29.4", "--reports", write(t, t.TempDir(), strings.Repeat("x", maxReportsFile+1)))
	assert.Equal(t, exitFailed, long.code)
	assert.Contains(t, long.errors, "longer than")
}

// Every scenario under every weather: the files hold a report of all four
// stations for each scenario's time (definition of the demonstration region).
func TestEveryWeather(t *testing.T) {
	weathers, err := fs.Glob(testdata.Demo, "weather/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, weathers)
	scenarios, err := fs.Glob(testdata.Scenarios, "*.json")
	require.NoError(t, err)
	for _, scenario := range scenarios {
		for _, file := range weathers {
			name, under := strings.TrimSuffix(scenario, ".json"), strings.TrimSuffix(filepath.Base(file), ".txt")
			t.Run(name+"/"+under, func(t *testing.T) {
				q := questionFlags{sceneFlags: sceneFlags{Scenario: name, weatherFlags: weatherFlags{Weather: under}}}
				body, err := q.body(strings.NewReader(""), q.members)
				require.NoError(t, err)
				var request struct {
					At         time.Time `json:"at"`
					Conditions struct {
						Reports []string `json:"reports"`
					} `json:"conditions"`
				}
				require.NoError(t, json.Unmarshal(body, &request))
				require.Len(t, request.Conditions.Reports, 4)
				for _, text := range request.Conditions.Reports {
					report, _, err := weather.Parse(text, request.At)
					require.NoError(t, err)
					require.NotNil(t, report)
					assert.Less(t, request.At.Sub(report.Issued).Abs(), 90*time.Minute, text)
				}
			})
		}
	}
}
