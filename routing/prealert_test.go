package routing_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
)

func of(v float64) *float64 { return &v }

func at(hour, minute int) time.Time { return time.Date(2031, 6, 10, hour, minute, 0, 0, time.UTC) }

func fullPicture() routing.Clinical {
	return routing.Clinical{
		AgeYears: of(34), IncidentAt: at(13, 20), Mechanism: "stab", Injuries: []string{"abdomen", "chest_left"},
		Signs: routing.Signs{HeartRatePerMin: of(130), SystolicMmHg: of(70), RespiratoryRatePerMin: of(28), SpO2Percent: of(91), GCS: of(9),
			Output: routing.OutputRegained, OutputLostAt: at(13, 41), OutputRegainedAt: at(13, 49)},
		Treatment: routing.Treatment{Given: []string{"intubated", "chest_opened"}, BloodUnits: of(2)},
	}
}

// everything is a picture with every list full and every time on another day.
func everything() routing.Clinical {
	c := fullPicture()
	c.Injuries, c.Mechanism = routing.InjuryRegions(), "blunt_traffic"
	c.Treatment.Given = slices.DeleteFunc(routing.Treatments(), func(w string) bool { return w == "none" })
	c.Treatment.BloodUnits = of(12.5)
	c.IncidentAt, c.Signs.OutputLostAt, c.Signs.OutputRegainedAt = at(0, 1), at(0, 30), at(0, 45)
	return c
}

// byRoadHome is TestRoadWithTheAmbulanceAtTheScene with a slow packaging of
// 900 s: at the door at 2390 s, 2690 if slow.
func byRoadHome(t testing.TB) (routing.Option, routing.Answer) {
	f := toy().hospital("h", place(0, 30_000)).asset("amb", "ambulance", `"state":"at_scene"`)
	f.allowances["package"] = [2]float64{600, 900}
	ans := ask(t, f.engine(t))
	return ans.Options[0], ans
}

// Source of the expected texts: ATMIST (ukfrs.com): age; time of incident and
// arrival; mechanism; injuries; signs; treatment. Times by hand.
func TestPreAlertByRoad(t *testing.T) {
	o, ans := byRoadHome(t)
	m := routing.PreAlert(o, ans, fullPicture(), noon, nil)
	require.Empty(t, m.Faults)
	assert.WithinDuration(t, noon.Add(2390*time.Second), m.AtDoor, time.Millisecond)
	assert.WithinDuration(t, noon.Add(2690*time.Second), m.AtDoorSlow, time.Millisecond)
	assert.Zero(t, m.Landing)
	// 14:39:50 and 14:44:50: the typical time cut, the slow one rounded up.
	assert.Equal(t, "Pre-alert. Age 34 years. Time, UTC: incident 13:20, ETA 14:39, slow 14:45. Mechanism stab. "+
		"Injuries chest left, abdomen. Signs: heart rate 130, systolic 70, respirations 28, saturation 91, GCS 9, "+
		"output lost 13:41, regained 13:49. Treatment chest opened, intubated, blood 2 units. "+
		"Coming by road: the amb. Advice only; clinician and pilot decide.", m.Text)
	assert.Equal(t, routing.Caution, m.Caution)
	assert.Equal(t, routing.Coming{Vehicle: routing.Named{ID: "amb", Name: "the amb"}}, m.Coming)
	var letters string
	for _, s := range m.Sections {
		letters += s.Letter
	}
	assert.Equal(t, "ATMIST", letters)

	local := routing.PreAlert(o, ans, fullPicture(), noon, time.FixedZone("", -2*3600))
	assert.Contains(t, local.Text, "Time, local: incident 11:20, ETA 12:39, slow 12:45.")
	assert.Equal(t, m, routing.PreAlert(o, ans, fullPicture(), noon, nil), "the same again")
	other := fullPicture()
	slices.Reverse(other.Injuries)
	slices.Reverse(other.Treatment.Given)
	assert.Equal(t, m, routing.PreAlert(o, ans, other, noon, nil), "the order of the lists says nothing")
}

