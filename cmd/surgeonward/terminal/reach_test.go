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

// reachPage is an answer by hand: one that is in time, one that is not, one
// that cannot come, and one that cannot open the chest.
func reachPage() terminal.ReachPage {
	after := func(s float64) time.Time { return at.Add(time.Duration(s * float64(time.Second))) }
	team := func(name string, s, marginS, chance float64) routing.ReachTeam {
		return routing.ReachTeam{Asset: name, Name: name, Arrives: facilities.Timing{TypicalS: s, SlowS: 2 * s},
			WithPatient: after(s), WithPatientSlow: after(2 * s), Open: after(s + 120), OpenSlow: after(2*s + 180),
			MarginS: marginS, MarginSlowS: marginS - 60, InWindow: marginS >= 0, InWindowIfSlow: marginS >= 60, Chance: chance, Sentence: name + " comes."}
	}
	none := team("Tern 2", 0, 0, 0)
	none.Reasons, none.Sentence = []routing.Reason{{Code: routing.ReasonOffDuty, Detail: "no crew"}}, "Tern 2 cannot come: no crew."
	first := team("Quay Response 1", 240.2, 59.999, 0.9999)
	first.Cautions = []string{"the road is steep"}
	return terminal.ReachPage{Region: "Quovarel Islands", Demonstration: true, Zone: zone, Answer: &routing.Reach{
		At: at, OutputLostAt: at, Closes: after(600), Skill: "thoracotomy", Headline: "quay Response 1 is first",
		Window:    routing.Window{ID: "common_practice", What: "ten minutes", LimitS: 600, Source: "assumption"},
		OpenChest: routing.Allowance{Timing: facilities.Timing{TypicalS: 120, SlowS: 180}},
		Cautions:  []string{"no carry is stated"}, Weather: stations(),
		Teams:  []routing.ReachTeam{first, team("Tern 1", 600, -119.5, 0.21), none},
		Others: []routing.ReachTeam{team("Quay Ambulance 3", 60, 0, 0)},
	}}
}

func reachPrinted(t *testing.T, p terminal.ReachPage, s terminal.Style) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, terminal.WriteReach(&out, p, s))
	return out.String()
}

// Times are rounded up and margins down, each to the second. Source: definition.
func TestReachTable(t *testing.T) {
	out := reachPrinted(t, reachPage(), terminal.Style{})
	for _, line := range []string{
		"Quay Response 1           19:44:01 19:48:01 19:46:01 19:51:01     0:59 over 99 %",
		"Tern 1                    19:50:00 20:00:00 19:52:00 20:03:00    -2:00      21 %",
		"Quay Ambulance 3          19:41:00 19:42:00",
		"Quay Response 1 is first.",
		"Note on Quay Response 1: the road is steep",
		"1 team cannot come. Every reason: --all",
	} {
		assert.Contains(t, out, "\n"+line+"\n")
	}
	assert.Contains(t, out, "DEMONSTRATION")
	assert.Contains(t, reachPrinted(t, reachPage(), terminal.Style{AllPairs: true}), "\nTern 2 cannot come: no crew.\n")
	assert.Contains(t, reachPrinted(t, reachPage(), terminal.Style{Width: 60}), "\n  Quay Response 1 comes.\n")
}

// Source: definition, as in TestFits and TestHostileNames.
func TestReachFits(t *testing.T) {
	evil := "A\x1b[2J\u202eB\r\nC" + strings.Repeat("x", 500)
	p := reachPage()
	p.Answer.Teams[0].Name, p.Answer.Teams[0].Sentence, p.Answer.Headline, p.Answer.Window.What, p.Region = evil, evil, evil, evil, evil
	p.Answer.Teams[0].Cautions, p.Answer.Skill = []string{evil}, evil
	for _, cols := range []int{40, 60, 79, 80, 81, 120, 200} {
		out := reachPrinted(t, p, terminal.Style{Width: cols, Unicode: true, AllPairs: true})
		for line := range strings.Lines(out) {
			line = strings.TrimSuffix(line, "\n")
			assert.LessOrEqual(t, utf8.RuneCountInString(line), cols, line)
		}
		for _, bad := range []string{"\x1b", "\u202e", "\r"} {
			assert.NotContains(t, out, bad)
		}
	}
	p.Answer.Teams, p.Answer.Others, p.Answer.Headline, p.Zone = nil, nil, "", nil
	assert.NotContains(t, reachPrinted(t, p, terminal.Style{}), "if slow  ")
}
