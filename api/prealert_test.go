package api_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/routing"
)

func postPreAlert(h http.Handler, body string) *httptest.ResponseRecorder {
	return do(h, call{method: http.MethodPost, path: "/v1/pre-alert", body: body})
}

// alertBody asks for the pre-alert of an ambulance at the scene, with members
// beside its question.
func alertBody(members string) string {
	return `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52],"landing":"impossible"},
		"assets":{"only":["amb-11"],"states":[{"asset":"amb-11","state":"at_scene"}]},"limit":1,` + members + `}`
}

const generalByRoad = `"option":"road:amb-11:ossuvaune-general"`

// clinicalBody is a question with the given members in its clinical part.
func clinicalBody(members string) string {
	return alertBody(generalByRoad + `,"clinical":{` + members + `}`)
}

// TestPreAlertFollowsTheDocument sends the document's examples and holds each
// answer to the document.
func TestPreAlertFollowsTheDocument(t *testing.T) {
	h := handler(t)
	strict := served(t, h, true)
	request := []string{"paths", "/v1/pre-alert", "post", "requestBody", "content", "application/json"}
	examples, _ := strict.find(t, append(request, "examples")...)
	require.NotEmpty(t, examples)
	for name, example := range examples {
		body, err := json.Marshal(example.(map[string]any)["value"])
		require.NoError(t, err)
		assert.Empty(t, strict.faults(t, body, append(request, "schema")...), name)
		w := postPreAlert(h, string(body))
		require.Equal(t, http.StatusOK, w.Code, "%s: %s", name, w.Body)
		strict.check(t, http.MethodPost, "/v1/pre-alert", w)
		assert.Equal(t, w.Body.String(), postPreAlert(h, string(body)).Body.String(), name)
		answer := object(t, w.Body.Bytes())
		for _, s := range answer["sections"].([]any) {
			for _, i := range s.(map[string]any)["items"].([]any) {
				if item := i.(map[string]any); name == "all" {
					assert.Equal(t, true, item["stated"], item["name"])
				}
			}
		}
	}
	// What is a member of the question is one here, and means the same.
	ours, _ := strict.find(t, "components", "schemas", "PreAlertQuestion", "properties")
	theirs, _ := strict.find(t, "components", "schemas", "Question", "properties")
	for member, schema := range theirs {
		want := map[string]any{"$ref": "#/components/schemas/Question/properties/" + member}
		if s := schema.(map[string]any); len(s) == 1 && s["$ref"] != nil {
			want = s
		}
		assert.Equal(t, want, ours[member], member)
	}
}

// TestPreAlertText: what is read out, then the calls, one a line. Source:
// definition.
func TestPreAlertText(t *testing.T) {
	h := handler(t)
	body := clinicalBody(`"age_years":34,"mechanism":"stab"`)
	w := do(h, call{method: http.MethodPost, path: "/v1/pre-alert", body: body, header: http.Header{"Accept": {"text/plain"}}})
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	assert.Equal(t, "text/plain; charset=UTF-8", w.Header().Get("Content-Type"))
	assert.Equal(t, "Accept", w.Header().Get("Vary"))
	form := object(t, postPreAlert(h, body).Body.Bytes())
	lines := strings.Split(w.Body.String(), "\n")
	want := []string{form["text"].(string), ""}
	for _, c := range form["calls"].([]any) {
		want = append(want, c.(map[string]any)["sentence"].(string))
	}
	want = append(want, "", "Demonstration: this region, its hospitals, services and people are invented.", "")
	assert.Equal(t, want, lines)
	assert.Contains(t, lines[0], "Age 34 years. Time, local: incident not stated")
	assert.LessOrEqual(t, len(strings.Fields(lines[0])), 75, "half a minute at 150 words a minute: common practice, no source")
}

