package api_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func postReach(h http.Handler, body string) *httptest.ResponseRecorder {
	return do(h, call{method: http.MethodPost, path: "/v1/reach", body: body})
}

// reachBody is a question of reach with members beside its scene.
func reachBody(members string) string {
	return `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52]},` + members + `}`
}

// TestReachFollowsTheDocument sends the document's examples and holds each
// answer to the document, every asset being in it once.
func TestReachFollowsTheDocument(t *testing.T) {
	h := handler(t)
	strict := served(t, h, true)
	request := []string{"paths", "/v1/reach", "post", "requestBody", "content", "application/json"}
	examples, _ := strict.find(t, append(request, "examples")...)
	require.NotEmpty(t, examples)
	for name, example := range examples {
		body, err := json.Marshal(example.(map[string]any)["value"])
		require.NoError(t, err)
		assert.Empty(t, strict.faults(t, body, append(request, "schema")...), name)
		w := postReach(h, string(body))
		require.Equal(t, http.StatusOK, w.Code, "%s: %s", name, w.Body)
		strict.check(t, http.MethodPost, "/v1/reach", w)
		assert.Equal(t, w.Body.String(), postReach(h, string(body)).Body.String(), name)
		answer := object(t, w.Body.Bytes())
		added := 0
		if name == "preset" {
			added = 1
			able := 1 // the visiting car
			for i := range demo(t).Fleet.Assets() {
				if demo(t).Fleet.Assets()[i].HasSkill("thoracotomy") {
					able++
				}
			}
			assert.Len(t, answer["teams"], able, "all with the skill")
			assert.Contains(t, answer["teams"].([]any)[0], "opening")
		}
		assert.Len(t, slices.Concat(answer["teams"].([]any), answer["others"].([]any)), len(demo(t).Fleet.Assets())+added, name)
	}
}

// TestReachWindow: what is asked for is what is counted from. Source: definition.
func TestReachWindow(t *testing.T) {
	h := handler(t)
	for _, tt := range []struct {
		name, body, closes, window string
		limitS                     float64
	}{
		{"default", `{"scene":{"position":[-29.41,45.52]}}`, "2031-03-14T21:50:00Z", "common_practice", 600},
		{"preset", reachBody(`"output_lost_at":"2031-03-14T21:38:00Z","window":"erc_2021"`), "2031-03-14T21:53:00Z", "erc_2021", 900},
		{"own", reachBody(`"output_lost_at":"2031-03-14T19:39:00-02:00","window_s":1200`), "2031-03-14T21:59:00Z", "stated", 1200},
	} {
		t.Run(tt.name, func(t *testing.T) {
			w := postReach(h, tt.body)
			require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
			answer := object(t, w.Body.Bytes())
			assert.Equal(t, tt.closes, answer["closes_at"])
			window := answer["window"].(map[string]any)
			assert.Equal(t, tt.window, window["id"])
			assert.InDelta(t, tt.limitS, window["limit_s"], 0)
		})
	}
}

// hostileReach must be refused. Source: the definition of the question.
var hostileReach = []struct {
	name, body, says string
	status           int
}{
	{"lost later", reachBody(`"output_lost_at":"2031-03-14T21:41:00Z"`), "#/output_lost_at", 422},
	{"lost days ago", reachBody(`"output_lost_at":"2031-03-01T00:00:00Z"`), "#/output_lost_at", 422},
	{"lost in year 9999", reachBody(`"output_lost_at":"9999-03-01T00:00:00Z"`), "year 9999", 422},
	{"lost some time", reachBody(`"output_lost_at":"lately"`), "must be a date and time", 422},
	{"two windows", reachBody(`"window":"erc_2021","window_s":600`), "given beside window", 422},
	{"no such window", reachBody(`"window":"erc_2022"`), `did you mean \"erc_2021\"?`, 422},
	{"window in capitals", reachBody(`"window":"ERC"`), "#/window", 422},
	{"no window", reachBody(`"window_s":0`), "at least 1", 422},
	{"window without end", reachBody(`"window_s":1e300`), "at most 172800", 422},
	{"window that is no number", reachBody(`"window_s":NaN`), "NaN", 400},
	{"no such skill", reachBody(`"skill":"thoracotmy"`), "#/skill", 422},
	{"a patient", reachBody(`"patient":{"age_years":34}`), `unknown field \"patient\"`, 422},
	{"at a hospital", reachBody(`"happened":[{"asset":"amb-11","event":"at_hospital","at":"2031-03-14T21:39:00Z","facility":"ossuvaune-general"}]`), "#/happened/0/event", 422},
	{"lifted later", reachBody(`"happened":[{"asset":"amb-11","event":"lifted","at":"2031-03-14T21:41:00Z"}]`), "#/happened/0/at", 422},
	{"no such event", reachBody(`"happened":[{"asset":"amb-11","event":"landed","at":"2031-03-14T21:39:00Z"}]`), "#/happened/0/event", 422},
	{"no scene", `{"window":"erc_2021"}`, "scene", 422},
	{"cut", `{"scene":`, "", 400},
}