func TestPreAlertByAir(t *testing.T) {
	e := toy().hospital("h", place(0, 60_000)).facility("b", "base", place(180, 30_000), "").
		facility("n", "base", place(90, 5_000), "").asset("car", "response_car", `"base":"n","skills":["physician"]`).
		asset("x", "helicopter", `"base":"b","rotors_turning":true,"escort_seats":1`).engine(t)
	ans := ask(t, e, func(q *routing.Question) { q.Patient.Escort = "physician" })
	m := routing.PreAlert(ans.Options[0], ans, routing.Clinical{}, noon, nil)
	// there at 970, load 180, flight 1110: landing at 2260 s, 14:37:40; unload
	// 110, pad to door 150: at the door at 2520 s, 14:42.
	assert.WithinDuration(t, noon.Add(2260*time.Second), m.Landing, time.Millisecond)
	assert.WithinDuration(t, noon.Add(2520*time.Second), m.AtDoor, time.Millisecond)
	assert.Equal(t, routing.Coming{Vehicle: routing.Named{ID: "x", Name: "the x"}, ByAir: true, Escort: routing.Named{ID: "car", Name: "the car"}}, m.Coming)
	assert.Contains(t, m.Text, "landing 14:37.")
	assert.Contains(t, m.Text, "Coming by air: the x, escort the car.")
}

// What nobody has said is visible in its place, and no number comes from nowhere.
func TestPreAlertEmpty(t *testing.T) {
	o, ans := byRoadHome(t)
	m := routing.PreAlert(o, ans, routing.Clinical{}, noon, nil)
	assert.Equal(t, "Pre-alert. Age not stated. Time, UTC: incident not stated, ETA 14:39, slow 14:45. Mechanism not stated. "+
		"Injuries not stated. Signs: heart rate, systolic, respirations, saturation, GCS, output not stated. Treatment not stated. "+
		"Coming by road: the amb. Advice only; clinician and pilot decide.", m.Text)
	for _, s := range m.Sections {
		for _, i := range s.Items {
			known := i.Name == "arrives_at" || i.Name == "arrives_slow_at"
			assert.Equal(t, known, i.Stated, i.Name)
			assert.Equal(t, !known, i.Text == routing.NotStated, i.Name)
		}
	}
	for name, c := range map[string]struct {
		treatment routing.Treatment
		says      string
	}{
		"nothing done":    {routing.Treatment{Given: []string{"none"}}, "Treatment none, blood not stated."},
		"blood alone":     {routing.Treatment{BloodUnits: of(1.5)}, "Treatment blood 1.5 units, rest not stated."},
		"no blood":        {routing.Treatment{BloodUnits: of(0), Given: []string{"cpr"}}, "Treatment CPR, blood 0 units."},
		"blood not known": {routing.Treatment{Given: []string{"tourniquet"}}, "Treatment tourniquet, blood not stated."},
	} {
		m := routing.PreAlert(o, ans, routing.Clinical{Treatment: c.treatment}, noon, nil)
		assert.Contains(t, m.Text, c.says, name)
	}
	for name, c := range map[string]struct {
		signs routing.Signs
		says  string
	}{
		"present":           {routing.Signs{Output: "present", GCS: of(15)}, "Signs: GCS 15, output present, heart rate, systolic, respirations, saturation not stated."},
		"lost, when?":       {routing.Signs{Output: "lost"}, "output lost not stated,"},
		"lost again":        {routing.Signs{Output: "lost", OutputRegainedAt: at(13, 30), OutputLostAt: at(13, 40)}, "output lost 13:40,"},
		"regained, when?":   {routing.Signs{Output: "regained"}, "output lost not stated, regained not stated,"},
		"known return only": {routing.Signs{Output: "regained", OutputRegainedAt: at(13, 30)}, "output lost not stated, regained 13:30,"},
	} {
		m := routing.PreAlert(o, ans, routing.Clinical{Signs: c.signs}, noon, nil)
		assert.Contains(t, m.Text, c.says, name)
	}
	for years, want := range map[float64]string{0: "0 months", 0.5: "6 months", 1.99: "23 months", 2: "2 years", 34.9: "34 years"} {
		assert.Contains(t, routing.PreAlert(o, ans, routing.Clinical{AgeYears: of(years)}, noon, nil).Text, "Age "+want+".")
	}
}

var digits = regexp.MustCompile(`[0-9]+`)

