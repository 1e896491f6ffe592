package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// told is as much of an answer as these tests read.
type told struct {
	At      time.Time `json:"at"`
	Options []struct {
		ID            string    `json:"id"`
		Total         seconds   `json:"total"`
		SinceLost     *seconds  `json:"since_output_lost"`
		SinceRegained *seconds  `json:"since_output_regained"`
		LeaveScene    string    `json:"leave_scene_at"`
		WithSurgeon   time.Time `json:"with_surgeon_at"`
		Spread        struct {
			P10S int64 `json:"p10_s"`
			P90S int64 `json:"p90_s"`
		} `json:"spread"`
		Activities []toldActivity `json:"activities"`
	} `json:"options"`
	Until       []deadline `json:"until"`
	DecideBy    *deadline  `json:"decide_by"`
	RunnerUp    *runnerUp  `json:"runner_up"`
	Sensitivity []struct {
		Cause   string `json:"cause"`
		TotalS  int64  `json:"total_s"`
		ChangeS int64  `json:"change_s"`
		First   string `json:"first"`
	} `json:"sensitivity"`
}

type toldActivity struct {
	ID     string `json:"id"`
	Kind   string `json:"kind"`
	Asset  string `json:"asset"`
	StartS int64  `json:"start_s"`
	EndS   int64  `json:"end_s"`
	SlackS int64  `json:"slack_s"`
}

type seconds struct {
	TypicalS int64 `json:"typical_s"`
	SlowS    int64 `json:"slow_s"`
}

type deadline struct {
	Activity         string    `json:"activity"`
	Kind             string    `json:"kind"`
	Asset            string    `json:"asset"`
	LatestStartS     int64     `json:"latest_start_s"`
	LatestStartAt    time.Time `json:"latest_start_at"`
	LatestStartLocal time.Time `json:"latest_start_local"`
	DelayS           int64     `json:"delay_s"`
	OvertakenBy      string    `json:"overtaken_by"`
	Sentence         string    `json:"sentence"`
}

type runnerUp struct {
	Option     string   `json:"option"`
	NeedsS     int64    `json:"needs_s"`
	Activities []string `json:"activities"`
	Sentence   string   `json:"sentence"`
}

func tell(t testing.TB, h http.Handler, body string) (out told) {
	t.Helper()
	w := post(h, body)
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &out))
	require.NotEmpty(t, out.Options)
	return out
}

// at finds when an activity of the first option starts and ends.
func (a *told) activity(t testing.TB, id string) (startS, endS int64) {
	t.Helper()
	for _, s := range a.Options[0].Activities {
		if s.ID == id {
			return s.StartS, s.EndS
		}
	}
	require.Failf(t, "no such activity", "%q", id)
	return 0, 0
}

// TestAskedAgain is one mission told as it goes: first the question, then the
// same with the helicopter lifted, then with the patient on board, each at the
// time planned before. Source: definition. The patient is with the surgeon when
// the first answer said, what is left to vary is less each time, and a
// helicopter that lifts late is late by as much.
func TestAskedAgain(t *testing.T) {
	const toleranceS = 1.0 // of whole seconds
	h := handler(t)
	begin := time.Date(2031, 6, 17, 14, 20, 0, 0, time.UTC)
	ask := func(afterS int64, happened ...string) told {
		ready := max(0, 600-afterS)
		return tell(t, h, fmt.Sprintf(`{"at":%q,"scene":{"position":[-30.1792,45.3614],"landing":"possible","carry":{"typical_s":120,"slow_s":240}},
			"patient":{"age_years":7,"needs":["cardiothoracic_surgery"],"escort":"physician","ready_in":{"typical_s":%d,"slow_s":%d}},
			"happened":[%s]}`, at(begin, afterS), ready, ready*3/2, strings.Join(happened, ",")))
	}
	first := ask(0)
	id := first.Options[0].ID
	require.Equal(t, "air:heli-2:luorimaune-childrens", id)
	liftS, thereS := first.activity(t, "travel_to_scene")
	_, loadedS := first.activity(t, "load")

	fact := func(event string, afterS int64) string {
		return fmt.Sprintf(`{"asset":"heli-2","event":%q,"at":%q}`, event, at(begin, afterS))
	}
	lifted := ask(liftS, fact("lifted", liftS))
	loaded := ask(loadedS, fact("patient_loaded", loadedS), fact("lifted", liftS), fact("at_scene", thereS))
	before := first
	for _, then := range []told{lifted, loaded} {
		o, was := then.Options[0], before.Options[0]
		require.Equal(t, id, o.ID)
		assert.WithinDuration(t, was.WithSurgeon, o.WithSurgeon, toleranceS*time.Second)
		assert.Less(t, o.Spread.P90S-o.Spread.P10S, was.Spread.P90S-was.Spread.P10S, "what has happened varies no more")
		assert.Less(t, o.Total.SlowS-o.Total.TypicalS, was.Total.SlowS-was.Total.TypicalS)
		before = then
	}
	for _, s := range lifted.Options[0].Activities {
		assert.NotEqual(t, "mobilise", s.ID)
	}
	for _, s := range loaded.Options[0].Activities {
		assert.NotContains(t, []string{"mobilise", "travel_to_scene", "package", "carry", "load"}, s.ID)
	}

	const lateS = 180
	late := ask(liftS+lateS, fact("lifted", liftS+lateS))
	assert.WithinDuration(t, first.Options[0].WithSurgeon.Add(lateS*time.Second), late.Options[0].WithSurgeon, toleranceS*time.Second)
}

