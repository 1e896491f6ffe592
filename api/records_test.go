package api_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
)

// ask records an answer and returns its id and the ids of its options.
func ask(t testing.TB, h http.Handler, body string) (id string, options []string) {
	t.Helper()
	w := post(h, body)
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	for _, o := range object(t, w.Body.Bytes())["options"].([]any) {
		options = append(options, o.(map[string]any)["id"].(string))
	}
	return w.Header().Get(recordHeader), options
}

func note(h http.Handler, id, kind, body string) int {
	return do(h, call{method: http.MethodPost, path: "/v1/records/" + url.PathEscape(id) + "/" + kind, body: body}).Code
}

const quickQuestion = `{"scene":{"position":[-29.41,45.52]},"assets":{"only":["amb-11","heli-1"]},"limit":3}`

func TestNotesOfAnAnswer(t *testing.T) {
	h, _ := recording(t, t.TempDir())
	strict := served(t, h, true)
	id, options := ask(t, h, quickQuestion)
	require.GreaterOrEqual(t, len(options), 2)
	require.Equal(t, 204, note(h, id, "choice", `{"option":"other"}`))
	require.Equal(t, 204, note(h, strings.ToLower(id), "choice", `{"option":"`+options[1]+`","at":"2031-03-14T20:41:30-01:00"}`))
	require.Equal(t, 204, note(h, strings.ReplaceAll(id, "-", " "), "facts", `{"what":"load","at":"2031-03-14T21:52:00Z"}`))
	require.Equal(t, 204, note(h, id, "facts", `{"what":"with_surgeon","at":"2031-03-14T22:31:00Z"}`))

	w := get(h, "/v1/records/"+id)
	require.Equal(t, 200, w.Code, "%s", w.Body)
	strict.check(t, http.MethodGet, "/v1/records/{id}", w)
	kept := object(t, w.Body.Bytes())
	assert.Equal(t, id, kept["id"])
	assert.Equal(t, "2031-03-14T21:40:00.123456789Z", kept["made_at"])
	assert.Equal(t, decode(t, []byte(quickQuestion)), kept["question"])
	assert.Equal(t, options[0], kept["answer"].(map[string]any)["options"].([]any)[0].(map[string]any)["id"])
	assert.Len(t, kept["data"], 5)
	assert.Equal(t, []any{
		map[string]any{"option": "other", "at": "2031-03-14T21:40:00Z", "noted_at": "2031-03-14T21:40:00Z"},
		map[string]any{"option": options[1], "at": "2031-03-14T21:41:30Z", "noted_at": "2031-03-14T21:40:00Z"},
	}, kept["choices"])
	assert.Equal(t, []any{
		map[string]any{"what": "load", "at": "2031-03-14T21:52:00Z", "noted_at": "2031-03-14T21:40:00Z"},
		map[string]any{"what": "with_surgeon", "at": "2031-03-14T22:31:00Z", "noted_at": "2031-03-14T21:40:00Z"},
	}, kept["facts"])
	assert.Contains(t, w.Body.String(), `"at":"2031-03-14T21:40:00Z","made_at"`)

	w = get(h, "/v1/records")
	require.Equal(t, 200, w.Code, "%s", w.Body)
	strict.check(t, http.MethodGet, "/v1/records", w)
	var review struct {
		Cases []struct {
			ID, Chosen  string
			Rank        int
			Offered     []any
			PredictedAt time.Time `json:"predicted_at"`
			Happened    []struct {
				What        string
				DifferenceS int64 `json:"difference_s"`
			}
		}
	}
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &review))
	require.Len(t, review.Cases, 1)
	c := review.Cases[0]
	assert.Equal(t, id, c.ID)
	assert.Equal(t, options[1], c.Chosen, "the last choice counts")
	assert.Equal(t, 2, c.Rank)
	assert.Len(t, c.Offered, len(options))
	require.Len(t, c.Happened, 2)
	arrived := time.Date(2031, 3, 14, 22, 31, 0, 0, time.UTC)
	assert.Equal(t, int64(arrived.Sub(c.PredictedAt).Seconds()), c.Happened[1].DifferenceS, "identity: what happened less what was predicted")
}

