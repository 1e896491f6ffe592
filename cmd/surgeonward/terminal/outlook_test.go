package terminal_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities"
	"surgeonward/routing"
)

// flat is the page with all its white space as single blanks.
func flat(t *testing.T, p terminal.Page) string {
	t.Helper()
	return strings.Join(strings.Fields(printed(t, p, terminal.Style{})), " ")
}

// What stands under the first way out, and behind the table. Source: definition;
// 21:40 and 26.9 min is 22:06:54, which is 20:06 in the zone of the test, its
// seconds cut off.
func TestOutlook(t *testing.T) {
	out := flat(t, page())
	assert.Contains(t, out, "reaching the scene. Decide by 20:06: the call to Tern 1. Later, rather 2: Quay Ambulance 3 takes the patient by road to Ossuvaune General Hospital. # way")
	assert.Contains(t, out, "Latest starts of 1, and what is quicker after that, its vehicles called at 19:40: "+
		"20:12 lift-off of Tern 1, then 2 22:11 making the patient ready, then Tern 2 flies the patient to Th?quimel "+
		"00:13 +1 the carry, then the same as after 22:11 Runner-up: 2, 26 min behind, which could come from the drive with the patient One thing")
	assert.Equal(t, 1, strings.Count(out, "the call to Tern 1"), "nothing is said twice")

	p := page()
	p.Answer.DecideBy.LatestStart = at.Add(59 * time.Second)
	p.Answer.Options, p.Answer.Until = p.Answer.Options[:1], p.Answer.Until[:1]
	out = flat(t, p)
	assert.Contains(t, out, "Decide now: the call to Tern 1. Later, rather Quay Ambulance 3 takes the patient by road", "it has no number in this list")
	assert.Contains(t, out, "The other way is quicker then if its vehicles are called at 19:40. Runner-up: Quay Ambulance 3 takes the patient by road to Ossuvaune General Hospital: 26 min behind")

	for range 9 {
		p.Answer.Until = append(p.Answer.Until, until()[3])
	}
	assert.Contains(t, flat(t, p), "and 3 later ones, the last 00:13 +1 Runner-up")

	p.Answer.DecideBy, p.Answer.Until, p.Answer.RunnerUp, p.Answer.Sensitivity = nil, nil, nil, nil
	out = flat(t, p)
	for _, none := range []string{"Decide", "Latest", "Runner-up", "slow makes"} {
		assert.NotContains(t, out, none)
	}
}

// Source: definition. The bars are as long as what they stand for, the longest
// fills the line, and half a minute is the least that has one.
func TestBars(t *testing.T) {
	for _, width := range []int{80, 40} {
		out := printed(t, page(), terminal.Style{Width: width})
		_, out, ok := strings.Cut(out, "many minutes:\n")
		require.True(t, ok)
		out, _, _ = strings.Cut(out, "\n\n")
		var bars []int
		for line := range strings.Lines(out) {
			if n := strings.Count(line, "#"); n > 0 {
				bars = append(bars, n)
				assert.LessOrEqual(t, len(strings.TrimSpace(line)), width)
			}
		}
		require.Len(t, bars, 3)
		assert.InDelta(t, bars[0], 2*bars[1], 1)
		assert.InDelta(t, bars[0], 20*bars[2], 10, "rounded to a whole mark")
		words := strings.Join(strings.Fields(strings.ReplaceAll(out, "#", "")), " ")
		if width == 80 {
			assert.Contains(t, words, "mobilisation, Tern 1 10.0 the surgeon's call-in (then rather 2) 5.0 handover (then rather another) 0.5 Under")
		}
		assert.True(t, strings.HasSuffix(words, "Under half a minute: head wind 8 kt stronger on every flight; roads 10 % longer; 2 others"), words)
	}
}

// Source: definition. 21:30 UTC is 19:30 in the zone of the test.
func TestHappened(t *testing.T) {
	p := page()
	assert.NotContains(t, flat(t, p), "Happened")
	assert.NotContains(t, flat(t, p), "From output")
	before := func(minutes int) time.Time { return at.Add(-time.Duration(minutes) * time.Minute) }
	p.Happened = []routing.Fact{
		{Asset: "heli-1", Event: routing.PatientLoaded, At: before(5)},
		{Asset: "heli-1", Event: routing.Lifted, At: before(20)},
		{Event: routing.Alerted, At: before(21), Facility: "h-1"},
		{Asset: "heli-1", Event: routing.Arrived, At: before(10)},
		{Asset: "heli-1", Event: routing.LeftScene, At: before(4)},
		{Asset: "heli-1", Event: routing.AtHospital, At: before(2), Facility: "h-1"},
		{Asset: "heli-1", Event: routing.HandedOver, At: before(1), Facility: "h-1"},
	}
	lost, regained := before(10), before(3)
	p.OutputLostAt, p.OutputRegainedAt = &lost, &regained
	for i := range p.Answer.Options {
		o := &p.Answer.Options[i]
		o.SinceLost = &facilities.Timing{TypicalS: o.Total.TypicalS + 600, SlowS: o.Total.SlowS + 600}
		o.SinceRegained = &facilities.Timing{TypicalS: o.Total.TypicalS + 180, SlowS: o.Total.SlowS + 180}
	}
	p.Answer.Options[0].LeaveScene = time.Time{}
	out := flat(t, p)
	assert.Contains(t, out, "Happened: 19:19 Ossuvaune General Hospital alerted; 19:20 Tern 1 under way; 19:30 Tern 1 at the scene; "+
		"19:35 patient on board Tern 1; 19:36 Tern 1 left with the patient; 19:38 Tern 1 at Ossuvaune General Hospital; "+
		"19:39 patient handed over at Ossuvaune General Hospital Weather")
	assert.Contains(t, out, "From output lost, 19:30, to surgeon, typical/slow min: 1. 56/69, 2. 82/100, 3. 82/105 From output regained, 19:37, to surgeon, typical/slow min: 1. 49/62,")
	assert.Contains(t, out, " 59 left 20:26 ", "nobody has said when")
	assert.Contains(t, strings.Join(strings.Fields(printed(t, p, terminal.Style{Width: 40})), " "), "leave scene left, with surgeon 20:26")
}