func at(begin time.Time, afterS int64) string {
	return begin.Add(time.Duration(afterS) * time.Second).Format(time.RFC3339)
}

// TestSinceOutput counts from the patient's own events. Source: identity.
func TestSinceOutput(t *testing.T) {
	h := handler(t)
	const question = `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52],"landing":"impossible"},"limit":3%s}`
	plain := tell(t, h, fmt.Sprintf(question, ""))
	both := tell(t, h, fmt.Sprintf(question, `,"output_lost_at":"2031-03-14T19:30:00-02:00","output_regained_at":"2031-03-14T21:36:30Z"`))
	for i, o := range both.Options {
		assert.Nil(t, plain.Options[i].SinceLost)
		assert.Nil(t, plain.Options[i].SinceRegained)
		assert.Equal(t, plain.Options[i].Total, o.Total, "no time of the mission depends on them")
		assert.Equal(t, &seconds{o.Total.TypicalS + 600, o.Total.SlowS + 600}, o.SinceLost)
		assert.Equal(t, &seconds{o.Total.TypicalS + 210, o.Total.SlowS + 210}, o.SinceRegained)
	}
	quick := get(h, "/v1/options?scene=45.52,-29.41&landing=impossible&at=2031-03-14T21:40:00Z&output_lost_at=2031-03-14T23:30:00+02:00")
	require.Equal(t, http.StatusOK, quick.Code, "%s", quick.Body)
	var a told
	require.NoError(t, json.Unmarshal(quick.Body.Bytes(), &a))
	assert.Equal(t, &seconds{a.Options[0].Total.TypicalS + 600, a.Options[0].Total.SlowS + 600}, a.Options[0].SinceLost)
}

// TestLeftUnsaid: of a patient who has left the scene, and nobody has said when,
// the answer says nothing rather than a wrong time.
func TestLeftUnsaid(t *testing.T) {
	h := handler(t)
	const question = `{"at":"2031-03-14T22:01:00Z","scene":{"position":[-29.41,45.52],"landing":"impossible"},"happened":[
		{"asset":"amb-11","event":"at_hospital","at":"2031-03-14T21:58:00Z","facility":"ossuvaune-general"}%s]}`
	unsaid := tell(t, h, fmt.Sprintf(question, ""))
	require.Len(t, unsaid.Options, 1, "nothing else can be done with the patient")
	assert.Empty(t, unsaid.Options[0].LeaveScene)
	said := tell(t, h, fmt.Sprintf(question, `,{"asset":"amb-11","event":"left_scene","at":"2031-03-14T21:49:00Z"}`))
	assert.Equal(t, "2031-03-14T21:49:00Z", said.Options[0].LeaveScene)
	strict := served(t, h, true)
	strict.check(t, http.MethodPost, "/v1/options", post(h, fmt.Sprintf(question, "")))
}