// TestReachChance: the chance is a share, and of one team never more than of
// all; what has happened is taken. Source: definition.
func TestReachChance(t *testing.T) {
	h := handler(t)
	w := postReach(h, reachBody(`"skill":"physician","window_s":3600,"happened":[{"asset":"car-1","event":"at_scene","at":"2031-03-14T21:39:00Z"}]`))
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	served(t, h, true).check(t, http.MethodPost, "/v1/reach", w)
	answer := object(t, w.Body.Bytes())
	between := 0
	for _, item := range answer["teams"].([]any) {
		team := item.(map[string]any)
		opening, can := team["opening"].(map[string]any)
		if !can {
			continue
		}
		chance := opening["chance"].(float64)
		assert.LessOrEqual(t, chance, answer["chance"].(float64))
		if chance > 0 && chance < 1 {
			between++
		}
		if team["asset"] == "car-1" {
			assert.InDelta(t, 0, team["arrival"].(map[string]any)["after"].(map[string]any)["typical_s"], 0)
		}
	}
	assert.Positive(t, between, "teams that may or may not be in time")
}

func TestHostileReach(t *testing.T) {
	h := handler(t)
	strict := served(t, h, true)
	for _, tt := range hostileReach {
		t.Run(tt.name, func(t *testing.T) {
			w := postReach(h, tt.body)
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			assert.Contains(t, w.Body.String(), tt.says)
			strict.check(t, http.MethodPost, "/v1/reach", w)
		})
	}
}

// TestReachAllFaultsAtOnce: those of the shape, of the region and of the
// window together. Source: definition.
func TestReachAllFaultsAtOnce(t *testing.T) {
	w := postReach(handler(t), `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52],"landing":"posible"},
		"assets":{"only":["heli-9"]},"output_lost_at":"2031-03-14T22:40:00Z","window":"nope","skill":"magic"}`)
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	var pointers []string
	for _, f := range object(t, w.Body.Bytes())["errors"].([]any) {
		pointers = append(pointers, f.(map[string]any)["pointer"].(string))
	}
	assert.ElementsMatch(t, []string{"#/scene/landing", "#/assets/only/0", "#/output_lost_at", "#/window", "#/skill"}, pointers)
}

// FuzzReachRequest does for reach what FuzzOptionsRequest does for options.
func FuzzReachRequest(f *testing.F) {
	for _, tt := range hostileReach {
		f.Add(tt.body)
	}
	f.Add(someWhere)
	f.Add(reachBody(`"output_lost_at":"2031-03-12T21:40:00Z","window_s":1`))
	f.Add(`{"at":"2200-12-31T23:59:59Z","scene":{"position":[180,-90],"winch":true},"window_s":172800}`)
	h := handler(f)
	strict := served(f, h, true)
	allowed := []int{http.StatusOK, http.StatusBadRequest, http.StatusUnprocessableEntity}
	f.Fuzz(func(t *testing.T, body string) {
		if body == "" {
			return // no body has no media type
		}
		w := postReach(h, body)
		require.True(t, slices.Contains(allowed, w.Code), "%d: %s", w.Code, w.Body)
		strict.check(t, http.MethodPost, "/v1/reach", w)
	})
}
