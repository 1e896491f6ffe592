package terminal_test

import (
	"bytes"
	"flag"
	"fmt"
	"math"
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
	"surgeonward/geo"
	"surgeonward/geo/wind"
	"surgeonward/routing"
	weather "surgeonward/routing/flight"
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

// byMeeting is a way out with three vehicles: the aircraft waits for the
// ambulance, and a response car's team rides along.
func byMeeting() routing.Plan {
	const v, p, h = routing.LaneVehicle, routing.LanePatient, routing.LaneHospital
	return routing.Plan{
		step("mobilise", routing.KindMobilise, v, "amb-3", 0, 2, 8, "allowance: regional default"),
		step("escort_mobilise", routing.KindMobilise, v, "car-1", 0, 2, 4, "allowance: regional default"),
		step("meeting_mobilise", routing.KindMobilise, v, "heli-1", 0, 6, 10, "allowance: regional default"),
		step("package", routing.KindPackage, p, "", 0, 20, 0, "given in the question"),
		step("pre_alert", routing.KindPreAlert, h, "", 0, 2, 50, "allowance: regional default"),
		step("travel_to_scene", routing.KindTravel, v, "amb-3", 2, 12, 8, "road 8.0 km"),
		step("escort_travel_to_scene", routing.KindTravel, v, "car-1", 2, 16, 4, "road 9.1 km"),
		step("theatre", routing.KindTheatre, h, "", 2, 22, 50, "allowance: regional default"),
		flight(step("meeting_travel_to_scene", routing.KindTravel, v, "heli-1", 6, 20, 10, "great circle 30.0 km at 135 kt, head wind 23 kt, drift 9° left")),
		step("load", routing.KindLoad, p, "amb-3", 20, 22, 0, "allowance: regional default"),
		step("wait_after_meeting_travel_to_scene", routing.KindWait, v, "heli-1", 20, 30, 10, "waits for patient and vehicle to be together"),
		step("travel_to_meeting", routing.KindTravel, p, "amb-3", 22, 30, 0, "road 5.2 km"),
		step("meeting_load", routing.KindLoad, p, "heli-1", 30, 35, 0, "allowance: regional default"),
		flight(step("travel_to_hospital", routing.KindTravel, p, "heli-1", 35, 60, 0, "great circle 61.4 km at 135 kt, tail wind 20 kt")),
		step("shuttle", routing.KindShuttle, h, "", 2, 12, 50, "allowance: regional default"),
		step("unload", routing.KindUnload, p, "heli-1", 60, 62, 0, "allowance: regional default"),
		step("handover", routing.KindHandover, p, "", 62, 72, 0, "allowance: regional default"),
		step("with_surgeon", routing.KindSurgeon, h, "", 72, 72, 0, "patient handed over, surgeon and theatre ready"),
	}
}

// stations are a station that says all, one that says little and one that says
// nothing.
func stations() []routing.StationWeather {
	nan := math.NaN()
	return []routing.StationWeather{
		{Code: "QQAA", SceneM: 61_000, Age: 20 * time.Minute, Sky: weather.Sky{CeilingM: 335.28, VisibilityM: 5000},
			Wind: &wind.Wind{FromDeg: 260, SpeedMS: 36 * geo.Knot, GustMS: 52 * geo.Knot}, Forecast: true},
		{Code: "QQBB", SceneM: 4_200, Age: 50 * time.Minute, Sky: weather.Sky{CeilingM: 1500, VisibilityM: 10_000}, Wind: &wind.Wind{SpeedMS: 2 * geo.Knot}, Variable: true},
		{Code: "QQCC", SceneM: 112_000, Age: -1, Sky: weather.Sky{CeilingM: nan, VisibilityM: nan}},
		{Code: "QQDD", SceneM: 113_000, Age: 0, Sky: weather.Sky{CeilingM: 0, VisibilityM: nan, VisibilityUnderM: 400}, Wind: &wind.Wind{}},
	}
}

// until are deadlines of the first way out: two that the second overtakes, two
// that a way beyond the list does, out of order.
func until() []routing.Deadline {
	late := func(id string, minutes float64, start, overtaker, instead string) routing.Deadline {
		return routing.Deadline{Activity: id, LatestStart: at.Add(time.Duration(minutes * float64(time.Minute))), Overtaker: overtaker, Start: start, Instead: instead}
	}
	const road, beyond = "Quay Ambulance 3 takes the patient by road to Ossuvaune General Hospital", "Tern 2 flies the patient to Thøquimel"
	return []routing.Deadline{
		late("mobilise", 26.9, "the call to Tern 1", "road:amb-3:h-1", road),
		late("package", 151, "making the patient ready", "air:heli-2:h-2", beyond),
		late("travel_to_scene", 32.9, "lift-off of Tern 1", "road:amb-3:h-1", road),
		late("carry", 273, "the carry", "air:heli-2:h-2", beyond),
	}
}

// sensitivity is what the first way out hangs on, with what changes nothing.
func sensitivity() []routing.Sensitivity {
	slow := func(what string, changeS float64, first string) routing.Sensitivity {
		return routing.Sensitivity{What: what, TotalS: 46*60 + changeS, ChangeS: changeS, First: first}
	}
	const first = "air:heli-1:h-1"
	return []routing.Sensitivity{
		slow("slow: mobilisation, Tern 1", 600, first),
		slow("slow: the surgeon's call-in, Ossuvaune General Hospital", 300, "road:amb-3:h-1"),
		slow("slow: handover, Ossuvaune General Hospital", 30, "air:heli-2:h-2"),
		slow("slow: the carry", 29, first),
		slow("head wind 8 kt stronger on every flight", 20, first),
		slow("roads 10 % longer", 0, first),
		slow("slow: the roads", 0, first),
	}
}

// page is an answer by hand: three ways out of four, and three that are none.
func page() terminal.Page {
	ceilingM := 365.76
	hospital := &facilities.Facility{ID: "h-1", Name: "Ossuvaune General Hospital", Zone: zone}
	names := map[string]string{"heli-1": "Tern 1", "amb-3": "Quay Ambulance 3", "heli-2": "Tern 2", "car-1": "Quay Response 1", "h-1": hospital.Name, "h-2": "Thøquimel"}
	name := func(id string) string { return names[id] }
	return terminal.Page{
		Given:  weather.Given{CeilingM: &ceilingM},
		Region: "Quovarel Islands", Demonstration: true, Zone: zone, Asset: name, Facility: name,
		Answer: &routing.Answer{
			At: at, Night: true, Found: 4, Sampled: 4, QuickestOther: 0.003, Weather: stations(),
			Scene: routing.Scene{Position: orb.Point{-29.41, 45.52}, Format: "decimal degrees", UncertaintyM: 79},
			Options: []routing.Option{
				{Rank: 1, ID: "air:heli-1:h-1", Shape: routing.ByAir, Destination: hospital, Assets: []string{"heli-1", "amb-3"}, Plan: byAir(),
					Total: facilities.Timing{TypicalS: 46 * 60, SlowS: 59 * 60}, Spread: routing.Spread{P10S: 39 * 60, P50S: 48 * 60, P90S: 59 * 60, Quickest: 0.9}, HeldUpBy: "Tern 1 reaching the scene",
					Sentence:   "Tern 1 flies the patient to Ossuvaune General Hospital: with the surgeon in 46 min, 59 min if slow; held up by Tern 1 reaching the scene.",
					LeaveScene: at.Add(22 * time.Minute), WithSurgeon: at.Add(46 * time.Minute),
					Cautions: []string{"landing at the scene is not confirmed"}},
				{Rank: 2, ID: "road:amb-3:h-1", Shape: routing.ByRoad, Destination: hospital, Assets: []string{"amb-3"}, Plan: byRoad(),
					Total: facilities.Timing{TypicalS: 72 * 60, SlowS: 90 * 60}, Spread: routing.Spread{P10S: 60 * 60, P50S: 73 * 60, P90S: 90 * 60, Quickest: 0.096}, HeldUpBy: "the patient's way",
					LeaveScene: at.Add(12 * time.Minute), WithSurgeon: at.Add(72 * time.Minute)},
				{Rank: 3, Shape: routing.Rendezvous, Destination: hospital, Assets: []string{"amb-3", "car-1", "heli-1"}, Plan: byMeeting(),
					Total: facilities.Timing{TypicalS: 72 * 60, SlowS: 95 * 60}, Spread: routing.Spread{P10S: 61 * 60, P50S: 74 * 60, P90S: 95 * 60, Quickest: 0.001}, HeldUpBy: "the patient being made ready and carried",
					LeaveScene: at.Add(22 * time.Minute), WithSurgeon: at.Add(72 * time.Minute),
					Cautions: []string{"near minima: ceiling 1100 ft, visibility 5000 m at landing"}},
			},
			Until: until(), DecideBy: &until()[0],
			RunnerUp: &routing.RunnerUp{Option: "road:amb-3:h-1", NeedsS: 26 * 60, Activities: []string{"travel_to_hospital"},
				Sentence: "Quay Ambulance 3 takes the patient by road to Ossuvaune General Hospital: 26 min behind, which could come from the drive with the patient",
				Gap:      "26 min behind, which could come from the drive with the patient"},
			Sensitivity: sensitivity(),
			NotPossible: []routing.NotPossible{
				{Asset: "heli-2", Destination: "h-1", Shape: routing.ByAir, Reasons: []routing.Reason{
					{Code: routing.ReasonNoNightFlying, Detail: "night at lift-off, 19:46, and the crew does not fly by night"}}},
				{Asset: "heli-2", Destination: "h-2", Shape: routing.ByAir, Reasons: []routing.Reason{
					{Code: routing.ReasonNoNightFlying, Detail: "night at lift-off, 19:46, and the crew does not fly by night"},
					{Code: routing.ReasonNoPad, Detail: "Thøquimel has no pad"}}},
				{Asset: "heli-2", Destination: "h-1", Shape: routing.SurgeonTravels, Reasons: []routing.Reason{
					{Code: routing.ReasonNoSeats, Detail: "a surgical team needs 2 seats, Tern 2 has 0"}}},
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

// What is said of the draws. Source: definition; 0.001 + 0.003 is under 1 %.
func TestSpread(t *testing.T) {
	p := page()
	out := flat(t, p)
	assert.Contains(t, out, "Chance to be the quickest: 1. 90 %, 2. 10 %, any other under 1 %")
	assert.Contains(t, out, "Range of 1: 39 to 59 min (1 in 10 is quicker, 1 in 10 slower) Latest")
	within := 0.998
	p.TargetS, p.Answer.Options[0].Spread.Within = 3600, &within
	assert.Contains(t, flat(t, p), "1 in 10 slower); within 60 min: over 99 %")
	p.Answer.Options, p.Answer.QuickestOther = p.Answer.Options[:1], 0
	p.Answer.Options[0].Spread.Quickest = 1
	assert.Contains(t, flat(t, p), "Chance to be the quickest: 1. 100 % Range")
}

func TestNothingPossible(t *testing.T) {
	p := page()
	p.Answer.Options = nil
	out := printed(t, p, terminal.Style{})
	assert.Contains(t, out, "No way out was found.")
	assert.Contains(t, out, "Not possible: 3 ways")
	assert.Contains(t, out, "DEMONSTRATION")
	assert.NotContains(t, out, "with surgeon")
}

func TestRealRegionIsNoDemonstration(t *testing.T) {
	p := page()
	p.Demonstration = false
	out := printed(t, p, terminal.Style{})
	assert.NotContains(t, strings.ToUpper(out), "DEMONSTRATION")
	assert.Contains(t, out, "Region: Quovarel Islands.")
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
	p.Answer.Weather[0].Code = evil
	for i := range p.Answer.Until {
		p.Answer.Until[i].Start, p.Answer.Until[i].Instead = evil, evil
	}
	p.Answer.DecideBy.Start, p.Answer.DecideBy.Instead = evil, evil
	p.Answer.RunnerUp.Gap = evil
	p.Answer.Sensitivity[0].What = evil
	p.Happened = []routing.Fact{{Asset: "heli-1", Event: routing.Event(evil), At: at}}
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

// Each vehicle has a lane of its own, by name; a name too long for its label
// keeps the word that tells it from others. Source: definition.
func TestLaneOfEachVehicle(t *testing.T) {
	p := page()
	p.Answer.Options = p.Answer.Options[2:]
	out := printed(t, p, terminal.Style{Width: 80, Unicode: true})
	for _, label := range []string{"Quay Ambulance 3 a", "Quay Response 1  b", "Tern 1           c", "patient          d", "hospital         e"} {
		assert.Contains(t, out, "\n"+label)
	}
	assert.Contains(t, out, "fly to meeting: Tern 1")
	assert.Contains(t, out, "9° left")
	assert.Contains(t, printed(t, p, terminal.Style{Width: 120}), "drift 9 deg left")
	assert.Contains(t, out, "drive patient to")
	narrow := printed(t, p, terminal.Style{Width: 48})
	assert.Contains(t, narrow, "\nQuay Ambu 3 a")
	p.Asset = func(string) string { return "Quayambulancenumber3" }
	assert.Contains(t, printed(t, p, terminal.Style{Width: 48}), "\nQuayambulan a")
}

// What the weather table says of what is not known, and of what reports do not
// count beyond. Source: definition; 335.28 m are 1100 ft.
func TestWeather(t *testing.T) {
	wide := printed(t, page(), terminal.Style{Width: 80})
	for _, row := range []string{
		"Weather as given in the question, everywhere: ceiling 1200 ft.",
		"Weather     away      age      ceiling visibility  wind",
		"QQBB        4 km   50 min over 4900 ft     10 km+  variable/2 kt",
		"QQAA       61 km   20 min      1100 ft     5000 m  260/36G52 kt, forecast",
		"QQCC      112 km  no news    not known  not known  not known",
		"QQDD      113 km    0 min         0 ft     <400 m  calm",
	} {
		assert.Contains(t, wide, row+"\n")
	}
	assert.NotContains(t, wide, "NaN")
	narrow := strings.Join(strings.Fields(printed(t, page(), terminal.Style{Width: 60})), " ")
	assert.Contains(t, narrow, "Weather QQAA, 61 km away, age 20 min: ceiling 1100 ft, visibility 5000 m, wind 260/36G52 kt, forecast.")
	p := page()
	p.Given, p.Answer.Weather = weather.Given{}, nil
	assert.NotContains(t, printed(t, p, terminal.Style{}), "Weather")
	p.Given.Wind = &wind.Wind{SpeedMS: 10 * geo.Knot}
	assert.Contains(t, printed(t, p, terminal.Style{}), "wind 000/10 kt", "a direction that was stated")
}

// What is done by a team that travels has a lane of its own.
func TestLaneOfTheTeam(t *testing.T) {
	p := page()
	p.Answer.Options = p.Answer.Options[:1]
	o := &p.Answer.Options[0]
	o.Shape = routing.SurgeonTravels
	o.Plan = append(o.Plan, step("team_ready", routing.KindTeam, routing.LaneHospital, "", 2, 12, 1, ""),
		step("wait_after_team_ready", routing.KindWait, routing.LaneHospital, "", 12, 14, 1, ""))
	out := printed(t, p, terminal.Style{Width: 80})
	assert.Contains(t, out, "\nteam        p")
	assert.Contains(t, out, "p team gets ready")
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