// TestHostileHappened: every contradiction among facts at once, each at its
// place. Source: definition of the question.
func TestHostileHappened(t *testing.T) {
	h := handler(t)
	strict := served(t, h, true)
	const lifted = `{"asset":"heli-1","event":"lifted","at":"2031-03-14T21:30:00Z"}`
	for _, tt := range []struct {
		name, happened string
		status         int
		want           map[string]string // pointers, and a piece of what is said
	}{
		{"in the future", `[{"asset":"heli-1","event":"lifted","at":"2031-03-14T21:40:01Z"}]`, 422,
			map[string]string{"#/happened/0/at": "after the decision time"}},
		{"a mistyped day", `[{"asset":"heli-1","event":"lifted","at":"2031-03-12T21:30:00Z"}]`, 422,
			map[string]string{"#/happened/0/at": "more than 24 h 00 min before the decision time"}},
		{"in the wrong order", `[` + lifted + `,{"asset":"heli-1","event":"at_scene","at":"2031-03-14T21:29:00Z"}]`, 422,
			map[string]string{"#/happened/1/at": "at_scene is 1 min before lifted, which comes first"}},
		{"to nothing known", `[{"asset":"heli-11","event":"lifted","at":"2031-03-14T21:30:00Z"}]`, 422,
			map[string]string{"#/happened/0/asset": `no asset "heli-11": did you mean "heli-1"?`}},
		{"to nothing", `[{"event":"lifted","at":"2031-03-14T21:30:00Z"}]`, 422,
			map[string]string{"#/happened/0/asset": "name the asset"}},
		{"twice", `[` + lifted + `,` + lifted + `]`, 422, map[string]string{"#/happened/1/event": "given twice"}},
		{"a word of nobody's", `[{"asset":"heli-1","event":"lifed","at":"2031-03-14T21:30:00Z"}]`, 422,
			map[string]string{"#/happened/0/event": `did you mean "lifted"?`}},
		{"misspelt member", `[{"aset":"heli-1","event":"lifted","at":"2031-03-14T21:30:00Z"}]`, 422,
			map[string]string{"#/happened/0/aset": `did you mean "asset"?`, "#/happened/0/asset": "is missing"}},
		{"half a fact", `[{"asset":"heli-1","event":"lifted"}]`, 422, map[string]string{"#/happened/0": `missing field "at"`}},
		{"no zone", `[{"asset":"heli-1","event":"lifted","at":"2031-03-14T21:30:00"}]`, 422,
			map[string]string{"#/happened/0/at": "must be a date and time"}},
		{"year 1", `[{"asset":"heli-1","event":"lifted","at":"0001-01-01T00:00:00Z"}]`, 422,
			map[string]string{"#/happened/0/at": "year 1 is not between 1970 and 2200"}},
		{"at a number", `[{"asset":"heli-1","event":"lifted","at":1e308}]`, 422, map[string]string{"#/happened/0/at": "must be a string"}},
		{"at NaN", `[{"asset":"heli-1","event":"lifted","at":NaN}]`, 400, map[string]string{"#/happened/0/at": "NaN"}},
		{"null", `null`, 422, map[string]string{"#/happened": "got null"}},
		{"no list", lifted, 422, map[string]string{"#/happened": "must be an array"}},
		{"at no hospital", `[{"asset":"amb-11","event":"at_hospital","at":"2031-03-14T21:30:00Z"}]`, 422,
			map[string]string{"#/happened/0/facility": "needs the id of the hospital"}},
		{"lifted at a hospital", `[{"asset":"heli-1","event":"lifted","at":"2031-03-14T21:30:00Z","facility":"ettuquar-chest"}]`, 422,
			map[string]string{"#/happened/0/facility": "leave it out"}},
		{"alerted by a vehicle", `[{"asset":"heli-1","event":"alerted","at":"2031-03-14T21:30:00Z","facility":"ettuquar-chest"}]`, 422,
			map[string]string{"#/happened/0/asset": "of no asset"}},
		{"on board two", `[{"asset":"amb-11","event":"patient_loaded","at":"2031-03-14T21:30:00Z"},{"asset":"amb-12","event":"left_scene","at":"2031-03-14T21:31:00Z"}]`, 422,
			map[string]string{"#/happened/1/asset": "on board amb-11 and amb-12"}},
		{"on a car", `[{"asset":"car-1","event":"patient_loaded","at":"2031-03-14T21:30:00Z"}]`, 422,
			map[string]string{"#/happened/0/asset": "carries no patient"}},
		{"all at once", `[{"asset":"heli-11","event":"lifted","at":"2031-03-14T21:50:00Z"},{"event":"alerted","at":"2031-03-14T21:30:00Z","facility":"nowhere"},{"asset":"heli-1","event":"landed","at":"2031-03-14T21:30:00Z"}]`, 422,
			map[string]string{"#/happened/0/asset": "no asset", "#/happened/0/at": "after the decision", "#/happened/1/facility": "no facility", "#/happened/2/event": "must be one of"}},
		{"too many", `[` + strings.Repeat(lifted+",", 500) + lifted + `]`, 422, map[string]string{"#/happened": "at most 500 items"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			w := post(h, `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52]},"happened":`+tt.happened+`}`)
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			strict.check(t, http.MethodPost, "/v1/options", w)
			faults := map[string]string{}
			for _, e := range object(t, w.Body.Bytes())["errors"].([]any) {
				pointer := e.(map[string]any)["pointer"].(string)
				assert.NotContains(t, faults, pointer, "said twice")
				faults[pointer] = e.(map[string]any)["detail"].(string)
			}
			for pointer, says := range tt.want {
				assert.Contains(t, faults[pointer], says, "%s of %v", pointer, faults)
			}
			if tt.name != "too many" {
				assert.Len(t, faults, len(tt.want), "%v", faults)
			}
		})
	}
}

