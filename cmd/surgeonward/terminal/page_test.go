package terminal_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities"
	"surgeonward/routing"
)

var update = flag.Bool("update", false, "rewrite the golden files")

var at = time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)

// zone is two hours behind UTC, as the invented regions of the tests are.
var zone = time.FixedZone("-02", -2*3600)

// step is one activity by hand: minutes, who does it, what for.
func step(id string, kind routing.ActivityKind, lane routing.Lane, asset string, start, end, slack float64, basis string) routing.Scheduled {
	return routing.Scheduled{
		Activity: routing.Activity{ID: id, Kind: kind, Lane: lane, Asset: asset, Basis: basis,
			Timing: facilities.Fixed((end - start) * 60)},
		StartS: start * 60, EndS: end * 60, SlackS: slack * 60, Critical: slack == 0,
	}
}

func flight(s routing.Scheduled) routing.Scheduled { s.ByAir = true; return s }

// byAir is a way out in which the patient waits for the aircraft.
func byAir() routing.Plan {
	const v, p, h = routing.LaneVehicle, routing.LanePatient, routing.LaneHospital
	return routing.Plan{
		step("mobilise", routing.KindMobilise, v, "heli-1", 0, 6, 0, "allowance: regional default"),
		step("package", routing.KindPackage, p, "", 0, 10, 8.5, "allowance: regional default"),
		step("pre_alert", routing.KindPreAlert, h, "", 0, 2, 14, "allowance: regional default"),
		step("call_in", routing.KindCallIn, h, "", 2, 32, 14, "the facility's own figure for the call-in by night"),
		step("theatre", routing.KindTheatre, h, "", 2, 22, 24, "allowance: regional default"),
		flight(step("travel_to_scene", routing.KindTravel, v, "heli-1", 6, 18.5, 0, "great circle 42.3 km at 135 kt, lift-off 1 min, approach and landing 2 min")),
		step("carry", routing.KindCarry, p, "", 10, 12, 6.5, "allowance: regional default"),
		step("wait_after_carry", routing.KindWait, p, "", 12, 18.5, 6.5, "waits for patient and vehicle to be together"),
		step("load", routing.KindLoad, p, "heli-1", 18.5, 22, 0, "allowance: regional default"),
		flight(step("travel_to_hospital", routing.KindTravel, p, "heli-1", 22, 39, 0, "great circle 61.4 km at 135 kt, lift-off 1 min, approach and landing 2 min")),
		step("wait_after_call_in", routing.KindWait, h, "", 32, 46, 14, "waits for patient and surgeon to be together"),
		step("unload", routing.KindUnload, p, "heli-1", 39, 41, 0, "allowance: regional default"),
		step("pad_to_door", routing.KindPadToDoor, p, "", 41, 43, 0, "the facility's own figure for pad to door"),
		step("handover", routing.KindHandover, p, "", 43, 46, 0, "allowance: regional default"),
		step("with_surgeon", routing.KindSurgeon, h, "", 46, 46, 0, "patient handed over, surgeon and theatre ready"),
	}
}

func byRoad() routing.Plan {
	const v, p, h = routing.LaneVehicle, routing.LanePatient, routing.LaneHospital
	return routing.Plan{
		step("package", routing.KindPackage, p, "", 0, 10, 0, "allowance: regional default"),
		step("call_in", routing.KindCallIn, h, "", 0, 30, 42, "the facility's own figure"),
		step("load", routing.KindLoad, p, "amb-3", 10, 12, 0, "allowance: regional default"),
		step("travel_to_hospital", routing.KindTravel, p, "amb-3", 12, 67, 0, "great circle 48.0 km x 1.30"),
		step("unload", routing.KindUnload, p, "amb-3", 67, 69, 0, "allowance: regional default"),
		step("handover", routing.KindHandover, p, "", 69, 72, 0, "allowance: regional default"),
		step("with_surgeon", routing.KindSurgeon, h, "", 72, 72, 0, "patient handed over, surgeon and theatre ready"),
	}
}

