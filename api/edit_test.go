package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/region"
)

const newBase = `{"type":"Feature","id":"road-new","geometry":{"type":"Point","coordinates":[-29.41,45.52]},"properties":{"kind":"base","name":"New station","x_note":1.50}}`

// TestEditing goes once through the life of an element.
func TestEditing(t *testing.T) {
	d := editable(t)
	const path = "/v1/facilities/road-new"
	w := d.send("PUT", path, "application/geo+json", newBase, "If-None-Match", "*", "Surgeonward-Why", "a%20new%20station%20%E2%80%94%20opened")
	require.Equal(t, http.StatusCreated, w.Code, "%s", w.Body)
	d.strict.check(t, "PUT", "/v1/facilities/{id}", w)
	assert.Equal(t, path, w.Header().Get("Location"))
	assert.Equal(t, "2", w.Header().Get("Surgeonward-Version"))
	assert.Equal(t, newBase, w.Body.String(), "members, their order and the text of numbers stay")
	body, tag := d.read(path)
	assert.Equal(t, newBase, body)
	assert.Equal(t, tag, w.Header().Get("ETag"))

	w = do(d, call{method: "GET", path: path, header: header("If-None-Match", tag)})
	assert.Equal(t, http.StatusNotModified, w.Code)
	assert.Empty(t, w.Body.String())

	w = d.send("PATCH", path, merge, `{"properties":{"name":"Newer station","x_note":null}}`, "If-Match", tag)
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	d.strict.check(t, "PATCH", "/v1/facilities/{id}", w)
	assert.Equal(t, strings.Replace(strings.Replace(newBase, "New st", "Newer st", 1), `,"x_note":1.50`, "", 1), w.Body.String())
	patched := w.Header().Get("ETag")
	assert.NotEqual(t, tag, patched)

	w = d.send("PUT", path, "application/json", newBase, "If-Match", tag)
	require.Equal(t, http.StatusPreconditionFailed, w.Code, "the tag is of before the patch")
	checkProblem(t, w, "precondition-failed")
	w = d.send("PUT", path, "application/json", newBase, "If-Match", `"other", `+patched)
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	w = d.send("PUT", path, "application/json", newBase, "If-Match", tag)
	require.Equal(t, http.StatusOK, w.Code, "the same again changes nothing")
	assert.Equal(t, "4", w.Header().Get("Surgeonward-Version"))

	w = d.send("DELETE", path, "", "", "If-Match", "*")
	require.Equal(t, http.StatusNoContent, w.Code, "%s", w.Body)
	assert.Equal(t, "5", w.Header().Get("Surgeonward-Version"))
	assert.Equal(t, http.StatusNotFound, get(d, path).Code)

	history := object(t, get(d, "/v1/history?element=road-new").Body.Bytes())["entries"].([]any)
	require.Len(t, history, 4)
	first := history[3].(map[string]any)
	assert.Equal(t, "a new station — opened", first["why"])
	assert.Equal(t, "local", first["who"])
	v, err := d.store.At(t.Context(), 5)
	require.NoError(t, err)
	one, err := d.store.At(t.Context(), 1)
	require.NoError(t, err)
	assert.True(t, string(one.Content[region.FacilitiesFile]) == string(v.Content[region.FacilitiesFile]), "the file is again what it was, byte for byte")
}