// Source of every row: RFC 9457 and the kinds of problem; what a note may name
// is in the OpenAPI document.
func TestNotesRefused(t *testing.T) {
	h, store := recording(t, t.TempDir())
	strict := served(t, h, true)
	id, options := ask(t, h, quickQuestion)
	none := handler(t)
	wrongCheck := id[:len(id)-1] + map[bool]string{true: "3", false: "2"}[strings.HasSuffix(id, "2")]
	tests := []struct {
		name         string
		h            http.Handler
		method, path string
		body         string
		status       int
		kind, detail string
	}{
		{"no record", none, "GET", "/v1/records/" + id, "", 404, "no-such-thing", "keeps no record"},
		{"no record for a review", none, "GET", "/v1/records", "", 404, "no-such-thing", "keeps no record"},
		{"no record for a choice", none, "POST", "/v1/records/" + id + "/choice", `{"option":"other"}`, 404, "no-such-thing", "keeps no record"},
		{"unknown id", h, "GET", "/v1/records/" + record.FormatID(700), "", 404, "no-such-thing", "no answer of this id"},
		{"unknown id for a fact", h, "POST", "/v1/records/" + record.FormatID(700) + "/facts", `{"what":"load","at":"2031-03-14T21:52:00Z"}`, 404, "no-such-thing", "no answer of this id"},
		{"wrong check character", h, "GET", "/v1/records/" + wrongCheck, "", 400, "bad-request", "a character of"},
		{"wrong check character for a choice", h, "POST", "/v1/records/" + wrongCheck + "/choice", `{"option":"other"}`, 400, "bad-request", "ask for it again"},
		{"misheard", h, "GET", "/v1/records/" + url.PathEscape("O1L-IS"), "", 400, "bad-request", "ids are 7 of the characters 23456789CDFHJKMNPRTVWXY"},
		{"too short", h, "GET", "/v1/records/223-F7", "", 400, "bad-request", "has 5 characters, ids have 7"},
		{"a name for an id", h, "GET", "/v1/records/Thorvaldine", "", 400, "bad-request", "not an id"},
		{"option not offered", h, "POST", "/v1/records/" + id + "/choice", `{"option":"road:amb-11:nowhere"}`, 422, "invalid-content", "other stands for"},
		{"option misspelt", h, "POST", "/v1/records/" + id + "/choice", `{"option":"` + options[0] + `x"}`, 422, "invalid-content", "did you mean " + options[0] + "?"},
		{"words for an option", h, "POST", "/v1/records/" + id + "/choice", `{"option":"Thorvaldine was taken by taxi"}`, 422, "invalid-content", "no option of this id"},
		{"no option", h, "POST", "/v1/records/" + id + "/choice", `{}`, 422, "invalid-content", "option"},
		{"a remark", h, "POST", "/v1/records/" + id + "/choice", `{"option":"other","why":"she asked for it"}`, 422, "invalid-content", `unknown field "why"`},
		{"a member of one's own", h, "POST", "/v1/records/" + id + "/choice", `{"option":"other","x_why":"she asked for it"}`, 422, "invalid-content", "x_why"},
		{"chosen in another age", h, "POST", "/v1/records/" + id + "/choice", `{"option":"other","at":"1931-03-14T21:40:00Z"}`, 422, "invalid-content", "year 1931 is not between 1970 and 2200"},
		{"chosen at no hour", h, "POST", "/v1/records/" + id + "/choice", `{"option":"other","at":"later"}`, 422, "invalid-content", "at"},
		{"activity of nobody", h, "POST", "/v1/records/" + id + "/facts", `{"what":"lunch","at":"2031-03-14T21:52:00Z"}`, 422, "invalid-content", "has an activity of this id"},
		{"activity misspelt", h, "POST", "/v1/records/" + id + "/facts", `{"what":"with_surgoen","at":"2031-03-14T21:52:00Z"}`, 422, "invalid-content", "did you mean with_surgeon?"},
		{"wrong month", h, "POST", "/v1/records/" + id + "/facts", `{"what":"with_surgeon","at":"2031-04-14T22:31:00Z"}`, 422, "invalid-content", "check the date"},
		{"wrong day before", h, "POST", "/v1/records/" + id + "/facts", `{"what":"with_surgeon","at":"2031-03-13T21:39:59Z"}`, 422, "invalid-content", "check the date"},
		{"fact without a time", h, "POST", "/v1/records/" + id + "/facts", `{"what":"with_surgeon"}`, 422, "invalid-content", "at"},
		{"everything wrong", h, "POST", "/v1/records/" + id + "/facts", `{"what":"lunch","at":"2035-03-14T22:31:00Z"}`, 422, "invalid-content", "2 things are wrong"},
		{"no JSON", h, "POST", "/v1/records/" + id + "/facts", `with_surgeon`, 400, "bad-json", "line 1"},
		{"too long", h, "POST", "/v1/records/" + id + "/facts", `{"what":"` + strings.Repeat("a", 5000) + `"}`, 400, "bad-json", "4,096"},
		{"page of nothing", h, "GET", "/v1/records?limit=0", "", 400, "bad-query", "1 to 200"},
		{"page of everything", h, "GET", "/v1/records?limit=100000", "", 400, "bad-query", "1 to 200"},
		{"after nothing", h, "GET", "/v1/records?after=5", "", 400, "bad-query", "has 1 characters"},
		{"backwards", h, "GET", "/v1/records?from=2031-03-14T00:00:00Z&to=2031-03-13T00:00:00Z", "", 400, "bad-query", "to is before from"},
		{"from some day", h, "GET", "/v1/records?from=yesterday", "", 400, "bad-query", "2031-03-14T21:40:00Z"},
		{"from another age", h, "GET", "/v1/records?from=0001-01-01T00:00:00Z", "", 400, "bad-query", "year 1 is not between"},
		{"from twice", h, "GET", "/v1/records?limit=1&limit=2", "", 400, "bad-query", "more than once"},
		{"unknown parameter", h, "GET", "/v1/records?form=2031-03-14T00:00:00Z", "", 400, "bad-query", "from, to, after, limit"},
		{"broken query", h, "GET", "/v1/records?from=%zz", "", 400, "bad-query", "cannot be read"},
	}
	before := store.Stats().Records
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := do(tt.h, call{method: tt.method, path: tt.path, body: tt.body})
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			checkProblem(t, w, tt.kind)
			assert.Contains(t, object(t, w.Body.Bytes())["detail"], tt.detail)
			template, _, _ := strings.Cut(tt.path, "?")
			if parts := strings.Split(template, "/"); len(parts) > 3 {
				parts[3] = "{id}"
				template = strings.Join(parts, "/")
			}
			strict.check(t, tt.method, template, w)
		})
	}
	assert.Equal(t, before, store.Stats().Records, "none of them was noted")
}