func TestPreAlertInventsNoNumber(t *testing.T) {
	o, ans := byRoadHome(t)
	known := []string{"34", "13", "20", "14", "39", "45", "130", "70", "28", "91", "9", "41", "49", "2"}
	for _, text := range digits.FindAllString(routing.PreAlert(o, ans, fullPicture(), noon, nil).Text, -1) {
		assert.Contains(t, known, text)
	}
	for _, text := range digits.FindAllString(routing.PreAlert(o, ans, routing.Clinical{}, noon, nil).Text, -1) {
		assert.Contains(t, []string{"14", "39", "45"}, text)
	}
}

// 30 seconds at 150 words a minute are 75 words (common practice, no source).
func TestPreAlertIsShort(t *testing.T) {
	require.Equal(t, 75, routing.RadioWords)
	e := rich(t)
	ans := ask(t, e, func(q *routing.Question) { q.Patient.Escort = "physician" })
	shapes := map[routing.Shape]bool{}
	for _, o := range ans.Options {
		shapes[o.Shape] = true
		for name, c := range map[string]routing.Clinical{"everything": everything(), "nothing": {}, "usual": fullPicture()} {
			// A day later every time needs its date.
			for _, now := range []time.Time{noon, noon.Add(48 * time.Hour)} {
				m := routing.PreAlert(o, ans, c, now, nil)
				assert.LessOrEqual(t, len(strings.Fields(m.Text)), 75, "%s, %s: %s", name, o.ID, m.Text)
				assert.Equal(t, len(strings.Fields(m.Text)), m.Words)
				if name != "everything" {
					assert.Zero(t, m.LeftOut, "%s: %s", name, m.Text)
					continue
				}
				assert.Positive(t, m.LeftOut)
				assert.Contains(t, m.Text, fmt.Sprintf("%d more", m.LeftOut))
				given := m.Sections[5].Items[0].Text
				assert.Equal(t, len(routing.Treatments())-1, len(strings.Split(given, ", ")), "in writing they are all there")
			}
		}
	}
	assert.Len(t, shapes, 6, "every shape was read out")
}

// Names that leave no room give way to ids before any treatment does. Source:
// definition.
func TestPreAlertWithLongNames(t *testing.T) {
	o, ans := byRoadHome(t)
	name := func(words int) routing.Option {
		named := o
		named.Plan = slices.Clone(o.Plan)
		for i := range named.Plan {
			named.Plan[i].AssetName = strings.TrimSpace(strings.Repeat("Tern  ", words))
		}
		return named
	}
	room := 75 - routing.PreAlert(name(1), ans, fullPicture(), noon, nil).Words
	require.Positive(t, room)
	m := routing.PreAlert(name(room+1), ans, fullPicture(), noon, nil)
	assert.Equal(t, 75, m.Words)
	assert.Contains(t, m.Text, "Coming by road: Tern Tern ")
	m = routing.PreAlert(name(room+2), ans, fullPicture(), noon, nil)
	assert.Contains(t, m.Text, "Coming by road: amb.")
	assert.Zero(t, m.LeftOut)
}

// Every sound picture makes a message, which is short and says only what
// it was told.
func TestPreAlertOfAnySoundPicture(t *testing.T) {
	o, ans := byRoadHome(t)
	rapid.Check(t, func(rt *rapid.T) {
		maybe := func(name string, from, to int) *float64 {
			if rapid.Bool().Draw(rt, name+"?") {
				return of(float64(rapid.IntRange(from, to).Draw(rt, name)))
			}
			return nil
		}
		some := func(name string, of []string) []string {
			return rapid.SliceOfNDistinct(rapid.SampledFrom(of), 0, len(of), rapid.ID[string]).Draw(rt, name)
		}
		c := routing.Clinical{
			AgeYears: maybe("age", 0, 130), Mechanism: rapid.SampledFrom(append(routing.Mechanisms(), "")).Draw(rt, "mechanism"),
			Injuries: some("injuries", routing.InjuryRegions()),
			Signs: routing.Signs{HeartRatePerMin: maybe("heart", 0, 300), SystolicMmHg: maybe("systolic", 0, 300),
				RespiratoryRatePerMin: maybe("breaths", 0, 100), SpO2Percent: maybe("spo2", 0, 100), GCS: maybe("gcs", 3, 15)},
			Treatment: routing.Treatment{BloodUnits: maybe("blood", 0, 100), Given: some("given", routing.Treatments()[1:])},
		}
		require.Empty(rt, c.Check())
		m := routing.PreAlert(o, ans, c, noon, nil)
		assert.LessOrEqual(rt, len(strings.Fields(m.Text)), 75, m.Text)
		assert.Equal(rt, c.Signs.GCS != nil, strings.Contains(m.Text, "GCS "+str(c.Signs.GCS)+","), m.Text)
		assert.Equal(rt, c.AgeYears == nil, strings.Contains(m.Text, "Age not stated."))
		assert.Equal(rt, len(c.Injuries) == 0, strings.Contains(m.Text, "Injuries not stated."))
	})
}

