package routing_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/strictjson"
	"surgeonward/routing"
)

// alertRegion is byRoadHome with a second hospital farther away.
func alertRegion() *fixture {
	f := toy().hospital("h", place(0, 30_000)).hospital("k", place(180, 60_000)).asset("amb", "ambulance", `"state":"at_scene"`)
	f.allowances["package"] = [2]float64{600, 900}
	return f
}

// The engine's alert is the message and the calls of one of its options.
// Source: definition.
func TestEnginePreAlert(t *testing.T) {
	e := alertRegion().engine(t)
	q := routing.Question{At: noon, Scene: routing.Scene{Position: scene, Landing: routing.LandingPossible}}
	ans, err := e.Options(t.Context(), q)
	require.NoError(t, err)
	require.Len(t, ans.Options, 2)
	for i, id := range []string{"road:amb:h", "road:amb:k"} {
		o := ans.Options[i]
		require.Equal(t, id, o.ID)
		for _, limit := range []int{0, 1} {
			q.Limit = limit
			alert, err := e.PreAlert(t.Context(), q, routing.AlertQuestion{Option: id, Clinical: fullPicture(), At: noon.Add(time.Minute)})
			require.NoError(t, err)
			assert.Equal(t, o, alert.Option, "beyond the limit too")
			assert.Equal(t, routing.PreAlert(o, ans, fullPicture(), noon.Add(time.Minute), nil), alert.Message)
			assert.Equal(t, routing.Calls(o), alert.Calls)
		}
	}
	// Nothing but the question: the first option, told at the decision time.
	q.Patient.AgeYears = of(34)
	alert, err := e.PreAlert(t.Context(), q, routing.AlertQuestion{})
	require.NoError(t, err)
	assert.Equal(t, "road:amb:h", alert.Option.ID)
	assert.Equal(t, noon, alert.Message.At)
	assert.Contains(t, alert.Message.Text, "Age 34 years.", "as the question says")
}

func TestEnginePreAlertFaults(t *testing.T) {
	e := alertRegion().engine(t)
	for _, c := range []struct {
		name   string
		q      routing.Question
		w      routing.AlertQuestion
		faults []strictjson.Fault
	}{
		{"no such option", routing.Question{}, routing.AlertQuestion{Option: "road:amb:x"},
			[]strictjson.Fault{{Pointer: "/option", Detail: `the question gives no option "road:amb:x": choose one of road:amb:h, road:amb:k`}}},
		{"nobody", routing.Question{Patient: routing.Patient{Needs: []string{"burns"}}}, routing.AlertQuestion{},
			[]strictjson.Fault{{Pointer: "/option", Detail: "the question gives no option: there is nobody to alert"}}},
		{"two ages", routing.Question{Patient: routing.Patient{AgeYears: of(34)}}, routing.AlertQuestion{Clinical: routing.Clinical{AgeYears: of(43)}},
			[]strictjson.Fault{{Pointer: "/clinical/age_years", Detail: "is 43, but the question's patient.age_years is 34: correct one, or leave one out"}}},
		{"question and picture", routing.Question{TargetS: -1}, routing.AlertQuestion{Option: "?", Clinical: routing.Clinical{Signs: routing.Signs{GCS: of(2)}}},
			[]strictjson.Fault{{Pointer: "/target_s", Detail: "must be a time in seconds, from 0 (none) to 172800"},
				{Pointer: "/clinical/signs/gcs", Detail: "must be from 3 to 15"}}},
	} {
		c.q.At, c.q.Scene = noon, routing.Scene{Position: scene, Landing: routing.LandingPossible}
		_, err := e.PreAlert(t.Context(), c.q, c.w)
		var bad *routing.QuestionError
		require.ErrorAs(t, err, &bad, c.name)
		assert.Equal(t, c.faults, bad.Faults, c.name)
	}
}

// The patient's own events need not be said twice, and say what the output is.
// Source: definition.
func TestEnginePreAlertOutput(t *testing.T) {
	e := alertRegion().engine(t)
	early, late := noon.Add(-20*time.Minute), noon.Add(-12*time.Minute) // 13:40 and 13:48
	for _, c := range []struct {
		name           string
		lost, regained *time.Time
		signs          routing.Signs
		says           string // of the message, or of the fault
		pointer        string // empty: no fault
	}{
		{"nothing", nil, nil, routing.Signs{}, "output not stated", ""},
		{"lost", &early, nil, routing.Signs{}, "output lost 13:40, ", ""},
		{"regained", &early, &late, routing.Signs{}, "output lost 13:40, regained 13:48, ", ""},
		{"lost again", &late, &early, routing.Signs{}, "output lost 13:48, ", ""},
		{"regained, lost nobody knows when", nil, &late, routing.Signs{}, "output lost not stated, regained 13:48, ", ""},
		{"said twice", &early, nil, routing.Signs{Output: "lost", OutputLostAt: early}, "output lost 13:40, ", ""},
		{"half said", &early, nil, routing.Signs{Output: "regained", OutputRegainedAt: late}, "output lost 13:40, regained 13:48, ", ""},
		{"said in two ways", &early, nil, routing.Signs{Output: "lost", OutputLostAt: late},
			"is 2031-06-10T13:48:00Z, but the question's output_lost_at is 2031-06-10T13:40:00Z", "/clinical/signs/output_lost_at"},
		{"back before it went", &late, &early, routing.Signs{Output: "regained"}, "is before output was lost", "/output_regained_at"},
		{"never lost", &early, nil, routing.Signs{Output: "present"}, "not present but regained", "/clinical/signs/output"},
		{"still lost", &early, &late, routing.Signs{Output: "lost"}, `use "regained"`, "/clinical/signs/output"},
	} {
		q := routing.Question{At: noon, Scene: routing.Scene{Position: scene, Landing: routing.LandingPossible}, OutputLostAt: c.lost, OutputRegainedAt: c.regained}
		alert, err := e.PreAlert(t.Context(), q, routing.AlertQuestion{Clinical: routing.Clinical{Signs: c.signs}})
		if c.pointer == "" {
			require.NoError(t, err, c.name)
			assert.Contains(t, alert.Message.Text, c.says, c.name)
			continue
		}
		var bad *routing.QuestionError
		require.ErrorAs(t, err, &bad, c.name)
		require.Len(t, bad.Faults, 1, c.name)
		assert.Equal(t, c.pointer, bad.Faults[0].Pointer, c.name)
		assert.Contains(t, bad.Faults[0].Detail, c.says, c.name)
	}
}