// TestPreAlertAgreesWithOptions: the option is that of the answer to the same
// question, its arrival is the start of its handover, and no call is later than
// the time to the surgeon. Source: definition.
func TestPreAlertAgreesWithOptions(t *testing.T) {
	h := handler(t)
	for name, question := range scenarios(t) {
		options := object(t, post(h, question).Body.Bytes())["options"].([]any)
		require.NotEmpty(t, options, name)
		for _, i := range []int{0, len(options) - 1} {
			o := options[i].(map[string]any)
			body := object(t, []byte(question))
			body["option"] = o["id"]
			text, err := json.Marshal(body)
			require.NoError(t, err)
			w := postPreAlert(h, string(text))
			require.Equal(t, http.StatusOK, w.Code, "%s: %s", name, w.Body)
			form := object(t, w.Body.Bytes())
			assert.Equal(t, o["id"], form["option"])
			assert.Equal(t, o["destination"], form["destination"])
			at := instant(t, form["worked_out_at"])
			for _, a := range o["activities"].([]any) {
				if a := a.(map[string]any); a["id"] == "handover" {
					assert.InDelta(t, a["start_s"], instant(t, form["at_door_at"]).Sub(at).Seconds(), 1, "%s: %s", name, o["id"])
				}
			}
			assert.False(t, instant(t, form["at_door_slow_at"]).Before(instant(t, form["at_door_at"])))
			assert.NotEmpty(t, form["calls"])
			for _, c := range form["calls"].([]any) {
				assert.LessOrEqual(t, c.(map[string]any)["by_s"], o["total"].(map[string]any)["typical_s"])
			}
		}
	}
}

// TestPreAlertBeyondTheLimit: an option that the limit has cut off can be
// alerted, and one that is nowhere is refused with those that are.
func TestPreAlertBeyondTheLimit(t *testing.T) {
	h := handler(t)
	one := alertBody(`"option":"road:amb-11:ettuquar-chest"`)
	w := postPreAlert(h, one)
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	assert.Equal(t, "ettuquar-chest", object(t, w.Body.Bytes())["destination"].(map[string]any)["facility"])

	w = postPreAlert(h, alertBody(`"option":"road:amb-12:ettuquar-chest"`))
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	fault := object(t, w.Body.Bytes())["errors"].([]any)[0].(map[string]any)
	assert.Equal(t, "#/option", fault["pointer"])
	assert.Contains(t, fault["detail"], `no option "road:amb-12:ettuquar-chest": choose one of road:amb-11:ossuvaune-general, `)

	w = postPreAlert(h, `{"scene":{"position":[-29.41,45.52]},"assets":{"only":["car-1"]},"option":"road:amb-11:ossuvaune-general"}`)
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), "the question gives no option: there is nobody to alert")
}

// TestPreAlertAge: an age that the question has need not be said twice, and
// two that differ are a fault.
func TestPreAlertAge(t *testing.T) {
	h := handler(t)
	text := object(t, postPreAlert(h, alertBody(generalByRoad+`,"patient":{"age_years":34}`)).Body.Bytes())["text"]
	assert.Contains(t, text, "Age 34 years.")
	text = object(t, postPreAlert(h, alertBody(generalByRoad+`,"patient":{"age_years":34},"clinical":{"age_years":34}`)).Body.Bytes())["text"]
	assert.Contains(t, text, "Age 34 years.")
	text = object(t, postPreAlert(h, alertBody(generalByRoad)).Body.Bytes())["text"]
	assert.Contains(t, text, "Age not stated.")
	w := postPreAlert(h, alertBody(generalByRoad+`,"patient":{"age_years":34},"clinical":{"age_years":43}`))
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), "#/clinical/age_years")
}