// TestNotesOfReach: there the options are vehicles.
func TestNotesOfReach(t *testing.T) {
	h, _ := recording(t, t.TempDir())
	w := do(h, call{method: "POST", path: "/v1/reach", body: someWhere})
	require.Equal(t, 200, w.Code)
	id := w.Header().Get(recordHeader)
	assert.Equal(t, 204, note(h, id, "choice", `{"option":"heli-1"}`))
	assert.Equal(t, 422, note(h, id, "choice", `{"option":"heli-9"}`))
	assert.Equal(t, 204, note(h, id, "facts", `{"what":"open_chest","at":"2031-03-14T21:52:00Z"}`))
	reviewed := object(t, get(h, "/v1/records").Body.Bytes())["cases"].([]any)[0].(map[string]any)
	assert.Equal(t, "reach", reviewed["asked"])
	assert.Equal(t, "heli-1", reviewed["chosen"])
}

func TestReviewInPages(t *testing.T) {
	h, store := recording(t, t.TempDir())
	var asked []string
	for range 5 {
		id, _ := ask(t, h, oneAsset)
		asked = append(asked, id)
		require.NoError(t, store.Choose(t.Context(), asked[0], "other", now)) // notes stand between the answers
	}
	var listed []string
	for path := "/v1/records?limit=2&from=2031-03-14T20:40:00-01:00&to=2031-03-15T00:00:00Z"; path != ""; {
		w := get(h, path)
		require.Equal(t, 200, w.Code, "%s", w.Body)
		page := object(t, w.Body.Bytes())
		cases := page["cases"].([]any)
		require.LessOrEqual(t, len(cases), 2)
		for _, c := range cases {
			listed = append(listed, c.(map[string]any)["id"].(string))
		}
		next, more := page["next"].(string)
		if path = ""; more {
			path = "/v1/records?limit=2&after=" + next
		}
	}
	assert.Equal(t, asked, listed)
	for query, want := range map[string]int{
		"from=2031-03-14T21:40:00.2Z": 0, "to=2031-03-14T21:40:00Z": 0, "to=2031-03-14T21:40:01Z": 5, "from=2031-03-14T21:40:00Z": 5,
	} {
		assert.Len(t, object(t, get(h, "/v1/records?"+query).Body.Bytes())["cases"], want, query)
	}
}

// TestDamagedRecord: what decay took is counted, and the rest is there.
func TestDamagedRecord(t *testing.T) {
	dir := t.TempDir()
	h, store := recording(t, dir)
	lost, _ := ask(t, h, oneAsset)
	kept, _ := ask(t, h, oneAsset)
	files, err := filepath.Glob(filepath.Join(dir, "segments", "*.jsonl"))
	require.NoError(t, err)
	require.Len(t, files, 1)
	text, err := os.ReadFile(files[0])
	require.NoError(t, err)
	i := bytes.Index(text, []byte(`"made_at"`))
	text[i+12] ^= 1
	require.NoError(t, os.WriteFile(files[0], text, 0o600))

	w := get(h, "/v1/records/"+lost)
	assert.Equal(t, 500, w.Code)
	assert.Contains(t, object(t, w.Body.Bytes())["detail"], "damaged")
	assert.NotContains(t, w.Body.String(), filepath.Base(files[0]))
	assert.Equal(t, 500, note(h, lost, "choice", `{"option":"other"}`))
	review := object(t, get(h, "/v1/records").Body.Bytes())
	assert.InDelta(t, 1, review["unreadable"], 0)
	assert.Len(t, review["cases"], 1)
	assert.Equal(t, 204, note(h, kept, "choice", `{"option":"other"}`))

	require.NoError(t, store.Close())
	w = do(h, call{method: http.MethodPost, path: "/v1/records/" + kept + "/choice", body: `{"option":"other"}`})
	assert.Equal(t, 500, w.Code)
	assert.Contains(t, object(t, w.Body.Bytes())["detail"], "nothing was noted")
}
