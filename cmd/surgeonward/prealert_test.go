package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

// picture is everything that is known of a patient, in flags.
var picture = []string{"--incident-at", "2031-03-14T21:12:00Z", "--mechanism", "stab", "--injury", "chest_left", "--injury", "abdomen",
	"--heart-rate", "130", "--systolic", "70", "--respiratory-rate", "28", "--spo2", "91", "--gcs", "9",
	"--output", "regained", "--lost-at", "2031-03-14T21:31:00Z", "--regained-at", "2031-03-14T21:37:00Z",
	"--given", "chest_opened", "--given", "intubated", "--blood-units", "2"}

// The whole printed answer; the numbers are the engine's.
func TestPreAlertGolden(t *testing.T) {
	got := call(t, "", append([]string{"pre-alert", "--width", "80", "--scenario", "harbour-stabbing",
		"--option", "rendezvous:amb-11+car-1+heli-1:ls-ossuvaune-quay:ettuquar-chest"}, picture...)...)
	require.Equal(t, exitOK, got.code, got.errors)
	file := filepath.Join("testdata", "pre-alert.golden.txt")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got.out), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got.out)
}

// Flags and a request ask the same, and no option means the first.
func TestPreAlertSameQuestion(t *testing.T) {
	const request = `{"at": "2031-03-14T21:40:00Z", "scene": {"position_text": "45 31.2N 29 24.6W", "landing": "impossible"},
		"patient": {"age_years": 34}, "option": "road:amb-12:ossuvaune-general", "message_at": "2031-03-14T21:41:00Z",
		"clinical": {"incident_at": "2031-03-14T21:12:00Z", "mechanism": "stab", "injuries": ["chest_left", "abdomen"],
			"signs": {"heart_rate_per_min": 130, "systolic_mmhg": 70, "respiratory_rate_per_min": 28, "spo2_percent": 91, "gcs": 9,
				"output": "regained", "output_lost_at": "2031-03-14T21:31:00Z", "output_regained_at": "2031-03-14T21:37:00Z"},
			"treatment": {"given": ["chest_opened", "intubated"], "blood_units": 2}}}`
	question := []string{"--scene", "45 31.2N 29 24.6W", "--at", "2031-03-14T21:40:00Z", "--landing", "impossible", "--age", "34"}
	asked := append(append([]string{"pre-alert", "--json", "--message-at", "2031-03-14T21:41:00Z"}, question...), picture...)
	flags := call(t, "", append(asked, "--option", "road:amb-12:ossuvaune-general")...)
	require.Equal(t, exitOK, flags.code, flags.errors)
	assert.Equal(t, flags, call(t, request, "pre-alert", "--json", "--request", "-"))

	options := call(t, "", append([]string{"options", "--json"}, question...)...)
	require.Equal(t, exitOK, options.code, options.errors)
	var answer struct {
		Options []struct {
			ID string `json:"id"`
		} `json:"options"`
	}
	require.NoError(t, json.Unmarshal([]byte(options.out), &answer))
	first := call(t, "", asked...)
	require.Equal(t, exitOK, first.code, first.errors)
	assert.Equal(t, first, call(t, "", append(asked, "--option", answer.Options[0].ID)...))
}

// Faults are named by the flags they belong to, all at once, and an option that
// the question does not give with those that it does.
func TestPreAlertFaults(t *testing.T) {
	got := call(t, "", "pre-alert", "--scenario", "harbour-stabbing", "--mechanism", "stabb", "--injury", "chest_left", "--injury", "A. Nobody",
		"--systolic", "700", "--output", "regained", "--lost-at", "2031-03-14T21:31:00Z", "--regained-at", "2031-03-14T21:30:00Z")
	assert.Equal(t, exitUsage, got.code)
	for _, says := range []string{`--mechanism: "mechanism" must be one of`, `did you mean "stab"?`, "--injury: ", "--systolic: ", "--regained-at: is before output was lost"} {
		assert.Contains(t, got.errors, says)
	}
	got = call(t, "", "pre-alert", "--scenario", "harbour-stabbing", "--option", "road:nobody")
	assert.Equal(t, exitUsage, got.code)
	assert.Contains(t, got.errors, `--option: the question gives no option "road:nobody": choose one of road:amb-11+car-1:ossuvaune-general, `)
	got = call(t, "", "pre-alert", "--scenario", "harbour-stabbing", "--gcs", "NaN")
	assert.Equal(t, exitUsage, got.code)
	assert.Contains(t, got.errors, "--gcs: must be a number")
	for _, request := range []string{`{"scene": {"position": [-29.41, 45.52]}, "clinical": {"name": "A. Nobody"}}`, `[]`, `{"scene":`, ``} {
		got = call(t, request, "pre-alert", "--request", "-")
		assert.Equal(t, exitFailed, got.code, request)
		assert.NotContains(t, got.errors, theFirst)
	}
}

// Every scenario has a message for each end of its list, which is short, then
// calls, then the caution.
func TestPreAlertOfEveryScenario(t *testing.T) {
	for _, name := range []string{"village-child", "cliff-path", "hospital-transfer", "far-island", "woods-by-night", "not-the-nearest"} {
		got := call(t, "", "pre-alert", "--width", "200", "--scenario", name)
		require.Equal(t, exitOK, got.code, got.errors)
		message := strings.Index(got.out, "\n  Pre-alert. Age ")
		calls := strings.Index(got.out, "\nCalls, ")
		caution := strings.Index(got.out, routing.Caution)
		assert.Positive(t, message, name)
		assert.Less(t, message, calls, name)
		assert.Less(t, calls, caution, name)
		assert.LessOrEqual(t, len(strings.Fields(got.out[message:calls])), 75, name)
		assert.Contains(t, got.out, "DEMONSTRATION")
	}
}