// TestPreconditionOrder: RFC 9110, section 13.2: after the checks that any
// request gets, before the content is looked at; If-Match before If-None-Match.
func TestPreconditionOrder(t *testing.T) {
	d := editable(t)
	_, tag := d.read("/v1/assets/heli-1")
	asset, _ := d.read("/v1/assets/heli-2")
	const stale = `"0123456789abcdef0123456789abcdef"`
	tests := []struct {
		name, method, path, media, body string
		header                          []string
		status                          int
		kind                            string
	}{
		{"no precondition", "PUT", "heli-1", "application/json", `{}`, nil, 428, "precondition-required"},
		{"none for a patch", "PATCH", "heli-1", merge, `{}`, nil, 428, "precondition-required"},
		{"none for a removal", "DELETE", "heli-1", "", "", nil, 428, "precondition-required"},
		{"none, and nothing there", "PATCH", "heli-99", merge, `{}`, nil, 404, "no-such-thing"},
		{"lost tag", "PUT", "heli-1", "application/json", `{}`, []string{"If-Match", stale}, 412, "precondition-failed"},
		{"a stale tag comes before broken JSON", "PUT", "heli-1", "application/json", `{`, []string{"If-Match", stale}, 412, "precondition-failed"},
		{"the right tag, then broken JSON", "PUT", "heli-1", "application/json", `{`, []string{"If-Match", tag}, 400, "bad-json"},
		{"the right tag, then another id", "PUT", "heli-1", "application/json", asset, []string{"If-Match", tag}, 422, "invalid-content"},
		{"the media type comes before a stale tag", "PUT", "heli-1", "text/plain", `{}`, []string{"If-Match", stale}, 415, "unsupported-media-type"},
		{"a patch as plain JSON", "PATCH", "heli-1", "application/json", `{}`, []string{"If-Match", tag}, 415, "unsupported-media-type"},
		{"nothing there comes before a stale tag", "PATCH", "heli-99", merge, `{}`, []string{"If-Match", stale}, 404, "no-such-thing"},
		{"nothing to remove", "DELETE", "heli-99", "", "", []string{"If-Match", "*"}, 404, "no-such-thing"},
		{"any, where nothing is", "PUT", "heli-99", "application/json", `{"id":"heli-99"}`, []string{"If-Match", "*"}, 412, "precondition-failed"},
		{"none, where something is", "PUT", "heli-1", "application/json", `{}`, []string{"If-None-Match", "*"}, 412, "precondition-failed"},
		{"none of this tag", "PUT", "heli-1", "application/json", `{}`, []string{"If-None-Match", "W/" + tag}, 412, "precondition-failed"},
		{"a weak tag never matches strongly", "PUT", "heli-1", "application/json", `{}`, []string{"If-Match", "W/" + tag}, 412, "precondition-failed"},
		{"without quotation marks", "PUT", "heli-1", "application/json", `{}`, []string{"If-Match", strings.Trim(tag, `"`)}, 412, "precondition-failed"},
		{"If-Match is looked at first", "PUT", "heli-1", "application/json", `{`, []string{"If-Match", tag, "If-None-Match", "*"}, 400, "bad-json"},
		{"a patch that takes the id away", "PATCH", "heli-1", merge, `{"id":null}`, []string{"If-Match", tag}, 422, "invalid-content"},
		{"a patch that is no object", "PATCH", "heli-1", merge, `[1]`, []string{"If-Match", tag}, 422, "invalid-content"},
		{"not acceptable", "PATCH", "heli-1", merge, `{}`, []string{"If-Match", tag, "Accept", "text/html"}, 406, "not-acceptable"},
		{"compressed", "PATCH", "heli-1", merge, `{}`, []string{"If-Match", tag, "Content-Encoding", "gzip"}, 415, "unsupported-media-type"},
		{"in another character set", "PATCH", "heli-1", merge + ";charset=latin1", `{}`, []string{"If-Match", tag}, 415, "unsupported-media-type"},
		{"a reason that is too long", "PATCH", "heli-1", merge, `{}`, []string{"If-Match", tag, "Surgeonward-Why", strings.Repeat("x", 301)}, 400, "bad-request"},
		{"a reason on two lines", "PATCH", "heli-1", merge, `{}`, []string{"If-Match", tag, "Surgeonward-Why", "a%0Ab"}, 400, "bad-request"},
		{"a reason that is no UTF-8", "PATCH", "heli-1", merge, `{}`, []string{"If-Match", tag, "Surgeonward-Why", "%FF"}, 400, "bad-request"},
		{"invalid UTF-8", "PATCH", "heli-1", merge, "{\"name\":\"\xff\"}", []string{"If-Match", tag}, 400, "bad-json"},
		{"a name twice", "PATCH", "heli-1", merge, `{"name":"a","name":"b"}`, []string{"If-Match", tag}, 400, "bad-json"},
		{"too deep", "PATCH", "heli-1", merge, strings.Repeat(`{"x_a":`, 100) + "1" + strings.Repeat("}", 100), []string{"If-Match", tag}, 400, "bad-json"},
		{"too long", "PATCH", "heli-1", merge, `{"x_a":"` + strings.Repeat("x", 256<<10) + `"}`, []string{"If-Match", tag}, 413, "too-large"},
		{"nothing at all", "PATCH", "heli-1", merge, " ", []string{"If-Match", tag}, 400, "bad-json"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := d.send(tt.method, "/v1/assets/"+tt.path, tt.media, tt.body, tt.header...)
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			checkProblem(t, w, tt.kind)
			d.strict.check(t, tt.method, "/v1/assets/{id}", w)
		})
	}
	assert.Equal(t, int64(1), d.live.State().Version.Number, "nothing was changed")
}