func str(v *float64) string {
	if v == nil {
		return "?"
	}
	return num(*v)
}

func TestPreAlertCautions(t *testing.T) {
	o, ans := byRoadHome(t)
	c := routing.Clinical{IncidentAt: at(15, 0)}
	m := routing.PreAlert(o, ans, c, noon, nil)
	assert.Equal(t, []string{"the incident is later than the time of this message: check the clocks"}, m.Cautions)
	m = routing.PreAlert(o, ans, routing.Clinical{}, noon.Add(time.Hour), nil)
	assert.Equal(t, []string{"arrival was worked out 1 h 00 min ago: ask again with what has happened since", "the typical arrival time has passed"}, m.Cautions)
	m = routing.PreAlert(routing.Option{}, routing.Answer{At: noon}, routing.Clinical{}, noon, nil)
	assert.Equal(t, []string{"the option has no arrival time"}, m.Cautions)
	assert.Contains(t, m.Text, "ETA not stated.")
	o.Cautions = []string{"landing at the scene is not confirmed"}
	assert.Equal(t, o.Cautions, routing.PreAlert(o, ans, routing.Clinical{}, noon, nil).Cautions)
}

// Hostile values are refused with the pointer of each, and make no message.
func TestClinicalCheck(t *testing.T) {
	long := strings.Repeat("x", 10_000)
	for _, c := range []struct {
		name, pointer, says string
		picture             routing.Clinical
	}{
		{"not a number", "/age_years", "from 0 to 130", routing.Clinical{AgeYears: of(math.NaN())}},
		{"infinite", "/age_years", "from 0 to 130", routing.Clinical{AgeYears: of(math.Inf(1))}},
		{"a year of birth", "/age_years", "from 0 to 130", routing.Clinical{AgeYears: of(1997)}},
		{"a name", "/mechanism", "unknown word", routing.Clinical{Mechanism: "stabbed by J. Doe"}},
		{"a slip", "/mechanism", `did you mean "gunshot"`, routing.Clinical{Mechanism: "gun-shot"}},
		{"a book", "/mechanism", "unknown word", routing.Clinical{Mechanism: long}},
		{"an unknown region", "/injuries/1", "unknown word", routing.Clinical{Injuries: []string{"head", "left lung"}}},
		{"twice", "/injuries/1", "twice", routing.Clinical{Injuries: []string{"head", "head"}}},
		{"an empty word", "/injuries/0", "is empty", routing.Clinical{Injuries: []string{""}}},
		{"a million words", "/injuries", "at most 8", routing.Clinical{Injuries: make([]string, 1_000_000)}},
		{"heart rate", "/signs/heart_rate_per_min", "from 0 to 300", routing.Clinical{Signs: routing.Signs{HeartRatePerMin: of(301)}}},
		{"half a beat", "/signs/heart_rate_per_min", "whole number", routing.Clinical{Signs: routing.Signs{HeartRatePerMin: of(80.5)}}},
		{"negative pressure", "/signs/systolic_mmhg", "from 0 to 300", routing.Clinical{Signs: routing.Signs{SystolicMmHg: of(-1)}}},
		{"breaths", "/signs/respiratory_rate_per_min", "from 0 to 100", routing.Clinical{Signs: routing.Signs{RespiratoryRatePerMin: of(1e308)}}},
		{"saturation", "/signs/spo2_percent", "from 0 to 100", routing.Clinical{Signs: routing.Signs{SpO2Percent: of(101)}}},
		{"GCS begins at 3", "/signs/gcs", "from 3 to 15", routing.Clinical{Signs: routing.Signs{GCS: of(2)}}},
		{"GCS ends at 15", "/signs/gcs", "from 3 to 15", routing.Clinical{Signs: routing.Signs{GCS: of(16)}}},
		{"output", "/signs/output", "unknown word", routing.Clinical{Signs: routing.Signs{Output: "weak"}}},
		{"times alone", "/signs/output", "beside its times", routing.Clinical{Signs: routing.Signs{OutputLostAt: noon}}},
		{"present and lost", "/signs/output", "not present but regained", routing.Clinical{Signs: routing.Signs{Output: "present", OutputLostAt: noon}}},
		{"lost but regained", "/signs/output", `use "regained"`, routing.Clinical{Signs: routing.Signs{Output: "lost", OutputLostAt: noon, OutputRegainedAt: noon}}},
		{"lost again, when?", "/signs/output_lost_at", "is missing", routing.Clinical{Signs: routing.Signs{Output: "lost", OutputRegainedAt: noon}}},
		{"back before it went", "/signs/output_regained_at", "before output was lost",
			routing.Clinical{Signs: routing.Signs{Output: "regained", OutputLostAt: noon, OutputRegainedAt: noon.Add(-1)}}},
		{"free text", "/treatment/given/0", "unknown word", routing.Clinical{Treatment: routing.Treatment{Given: []string{"told his wife"}}}},
		{"none and more", "/treatment/given", "stands alone", routing.Clinical{Treatment: routing.Treatment{Given: []string{"none", "cpr"}}}},
		{"none but blood", "/treatment/blood_units", "blood was given", routing.Clinical{Treatment: routing.Treatment{Given: []string{"none"}, BloodUnits: of(1)}}},
		{"a third of a unit", "/treatment/blood_units", "multiple of 0.5", routing.Clinical{Treatment: routing.Treatment{BloodUnits: of(1.0 / 3)}}},
		{"a tanker", "/treatment/blood_units", "from 0 to 100", routing.Clinical{Treatment: routing.Treatment{BloodUnits: of(1e9)}}},
	} {
		faults := c.picture.Check()
		require.Len(t, faults, 1, c.name)
		assert.Equal(t, c.pointer, faults[0].Pointer, c.name)
		assert.Contains(t, faults[0].Detail, c.says, c.name)
		assert.Less(t, len(faults[0].Detail), 500, c.name)
		m := routing.PreAlert(routing.Option{}, routing.Answer{}, c.picture, noon, nil)
		assert.Equal(t, routing.Message{At: noon, Faults: faults}, m, c.name)
	}
	all := routing.Clinical{AgeYears: of(-1), Mechanism: "?", Injuries: []string{"?", "?"}, Signs: routing.Signs{GCS: of(0), Output: "?"}}.Check()
	var pointers []string
	for _, f := range all {
		pointers = append(pointers, f.Pointer)
	}
	assert.Equal(t, []string{"/age_years", "/injuries/0", "/injuries/1", "/mechanism", "/signs/gcs", "/signs/output"}, pointers, "all at once, in order")
	assert.Empty(t, routing.Clinical{}.Check())
	assert.Empty(t, everything().Check())
}