// page is an answer by hand: two ways out of three, and two impossible pairs.
func page() terminal.Page {
	hospital := &facilities.Facility{ID: "h-1", Name: "Brandholm General Hospital", Zone: zone}
	names := map[string]string{"heli-1": "Tern 1", "amb-3": "Quay Ambulance 3", "heli-2": "Tern 2", "h-1": hospital.Name, "h-2": "Nørrevik"}
	name := func(id string) string { return names[id] }
	return terminal.Page{
		Region: "The Skerries", Demonstration: true, Zone: zone, Asset: name, Facility: name,
		Answer: &routing.Answer{
			At: at, Night: true, Found: 3,
			Scene: routing.Scene{Position: orb.Point{-29.41, 45.52}, Format: "decimal degrees", UncertaintyM: 79},
			Options: []routing.Option{
				{Rank: 1, Shape: routing.ByAir, Destination: hospital, Assets: []string{"heli-1", "amb-3"}, Plan: byAir(),
					Total: facilities.Timing{TypicalS: 46 * 60, SlowS: 59 * 60}, HeldUpBy: "Tern 1 reaching the scene",
					Sentence:   "Tern 1 flies the patient to Brandholm General Hospital: with the surgeon in 46 min, 59 min if slow; held up by Tern 1 reaching the scene.",
					LeaveScene: at.Add(22 * time.Minute), WithSurgeon: at.Add(46 * time.Minute),
					Cautions: []string{"landing at the scene is not confirmed"}},
				{Rank: 2, Shape: routing.ByRoad, Destination: hospital, Assets: []string{"amb-3"}, Plan: byRoad(),
					Total: facilities.Timing{TypicalS: 72 * 60, SlowS: 90 * 60}, HeldUpBy: "the patient's way",
					LeaveScene: at.Add(12 * time.Minute), WithSurgeon: at.Add(72 * time.Minute)},
			},
			NotPossible: []routing.NotPossible{
				{Asset: "heli-2", Destination: "h-1", Shape: routing.ByAir, Reasons: []routing.Reason{
					{Code: routing.ReasonNoNightFlying, Detail: "night at lift-off, 19:46, and the crew does not fly by night"}}},
				{Asset: "heli-2", Destination: "h-2", Shape: routing.ByAir, Reasons: []routing.Reason{
					{Code: routing.ReasonNoNightFlying, Detail: "night at lift-off, 19:46, and the crew does not fly by night"},
					{Code: routing.ReasonNoPad, Detail: "Nørrevik has no pad"}}},
			},
		},
	}
}

func printed(t *testing.T, p terminal.Page, s terminal.Style) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, terminal.Write(&out, p, s))
	return out.String()
}

func TestGolden(t *testing.T) {
	for _, tc := range []struct {
		name  string
		style terminal.Style
	}{
		{"60-ascii", terminal.Style{Width: 60}},
		{"80-ascii", terminal.Style{Width: 80}},
		{"80-unicode", terminal.Style{Width: 80, Unicode: true}},
		{"120-unicode-all", terminal.Style{Width: 120, Unicode: true, AllLanes: true, AllPairs: true}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := printed(t, page(), tc.style)
			file := "testdata/" + tc.name + ".golden.txt"
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(want), got)
		})
	}
}

// Source: definition. No line is wider than asked for; ASCII means ASCII.
func TestFits(t *testing.T) {
	widths := []int{40, 41, 42, 43, 50, 60, 66, 67, 68, 69, 70, 71, 72, 79, 80, 81, 99, 100, 112, 120, 121, 160, 199, 200}
	for _, cols := range widths {
		for _, unicode := range []bool{false, true} {
			s := terminal.Style{Width: cols, Unicode: unicode, AllLanes: true, AllPairs: cols%2 == 0}
			for line := range strings.Lines(printed(t, page(), s)) {
				line = strings.TrimSuffix(line, "\n")
				assert.LessOrEqual(t, utf8.RuneCountInString(line), cols, line)
				assert.Equal(t, strings.TrimRight(line, " "), line, "no blanks at the end")
				if !unicode {
					assert.Len(t, line, utf8.RuneCountInString(line), line)
				}
			}
		}
	}
}