// TestFaultsOfAnEdit: an element that is wrong, and one that is right but does
// not fit.
func TestFaultsOfAnEdit(t *testing.T) {
	d := editable(t)
	faults := func(method, path, media, body string, status int) []map[string]any {
		w := d.send(method, path, media, body, "If-Match", "*")
		require.Equal(t, status, w.Code, "%s", w.Body)
		d.strict.check(t, method, path[:strings.LastIndex(path, "/")]+"/{id}", w)
		var out []map[string]any
		for _, e := range object(t, w.Body.Bytes())["errors"].([]any) {
			out = append(out, e.(map[string]any))
		}
		return out
	}
	got := faults("PATCH", "/v1/facilities/ettuquar-chest", merge, `{"properties":{"pad":{"lit":"yes"},"capabilties":[],"theatre":7}}`, 422)
	require.Len(t, got, 3)
	assert.Equal(t, "#/properties/capabilties", got[0]["pointer"])
	assert.Equal(t, "#/properties/pad/lit", got[1]["pointer"])
	assert.Equal(t, "#/properties/theatre", got[2]["pointer"])
	assert.NotContains(t, got[0], "file", "the pointer leads into what was sent")

	got = faults("DELETE", "/v1/facilities/air-ossuvaune", "", "", 409)
	assert.Equal(t, "fleet.json", got[0]["file"])
	assert.Equal(t, "#/assets/0/base", got[0]["pointer"])

	got = faults("PATCH", "/v1/assets/heli-1", merge, `{"base":"nowhere"}`, 422)
	assert.Equal(t, "#/base", got[0]["pointer"])

	got = faults("PATCH", "/v1/facilities/air-ossuvaune", merge, `{"geometry":{"coordinates":[45.5,-129.4]}}`, 422)
	assert.Equal(t, "#/geometry/coordinates/1", got[0]["pointer"])
}

// TestHostileIDs: what cannot be an id leads nowhere, whatever it looks like.
func TestHostileIDs(t *testing.T) {
	d := editable(t)
	for _, id := range []string{
		"..", "%2e%2e%2fsettings.json", "a%2fb", "%00", "%ff", "x%0d%0aSet-Cookie:%20a", "HELI-1", "heli-1%20", "-1", strings.Repeat("a", 65),
		"%7B%22id%22%3A1%7D", "'%20or%201=1", "heli_1", url.PathEscape("hélicoptère"), "~", "#", "heli-1;x",
	} {
		for _, l := range []string{"/v1/facilities/", "/v1/assets/", "/v1/roads/"} {
			for _, method := range []string{"GET", "PUT", "PATCH", "DELETE"} {
				media := map[string]string{"PUT": "application/json", "PATCH": merge}[method]
				w := d.send(method, l+id, media, strings.Repeat("{}", len(media)%2+1)[:2*min(1, len(media))], "If-Match", "*")
				assert.Contains(t, []int{404, 405}, w.Code, "%s %s%s: %s", method, l, id, w.Body)
			}
		}
	}
	assert.Equal(t, int64(1), d.live.State().Version.Number)
}

// TestNotEditable: a service on data that cannot be edited says so.
func TestNotEditable(t *testing.T) {
	h := handler(t)
	strict := served(t, h, true)
	for _, tt := range []struct {
		call   call
		path   string
		status int
	}{
		{call{method: "DELETE", path: "/v1/assets/heli-1", header: header("If-Match", "*")}, "/v1/assets/{id}", 409},
		{call{method: "POST", path: "/v1/facilities/ettuquar-chest/accepting", body: `{"state":"closed"}`}, "/v1/facilities/{id}/accepting", 409},
		{call{method: "GET", path: "/v1/history"}, "/v1/history", 404},
		{call{method: "GET", path: "/v1/events"}, "/v1/events", 404},
	} {
		w := do(h, tt.call)
		require.Equal(t, tt.status, w.Code, "%s", w.Body)
		strict.check(t, tt.call.method, tt.path, w)
	}
	w := get(h, "/v1/region")
	require.Equal(t, 200, w.Code)
	strict.check(t, "GET", "/v1/region", w)
	assert.Equal(t, false, object(t, w.Body.Bytes())["editable"])
}