// Whatever comes in, there is either a message within its limits or the faults.
func FuzzClinical(f *testing.F) {
	f.Add(34.0, 9.0, 2.0, "stab", "chest_left", "cpr", "lost", int64(0), int64(60))
	f.Add(math.NaN(), math.Inf(1), math.Copysign(0, -1), "", "", "", "", int64(math.MinInt64), int64(math.MaxInt64))
	f.Add(130.0, 15.0, 1e308, "\x00\xff", "chest left", "none", "regained", int64(-1), int64(1))
	o, ans := byRoadHome(f)
	f.Fuzz(func(t *testing.T, age, gcs, units float64, mechanism, injury, given, output string, lost, regained int64) {
		c := routing.Clinical{AgeYears: &age, Mechanism: mechanism, Injuries: []string{injury},
			Signs:     routing.Signs{GCS: &gcs, Output: output, OutputLostAt: time.Unix(lost, 0), OutputRegainedAt: time.Unix(regained, 0)},
			Treatment: routing.Treatment{Given: []string{given}, BloodUnits: &units}}
		m := routing.PreAlert(o, ans, c, noon, nil)
		if faults := c.Check(); len(faults) > 0 {
			assert.Equal(t, faults, m.Faults)
			assert.Empty(t, m.Text)
			assert.True(t, slices.IsSortedFunc(faults, func(a, b strictjson.Fault) int { return strictjson.ComparePointers(a.Pointer, b.Pointer) }))
			return
		}
		assert.LessOrEqual(t, len(strings.Fields(m.Text)), 75)
		assert.Contains(t, routing.Mechanisms(), c.Mechanism)
	})
}
