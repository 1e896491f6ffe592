package routing_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

// Source of the numbers: identity. Pre-alert 60, theatre 900, call-in 1500; the
// patient is handed over at 2560 (see TestRoadWithTheAmbulanceAtTheScene).
func TestAwayUntil(t *testing.T) {
	at := func(s int) string { return noon.Add(time.Duration(s) * time.Second).Format(time.RFC3339) }
	for _, tt := range []struct {
		name, members string
		step          string
		endS          float64
		basis         string
	}{
		{"theatre free in an hour, then made ready", residentSurgeon + fmt.Sprintf(`,"away":[{"what":"theatre","until":%q}]`, at(3600)),
			"theatre", 3600 + 900, "theatre can be used from 2031-06-10 15:00"},
		{"theatre free before the pre-alert is out", residentSurgeon + fmt.Sprintf(`,"away":[{"what":"theatre","until":%q}]`, at(30)),
			"theatre", 60 + 900, "theatre can be used from 2031-06-10 14:00"},
		{"one absence after the other", residentSurgeon + fmt.Sprintf(`,"away":[{"what":"theatre","until":%q},{"what":"theatre","until":%q}]`, at(1800), at(3600)),
			"theatre", 3600 + 900, "theatre can be used from 2031-06-10 15:00"},
		{"it is over", residentSurgeon + fmt.Sprintf(`,"away":[{"what":"theatre","until":%q}]`, at(0)), "theatre", 960, ""},
		{"resident surgeon back in an hour", residentSurgeon + fmt.Sprintf(`,"away":[{"what":"surgeon","until":%q}]`, at(3600)),
			"call_in", 3600, "in the hospital from 2031-06-10 15:00"},
		{"surgeon on call from an hour on", onCallSurgeon + fmt.Sprintf(`,"away":[{"what":"surgeon","capability":"cardiothoracic_surgery","until":%q}]`, at(3600)),
			"call_in", 3600 + 1500, "covered from 2031-06-10 15:00"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e := toy().facility("h", "hospital", place(0, 30_000), centre+","+tt.members).asset("a", "ambulance", `"state":"at_scene"`).engine(t)
			ans := ask(t, e)
			require.Len(t, ans.Options, 1)
			o := ans.Options[0]
			got := step(t, o, tt.step)
			assert.InDelta(t, tt.endS, got.EndS, tolS)
			assert.Contains(t, got.Basis, tt.basis)
			assert.InDelta(t, max(2560, tt.endS), o.Total.TypicalS, tolS)
		})
	}
}

func TestAwayTooLong(t *testing.T) {
	late := noon.Add(2*time.Hour + time.Second).Format(time.RFC3339)
	for _, tt := range []struct {
		name, away, detail string
		code               routing.ReasonCode
	}{
		{"theatre", fmt.Sprintf(`{"what":"theatre","reason":"flooded","until":%q}`, late), "no theatre: flooded, until 2031-06-10 16:00", routing.ReasonTheatreAway},
		{"theatre, no end known", `{"what":"theatre"}`, "no theatre", routing.ReasonTheatreAway},
		{"surgeon", fmt.Sprintf(`{"what":"surgeon","until":%q}`, late), "no surgeon for cardiothoracic surgery", routing.ReasonSurgeonAbsent},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e := toy().facility("h", "hospital", place(0, 30_000), centre+","+residentSurgeon+`,"away":[`+tt.away+`]`).asset("a", "ambulance", `"state":"at_scene"`).engine(t)
			ans := ask(t, e)
			assert.Empty(t, ans.Options)
			require.NotEmpty(t, ans.NotPossible)
			require.Len(t, ans.NotPossible[0].Reasons, 1)
			assert.Equal(t, tt.code, ans.NotPossible[0].Reasons[0].Code)
			assert.Contains(t, ans.NotPossible[0].Reasons[0].Detail, tt.detail)
		})
	}
}

// TestStateOfTheFleetFileEnds: an asset counts as at its base from the end of its
// state on; a question that states the asset's state knows better.
func TestStateOfTheFleetFileEnds(t *testing.T) {
	e := toy().hospital("h", place(0, 30_000)).facility("b", "base", place(180, 20_000), "").
		asset("a", "ambulance", `"base":"b","state":"committed","until":"2031-06-10T14:00:00Z"`).engine(t)
	assert.Empty(t, ask(t, e, func(q *routing.Question) { q.At = noon.Add(-time.Second) }).Options, "committed, nobody knows how long")
	o := ask(t, e).Options
	require.Len(t, o, 1)
	assert.InDelta(t, 1110, step(t, o[0], "travel_to_scene").EndS, tolS, "mobilise 90, 20 km in 1020")
	assert.Empty(t, ask(t, e, func(q *routing.Question) {
		q.Assets.States = []routing.StateChange{{Asset: "a", State: routing.Committed}}
	}).Options)
}