// TestTwoEditorsRace: two editors count one number up to a thousand, each edit
// made from what it read. None is lost and none undone unseen: the number is the
// sum, and every lost race was told. Source: definition of If-Match.
func TestTwoEditorsRace(t *testing.T) {
	d := editable(t)
	const path, each = "/v1/assets/heli-1", editsEach
	counted := func(body string) int {
		var asset struct {
			Count int `json:"x_count"`
		}
		require.NoError(t, json.Unmarshal([]byte(body), &asset))
		return asset.Count
	}
	var lost [2]int
	var wg sync.WaitGroup
	for i := range lost {
		wg.Go(func() {
			for done := 0; done < each; {
				w := get(d, path)
				patch := fmt.Sprintf(`{"x_count":%d,"x_by_%d":%d}`, counted(w.Body.String())+1, i, done)
				switch w = d.send("PATCH", path, merge, patch, "If-Match", w.Header().Get("ETag")); w.Code {
				case http.StatusOK:
					done++
				case http.StatusPreconditionFailed:
					lost[i]++
				default:
					t.Errorf("status %d: %s", w.Code, w.Body)
					return
				}
			}
		})
	}
	wg.Wait()
	body, _ := d.read(path)
	assert.Equal(t, 2*each, counted(body))
	assert.Equal(t, int64(1+2*each), d.live.State().Version.Number, "each edit that was acknowledged made one version")
	assert.NotZero(t, lost[0]+lost[1], "the race was one")
}

// TestDivertedAt2140: a hospital that closes at 21:40 is offered to nobody at
// 21:41, and is again once the closing has ended.
func TestDivertedAt2140(t *testing.T) {
	d := editable(t)
	offers := func() map[string]bool {
		w := post(d, `{"scene":{"position":[-29.41,45.52]},"limit":1000}`)
		require.Equal(t, 200, w.Code, "%s", w.Body)
		out := map[string]bool{}
		for _, o := range object(t, w.Body.Bytes())["options"].([]any) {
			out[o.(map[string]any)["destination"].(map[string]any)["facility"].(string)] = true
		}
		return out
	}
	require.True(t, offers()["ossuvaune-general"])
	w := d.send("POST", "/v1/facilities/ossuvaune-general/accepting", "application/json", `{"state":"divert","reason":"theatre flooded","until":"2031-03-14T23:00:00Z"}`)
	require.Equal(t, 200, w.Code, "%s", w.Body)
	d.strict.check(t, "POST", "/v1/facilities/{id}/accepting", w)
	d.set(now.Add(time.Minute))
	assert.False(t, offers()["ossuvaune-general"])
	assert.True(t, offers()["ettuquar-chest"])
	d.set(now.Add(80 * time.Minute))
	assert.True(t, offers()["ossuvaune-general"])
	_, err := d.live.Expire(t.Context())
	require.NoError(t, err)
	body, _ := d.read("/v1/facilities/ossuvaune-general")
	assert.NotContains(t, body, "accepting")
}

// TestStoreGone: while the store cannot be reached answers go on, saying how old
// their data is, and an edit is told to come again.
func TestStoreGone(t *testing.T) {
	d := editable(t)
	require.NoError(t, d.store.Close())
	w := d.send("POST", "/v1/facilities/ettuquar-chest/accepting", "application/json", `{"state":"divert"}`)
	require.Equal(t, http.StatusServiceUnavailable, w.Code)
	checkProblem(t, w, "store-unavailable")
	d.strict.check(t, "POST", "/v1/facilities/{id}/accepting", w)
	assert.NotEmpty(t, w.Header().Get("Retry-After"))
	assert.Equal(t, http.StatusOK, get(d, "/readyz").Code)

	r := *d.live.Region()
	r.StaleSince = now.Add(-time.Minute)
	held := &api.Holder{}
	held.Hold(&r)
	h := handler(t, func(c *api.Config) { c.Source = held })
	w = post(h, oneAsset)
	require.Equal(t, http.StatusOK, w.Code)
	d.strict.check(t, "POST", "/v1/options", w)
	answer := object(t, w.Body.Bytes())
	assert.Equal(t, "2031-03-14T21:39:00Z", answer["region"].(map[string]any)["stale_since"])
	assert.Contains(t, answer["cautions"].([]any)[0], "nobody could tell whether it has changed")
}