func TestNothingPossible(t *testing.T) {
	p := page()
	p.Answer.Options = nil
	out := printed(t, p, terminal.Style{})
	assert.Contains(t, out, "No way out was found.")
	assert.Contains(t, out, "Not possible: 2 pairs")
	assert.Contains(t, out, "DEMONSTRATION")
	assert.NotContains(t, out, "with surgeon")
}

func TestRealRegionIsNoDemonstration(t *testing.T) {
	p := page()
	p.Demonstration = false
	out := printed(t, p, terminal.Style{})
	assert.NotContains(t, strings.ToUpper(out), "DEMONSTRATION")
	assert.Contains(t, out, "Region: The Skerries.")
}

// A name from a file must not move the cursor, recolour the screen, reverse
// the reading order or break the table.
func TestHostileNames(t *testing.T) {
	evil := "A\x1b[2J\u202eB\r\nC\x07\u200bD\u0085E\xffF" + strings.Repeat("\u0301", 500) + strings.Repeat("x", 5000)
	p := page()
	p.Region = evil
	p.Asset = func(string) string { return evil }
	p.Facility = func(string) string { return evil }
	o := &p.Answer.Options[0]
	d := *o.Destination
	d.Name = evil
	o.Destination, o.Sentence, o.HeldUpBy, o.Cautions = &d, evil, evil, []string{evil}
	o.Plan[0].Basis = evil
	p.Answer.NotPossible[0].Reasons[0] = routing.Reason{Code: routing.ReasonCode(evil), Detail: evil}
	p.Answer.Scene.Format = evil
	p.Answer.Cautions = []string{evil}
	for _, unicode := range []bool{false, true} {
		out := printed(t, p, terminal.Style{Unicode: unicode, AllLanes: true, AllPairs: true})
		assert.True(t, utf8.ValidString(out))
		for _, bad := range []string{"\x1b", "\u202e", "\r", "\x07", "\u200b", "\u0085", strings.Repeat("\u0301", 5)} {
			assert.NotContains(t, out, bad, fmt.Sprintf("%q", bad))
		}
	}
}

// More activities than there are keys, all at once, some without length.
func TestCrowdedChart(t *testing.T) {
	p := page()
	var plan routing.Plan
	for i := range 80 {
		plan = append(plan, step(fmt.Sprint("s", i), routing.KindWait, routing.LaneVehicle, "", float64(i)/10, float64(i)/10+0.01, 0, ""))
	}
	p.Answer.Options[0].Plan = plan
	assert.NotEmpty(t, printed(t, p, terminal.Style{}))
	p.Answer.Options[0].Plan = nil
	assert.NotEmpty(t, printed(t, p, terminal.Style{}))
}

func TestSpeaksUTF8(t *testing.T) {
	for _, tc := range []struct {
		name, source string
		env          map[string]string
		want         bool
	}{
		{"nothing set", "POSIX 8.2: the default locale is implementation-defined, C here", nil, false},
		{"LANG", "POSIX 8.2", map[string]string{"LANG": "da_DK.UTF-8"}, true},
		{"other spelling", "common practice: glibc takes both", map[string]string{"LANG": "C.utf8"}, true},
		{"plain C", "POSIX 8.2", map[string]string{"LANG": "C"}, false},
		{"LC_ALL wins", "POSIX 8.2", map[string]string{"LANG": "da_DK.UTF-8", "LC_ALL": "C"}, false},
		{"LC_CTYPE before LANG", "POSIX 8.2", map[string]string{"LANG": "C", "LC_CTYPE": "C.UTF-8"}, true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			assert.Equal(t, tc.want, terminal.SpeaksUTF8(func(k string) string { return tc.env[k] }), tc.source)
		})
	}
}