// hostileAlerts must be refused. Source: the definition of the question.
var hostileAlerts = []struct {
	name, body string
	status     int
	says       string
}{
	{"no option", alertBody(`"clinical":{}`), 422, `missing field \"option\"`},
	{"an empty option", alertBody(`"option":""`), 422, "must not be empty"},
	{"a list of options", alertBody(`"option":["road:amb-11:ossuvaune-general"]`), 422, "#/option"},
	{"a long option", alertBody(`"option":"` + strings.Repeat("x", 2000) + `"`), 422, "at most 1000 characters"},
	{"a misspelt member", clinicalBody(`"mecanism":"stab"`), 422, `did you mean \"mechanism\"?`},
	{"a misspelt sign", clinicalBody(`"signs":{"systolic_mmgh":70}`), 422, `did you mean \"systolic_mmhg\"?`},
	{"a name", clinicalBody(`"name":"A. Nobody"`), 422, `unknown field \"name\"`},
	{"a telephone number", clinicalBody(`"phone":"0000 000000"`), 422, `unknown field \"phone\"`},
	{"a note", alertBody(generalByRoad + `,"note":"call his wife"`), 422, `unknown field \"note\"`},
	{"a name as mechanism", clinicalBody(`"mechanism":"A. Nobody"`), 422, "#/clinical/mechanism"},
	{"a name as injury", clinicalBody(`"injuries":["A. Nobody"]`), 422, "#/clinical/injuries/0"},
	{"a telephone number as treatment", clinicalBody(`"treatment":{"given":["0000 000000"]}`), 422, "#/clinical/treatment/given/0"},
	{"a name as output", clinicalBody(`"signs":{"output":"A. Nobody"}`), 422, "#/clinical/signs/output"},
	{"a name as time", clinicalBody(`"incident_at":"A. Nobody"`), 422, "must be a date and time"},
	{"a telephone number as pulse", clinicalBody(`"signs":{"heart_rate_per_min":5550100}`), 422, "at most 300"},
	{"a year of birth as age", clinicalBody(`"age_years":1997`), 422, "at most 130"},
	{"text as the clinical part", alertBody(generalByRoad + `,"clinical":"male, 34"`), 422, "#/clinical"},
	{"blood pressure out of range", clinicalBody(`"signs":{"systolic_mmhg":301}`), 422, "at most 300"},
	{"negative blood pressure", clinicalBody(`"signs":{"systolic_mmhg":-1}`), 422, "at least 0"},
	{"half a beat", clinicalBody(`"signs":{"heart_rate_per_min":80.5}`), 422, "#/clinical/signs/heart_rate_per_min"},
	{"pulse NaN", clinicalBody(`"signs":{"heart_rate_per_min":NaN}`), 400, "NaN"},
	{"coma beyond the scale", clinicalBody(`"signs":{"gcs":2}`), 422, "at least 3"},
	{"back before it went", clinicalBody(`"signs":{"output":"regained","output_lost_at":"2031-03-14T21:35:00Z","output_regained_at":"2031-03-14T21:30:00Z"}`), 422, "is before output was lost"},
	{"lost after all", clinicalBody(`"signs":{"output":"lost","output_lost_at":"2031-03-14T21:30:00Z","output_regained_at":"2031-03-14T21:35:00Z"}`), 422, `use \"regained\"`},
	{"times without a state", clinicalBody(`"signs":{"output_lost_at":"2031-03-14T21:30:00Z"}`), 422, "#/clinical/signs/output"},
	{"the year 9999", clinicalBody(`"incident_at":"9999-01-01T00:00:00Z"`), 422, "year 9999"},
	{"told in year 9999", alertBody(generalByRoad + `,"message_at":"9999-01-01T00:00:00Z"`), 422, "year 9999"},
	{"the same twice", clinicalBody(`"injuries":["head","head"]`), 422, "#/clinical/injuries"},
	{"nothing and something", clinicalBody(`"treatment":{"given":["none","cpr"]}`), 422, "stands alone"},
	{"a third of a unit", clinicalBody(`"treatment":{"blood_units":0.3}`), 422, "multiple of"},
	{"a million injuries", clinicalBody(`"injuries":[` + strings.Repeat(`"x",`, 9_999) + `"x"]`), 422, "#/clinical/injuries"},
	{"another question's fault", alertBody(generalByRoad + `,"rank_by":"luck"`), 422, "#/rank_by"},
	{"cut", `{"scene":`, 400, ""},
}

func TestHostilePreAlerts(t *testing.T) {
	h := handler(t)
	strict := served(t, h, true)
	for _, tt := range hostileAlerts {
		t.Run(tt.name, func(t *testing.T) {
			w := postPreAlert(h, tt.body)
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			assert.Contains(t, w.Body.String(), tt.says)
			assert.Less(t, w.Body.Len(), 64<<10, "an answer out of proportion")
			strict.check(t, http.MethodPost, "/v1/pre-alert", w)
		})
	}
}