// TestHostileClock: events of the patient that cannot be, and what follows from
// a decision time that is wrong itself is not said as well.
func TestHostileClock(t *testing.T) {
	h := handler(t)
	const scene = `,"scene":{"position":[-29.41,45.52]}`
	for _, tt := range []struct {
		name, members string
		want          []string
	}{
		{"in the future", `"at":"2031-03-14T21:40:00Z","output_lost_at":"2031-03-14T21:41:00Z","output_regained_at":"2031-03-14T21:42:00Z"` + scene, []string{"#/output_lost_at", "#/output_regained_at"}},
		{"long ago", `"at":"2031-03-14T21:40:00Z","output_lost_at":"2031-03-13T21:39:59Z"` + scene, []string{"#/output_lost_at"}},
		{"in words", `"at":"2031-03-14T21:40:00Z","output_lost_at":"just now"` + scene, []string{"#/output_lost_at"}},
		{"year 3000", `"at":"2031-03-14T21:40:00Z","output_regained_at":"3000-01-01T00:00:00Z"` + scene, []string{"#/output_regained_at"}},
		{"misspelt", `"at":"2031-03-14T21:40:00Z","output_lost":"2031-03-14T21:30:00Z"` + scene, []string{"#/output_lost"}},
		{"beside no scene", `"at":"2031-03-14T21:40:00Z","happened":[{"asset":"heli-99","event":"lifted","at":"2031-03-14T21:30:00Z"}],"scen":1`, []string{"#", "#/happened/0/asset", "#/scen"}},
		{"with a decision in no year", `"at":"1066-10-14T09:00:00Z","output_lost_at":"2031-05-01T00:00:00Z","happened":[{"asset":"heli-1","event":"lifted","at":"2031-05-01T00:00:00Z"}]` + scene, []string{"#/at"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			w := post(h, `{`+tt.members+`}`)
			require.Equal(t, http.StatusUnprocessableEntity, w.Code, "%s", w.Body)
			var pointers []string
			for _, e := range object(t, w.Body.Bytes())["errors"].([]any) {
				pointers = append(pointers, e.(map[string]any)["pointer"].(string))
			}
			assert.Equal(t, tt.want, pointers)
		})
	}
	w := get(h, "/v1/options?scene=45.52,-29.41&at=2031-03-14T21:40:00Z&output_lost_at=2031-03-14T21:41:00Z")
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), `"parameter":"output_lost_at"`)
}
