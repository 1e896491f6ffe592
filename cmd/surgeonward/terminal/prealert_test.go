package terminal_test

import (
	"bytes"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities"
	"surgeonward/routing"
)

// alertPage is an alert by hand.
func alertPage() terminal.PreAlertPage {
	return terminal.PreAlertPage{Region: "Quovarel Islands", Notes: []string{"the position was odd"}, Alert: &routing.Alert{
		Answer: routing.Answer{Cautions: []string{"no weather was given"}},
		Option: routing.Option{ID: "road:amb-1:h", Sentence: "quay Ambulance 1 takes the patient by road."},
		Message: routing.Message{Destination: &facilities.Facility{Name: "Quay Hospital"}, At: at, Zone: zone, Text: "Pre-alert. Age 34 years.",
			LeftOut: 1, Cautions: []string{"check the clocks"},
			Sections: []routing.Section{{Letter: "T", Title: "treatment", Items: []routing.Item{{Name: "given", Text: "CPR, oxygen", Stated: true}}}}},
		Calls: []routing.Call{{Sentence: "now: call in the surgeon (Quay Hospital)"}},
	}}
}

func alertPrinted(t *testing.T, p terminal.PreAlertPage, s terminal.Style) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, terminal.WritePreAlert(&out, p, s))
	return out.String()
}

// Source: definition.
func TestPreAlertPage(t *testing.T) {
	want := "Region: Quovarel Islands.\n\nTo Quay Hospital, " + at.In(zone).Format("2006-01-02 15:04 MST") + ". Option road:amb-1:h: Quay Ambulance 1\n" +
		"takes the patient by road.\n\n  Pre-alert. Age 34 years.\n\nAll that was done: CPR, oxygen.\n\n" +
		"Calls, each by when it must be made so that it is not what the patient waits\nfor:\n  now: call in the surgeon (Quay Hospital)\n\n" +
		"Note: the position was odd\nNote: no weather was given\nNote: check the clocks\n" +
		"Advice only: the pilot in command decides on flight, the treating clinician on\nthe patient, and local protocols come first.\n"
	assert.Equal(t, want, alertPrinted(t, alertPage(), terminal.Style{}))
	p := alertPage()
	p.Demonstration = true
	assert.Contains(t, alertPrinted(t, p, terminal.Style{}), "DEMONSTRATION: Quovarel Islands is invented.")
}

// Source: definition, as in TestFits and TestHostileNames.
func TestPreAlertFits(t *testing.T) {
	evil := "A\x1b[2J\u202eB\r\nC" + strings.Repeat("x", 500)
	p := alertPage()
	p.Region, p.Notes, p.Alert.Answer.Cautions, p.Alert.Message.Cautions = evil, []string{evil}, []string{evil}, []string{evil}
	p.Alert.Option.ID, p.Alert.Option.Sentence, p.Alert.Message.Text, p.Alert.Calls[0].Sentence = evil, evil, evil, evil
	p.Alert.Message.Destination.Name, p.Alert.Message.Sections[0].Items[0].Text = evil, evil
	p.Alert.Message.Zone = time.FixedZone(evil, 3600)
	for _, cols := range []int{40, 79, 80, 200} {
		out := alertPrinted(t, p, terminal.Style{Width: cols, Unicode: true})
		for line := range strings.Lines(out) {
			assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), cols, line)
		}
		for _, bad := range []string{"\x1b", "\u202e", "\r"} {
			assert.NotContains(t, out, bad)
		}
	}
	p.Alert = &routing.Alert{}
	assert.Contains(t, alertPrinted(t, p, terminal.Style{}), "To the hospital, ")
	assert.Contains(t, alertPrinted(t, p, terminal.Style{}), "\nNo call is left to make.\n")
}