// TestPreAlertAllFaultsAtOnce: those of the shape, of the region and of the
// clinical part together. Source: definition.
func TestPreAlertAllFaultsAtOnce(t *testing.T) {
	w := postPreAlert(handler(t), `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52],"landing":"posible"},"assets":{"only":["heli-9"]},
		"option":"x","clinical":{"mechanism":"stab","signs":{"gcs":1,"output":"regained","output_lost_at":"2031-03-14T21:40:00Z","output_regained_at":"2031-03-14T21:30:00Z"},
		"treatment":{"given":["cpr","none"]}}}`)
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	var pointers []string
	for _, f := range object(t, w.Body.Bytes())["errors"].([]any) {
		pointers = append(pointers, f.(map[string]any)["pointer"].(string))
	}
	assert.Equal(t, []string{"#/assets/only/0", "#/clinical/signs/gcs", "#/clinical/signs/output_regained_at", "#/clinical/treatment/given", "#/scene/landing"}, pointers)
}

// TestPreAlertHasNoPlaceForText walks the schema of the clinical part: every
// text is one of a list, or a time. Source: no patient identity is accepted.
func TestPreAlertHasNoPlaceForText(t *testing.T) {
	d := served(t, handler(t), false)
	seen := 0
	var walk func(at string, schema map[string]any)
	walk = func(at string, schema map[string]any) {
		if ref, ok := schema["$ref"].(string); ok {
			schema, _ = d.find(t, strings.Split(strings.TrimPrefix(ref, "#/"), "/")...)
		}
		switch schema["type"] {
		case "string":
			seen++
			assert.True(t, schema["enum"] != nil || schema["format"] == "date-time", "%s takes any text", at)
		case "object":
			assert.Equal(t, false, schema["additionalProperties"], at)
			for name, p := range schema["properties"].(map[string]any) {
				walk(at+"/"+name, p.(map[string]any))
			}
		case "array":
			walk(at+"/items", schema["items"].(map[string]any))
		case "number", "integer":
		default:
			t.Errorf("%s is of type %v", at, schema["type"])
		}
	}
	walk("Clinical", map[string]any{"$ref": "#/components/schemas/Clinical"})
	assert.Equal(t, 7, seen)
}

// TestDocumentHasTheClinicalWords: the lists are the engine's own, in its order.
func TestDocumentHasTheClinicalWords(t *testing.T) {
	d := served(t, handler(t), false)
	for schema, words := range map[string][]string{
		"Mechanism": routing.Mechanisms(), "InjuryRegion": routing.InjuryRegions(), "TreatmentGiven": routing.Treatments(),
		"Output": {routing.OutputPresent, routing.OutputLost, routing.OutputRegained},
	} {
		described, _ := d.find(t, "components", "schemas", schema)
		listed := make([]string, 0, len(words))
		for _, word := range described["enum"].([]any) {
			listed = append(listed, word.(string))
		}
		assert.Equal(t, words, listed, schema)
	}
	text, _ := d.find(t, "components", "schemas", "PreAlert", "properties", "words")
	assert.InDelta(t, routing.RadioWords, text["maximum"], 0)
}

// FuzzPreAlertRequest does for the pre-alert what FuzzOptionsRequest does for
// options.
func FuzzPreAlertRequest(f *testing.F) {
	for _, tt := range hostileAlerts {
		if len(tt.body) < 4096 {
			f.Add(tt.body)
		}
	}
	f.Add(alertBody(generalByRoad))
	f.Add(clinicalBody(`"age_years":0,"incident_at":"1970-01-01T00:00:00Z","injuries":[],"signs":{"spo2_percent":0},"treatment":{"given":[],"blood_units":-0.0}`))
	f.Add(alertBody(generalByRoad + `,"message_at":"2200-12-31T23:59:59Z"`))
	h := handler(f)
	strict := served(f, h, true)
	allowed := []int{http.StatusOK, http.StatusBadRequest, http.StatusUnprocessableEntity}
	f.Fuzz(func(t *testing.T, body string) {
		if body == "" {
			return // no body has no media type
		}
		w := postPreAlert(h, body)
		require.True(t, slices.Contains(allowed, w.Code), "%d: %s", w.Code, w.Body)
		strict.check(t, http.MethodPost, "/v1/pre-alert", w)
	})
}
