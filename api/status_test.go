package api_test

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/region"
	"surgeonward/testdata"
)

const someWhere = `{"scene":{"position":[-29.41,45.52]}}`

// oneAsset is a question that is answered quickly.
const oneAsset = `{"scene":{"position":[-29.41,45.52]},"assets":{"only":["amb-11"]}}`

// TestEveryStatus meets each status once. The statuses are those of RFC 9110,
// 422 for content that is JSON but no question, 503 for the service's own limit.
func TestEveryStatus(t *testing.T) {
	h := handler(t)
	strict := served(t, h, true)
	empty := handler(t, func(c *api.Config) { c.Source = &api.Holder{} })
	hurried := handler(t, func(c *api.Config) { c.Time = time.Nanosecond })
	typed := func(media string) http.Header { return http.Header{"Content-Type": {media}} }
	accept := func(media string) http.Header { return http.Header{"Accept": {media}} }
	tests := []struct {
		name   string
		h      http.Handler
		call   call
		path   string // its template in the document; empty: as called
		status int
		kind   string // of a problem
	}{
		{name: "options", h: h, call: call{method: "POST", path: "/v1/options", body: someWhere}, status: 200},
		{name: "options with charset", h: h, call: call{method: "POST", path: "/v1/options", body: someWhere, header: typed("application/json; charset=UTF-8")}, status: 200},
		{name: "quick", h: h, call: call{method: "GET", path: "/v1/options?scene=45.52,-29.41"}, path: "/v1/options", status: 200},
		{name: "quick transfer", h: h, call: call{method: "GET", path: "/v1/options?facility=quorreth-hospital"}, path: "/v1/options", status: 200},
		{name: "reach", h: h, call: call{method: "POST", path: "/v1/reach", body: someWhere}, status: 200},
		{name: "reach, refused type", h: h, call: call{method: "POST", path: "/v1/reach", body: someWhere, header: accept("application/geo+json")}, status: 406, kind: "not-acceptable"},
		{name: "reach, a form", h: h, call: call{method: "POST", path: "/v1/reach", body: someWhere, header: typed("application/x-www-form-urlencoded")}, status: 415, kind: "unsupported-media-type"},
		{name: "reach, too long", h: h, call: call{method: "POST", path: "/v1/reach", body: strings.Repeat(" ", api.MaxBody+1)}, status: 413, kind: "too-large"},
		{name: "reach without a region", h: empty, call: call{method: "POST", path: "/v1/reach", body: someWhere}, status: 503, kind: "no-region"},
		{name: "reach, out of time", h: hurried, call: call{method: "POST", path: "/v1/reach", body: someWhere}, status: 503, kind: "deadline"},
		{name: "facilities", h: h, call: call{method: "GET", path: "/v1/facilities"}, status: 200},
		{name: "facility", h: h, call: call{method: "GET", path: "/v1/facilities/quorreth-hospital"}, path: "/v1/facilities/{id}", status: 200},
		{name: "assets", h: h, call: call{method: "GET", path: "/v1/assets"}, status: 200},
		{name: "asset", h: h, call: call{method: "GET", path: "/v1/assets/heli-1"}, path: "/v1/assets/{id}", status: 200},
		{name: "roads", h: h, call: call{method: "GET", path: "/v1/roads"}, status: 200},
		{name: "parameters", h: h, call: call{method: "GET", path: "/v1/parameters"}, status: 200},
		{name: "document", h: h, call: call{method: "GET", path: "/v1/openapi.json"}, status: 200},
		{name: "schema", h: h, call: call{method: "GET", path: "/v1/schemas/fleet.schema.json"}, path: "/v1/schemas/{name}", status: 200},
		{name: "index", h: h, call: call{method: "GET", path: "/"}, status: 200},
		{name: "healthy", h: h, call: call{method: "GET", path: "/healthz"}, status: 200},
		{name: "healthy without a region", h: empty, call: call{method: "GET", path: "/healthz"}, status: 200},
		{name: "ready", h: h, call: call{method: "GET", path: "/readyz"}, status: 200},
		{name: "problem kind", h: h, call: call{method: "GET", path: "/v1/problems/invalid-content"}, path: "/v1/problems/{name}", status: 200},

		{name: "broken JSON", h: h, call: call{method: "POST", path: "/v1/options", body: `{"scene":`}, status: 400, kind: "bad-json"},
		{name: "blank", h: h, call: call{method: "POST", path: "/v1/options", body: " "}, status: 400, kind: "bad-json"},
		{name: "unknown parameter", h: h, call: call{method: "GET", path: "/v1/options?scene=45.52,-29.41&limt=3"}, path: "/v1/options", status: 400, kind: "bad-query"},
		{name: "no scene", h: h, call: call{method: "GET", path: "/v1/options"}, status: 400, kind: "bad-query"},
		{name: "broken query", h: h, call: call{method: "GET", path: "/v1/options?scene=%zz"}, path: "/v1/options", status: 400, kind: "bad-query"},
		{name: "no facility", h: h, call: call{method: "GET", path: "/v1/facilities/nowhere"}, path: "/v1/facilities/{id}", status: 404, kind: "no-such-thing"},
		{name: "no roads", h: pathless(t), call: call{method: "GET", path: "/v1/roads"}, status: 404, kind: "no-such-thing"},
		{name: "no asset", h: h, call: call{method: "GET", path: "/v1/assets/a%2Fb"}, path: "/v1/assets/{id}", status: 404, kind: "no-such-thing"},
		{name: "no schema", h: h, call: call{method: "GET", path: "/v1/schemas/x"}, path: "/v1/schemas/{name}", status: 404, kind: "no-such-thing"},
		{name: "no problem", h: h, call: call{method: "GET", path: "/v1/problems/x"}, path: "/v1/problems/{name}", status: 404, kind: "no-such-thing"},
		{name: "refused type", h: h, call: call{method: "POST", path: "/v1/options", body: someWhere, header: accept("text/html")}, status: 406, kind: "not-acceptable"},
		{name: "refused type, list", h: h, call: call{method: "GET", path: "/v1/assets", header: accept("text/html")}, status: 406, kind: "not-acceptable"},
		{name: "too long", h: h, call: call{method: "POST", path: "/v1/options", body: strings.Repeat(" ", api.MaxBody+1)}, status: 413, kind: "too-large"},
		{name: "a form", h: h, call: call{method: "POST", path: "/v1/options", body: someWhere, header: typed("application/x-www-form-urlencoded")}, status: 415, kind: "unsupported-media-type"},
		{name: "no type", h: h, call: call{method: "POST", path: "/v1/options", body: someWhere, header: typed("")}, status: 415, kind: "unsupported-media-type"},
		{name: "other charset", h: h, call: call{method: "POST", path: "/v1/options", body: someWhere, header: typed("application/json; charset=latin1")}, status: 415, kind: "unsupported-media-type"},
		{name: "compressed", h: h, call: call{method: "POST", path: "/v1/options", body: someWhere, header: http.Header{"Content-Encoding": {"gzip"}}}, status: 415, kind: "unsupported-media-type"},
		{name: "no question", h: h, call: call{method: "POST", path: "/v1/options", body: `{}`}, status: 422, kind: "invalid-content"},
		{name: "unknown asset", h: h, call: call{method: "POST", path: "/v1/options", body: `{"scene":{"position":[-29.41,45.52]},"assets":{"only":["heli-9"]}}`}, status: 422, kind: "invalid-content"},
		{name: "unknown facility", h: h, call: call{method: "GET", path: "/v1/options?facility=nowhere"}, path: "/v1/options", status: 422, kind: "invalid-content"},
		{name: "not ready", h: empty, call: call{method: "GET", path: "/readyz"}, status: 503, kind: "no-region"},
		{name: "no region", h: empty, call: call{method: "POST", path: "/v1/options", body: someWhere}, status: 503, kind: "no-region"},
		{name: "no region for a list", h: empty, call: call{method: "GET", path: "/v1/facilities"}, status: 503, kind: "no-region"},
		{name: "out of time", h: hurried, call: call{method: "POST", path: "/v1/options", body: someWhere}, status: 503, kind: "deadline"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := do(tt.h, tt.call)
			require.Equal(t, tt.status, w.Code, "%s", w.Body)
			path := tt.path
			if path == "" {
				path = tt.call.path
			}
			strict.check(t, tt.call.method, path, w)
			if tt.kind == "" {
				return
			}
			checkProblem(t, w, tt.kind)
		})
	}
}

// checkProblem checks what every problem document has, whatever its kind.
func checkProblem(t testing.TB, w *httptest.ResponseRecorder, kind string) {
	t.Helper()
	assert.Equal(t, "application/problem+json", w.Header().Get("Content-Type"))
	assert.Equal(t, "no-store", w.Header().Get("Cache-Control"))
	p := object(t, w.Body.Bytes())
	assert.Equal(t, "/v1/problems/"+kind, p["type"])
	assert.InDelta(t, float64(w.Code), p["status"], 0)
	assert.NotEmpty(t, p["detail"])
	assert.Equal(t, w.Header().Get("X-Request-Id"), p["request_id"])
	assert.Equal(t, "/v1/problems/"+kind+"#"+p["request_id"].(string), p["instance"])
}

// TestRouterProblems meets the statuses that belong to no route.
func TestRouterProblems(t *testing.T) {
	h := handler(t)
	strict := served(t, h, true)
	tests := []struct {
		name, method, path, kind, allow string
		status                          int
	}{
		{name: "unknown path", method: "GET", path: "/v2/options", status: 404, kind: "no-such-route"},
		{name: "trailing slash", method: "POST", path: "/v1/options/", status: 404, kind: "no-such-route"},
		{name: "wrong method", method: "DELETE", path: "/v1/options", status: 405, kind: "method-not-allowed", allow: "OPTIONS, GET, HEAD, POST"},
		{name: "invented method", method: "TREAT", path: "/healthz", status: 405, kind: "method-not-allowed", allow: "OPTIONS, GET, HEAD"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := do(h, call{method: tt.method, path: tt.path})
			require.Equal(t, tt.status, w.Code)
			checkProblem(t, w, tt.kind)
			assert.Equal(t, tt.allow, w.Header().Get("Allow"))
			assert.Empty(t, strict.faults(t, w.Body.Bytes(), "components", "schemas", "Problem"))
		})
	}
}

// failing is a body that cannot be read to its end.
type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

func TestBodyThatDoesNotArrive(t *testing.T) {
	h := handler(t)
	strict := served(t, h, true)
	tests := []struct {
		name   string
		err    error
		status int
		kind   string
	}{
		{"too slow", os.ErrDeadlineExceeded, 408, "request-timeout"},
		{"broken off", io.ErrUnexpectedEOF, 400, "bad-request"},
		{"connection lost", errors.New("connection reset by 192.0.2.1"), 400, "bad-request"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := httptest.NewRequest(http.MethodPost, "/v1/options", failing{tt.err})
			r.Header.Set("Content-Type", "application/json")
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r)
			require.Equal(t, tt.status, w.Code)
			checkProblem(t, w, tt.kind)
			strict.check(t, http.MethodPost, "/v1/options", w)
			assert.NotContains(t, w.Body.String(), "192.0.2.1")
		})
	}
}

// endless is a body that never ends and does not say how long it is.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

func TestEndlessBody(t *testing.T) {
	r := httptest.NewRequest(http.MethodPost, "/v1/options", endless{})
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	handler(t).ServeHTTP(w, r)
	require.Equal(t, http.StatusRequestEntityTooLarge, w.Code)
	checkProblem(t, w, "too-large")
}

func TestCallerGone(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	r := httptest.NewRequest(http.MethodPost, "/v1/options", strings.NewReader(someWhere)).WithContext(ctx)
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	handler(t).ServeHTTP(w, r)
	assert.Equal(t, http.StatusServiceUnavailable, w.Code)
}

func TestHead(t *testing.T) {
	h := handler(t)
	for _, path := range []string{"/", "/healthz", "/v1/options?scene=45.52,-29.41", "/v1/facilities"} {
		assert.Equal(t, http.StatusOK, do(h, call{method: http.MethodHead, path: path}).Code, path)
	}
	w := do(h, call{method: http.MethodOptions, path: "/v1/options"})
	assert.Equal(t, http.StatusNoContent, w.Code)
	assert.Equal(t, "OPTIONS, GET, HEAD, POST", w.Header().Get("Allow"))
}

func TestProbesNeedNoAccept(t *testing.T) {
	h := handler(t)
	for _, path := range []string{"/healthz", "/readyz"} {
		w := do(h, call{method: http.MethodGet, path: path, header: http.Header{"Accept": {"text/plain"}}})
		assert.Equal(t, http.StatusOK, w.Code, path)
	}
}

func TestNewNeedsASource(t *testing.T) {
	_, err := api.New(api.Config{})
	assert.Error(t, err)
}

// pathless serves the demo region without its roads.geojson.
func pathless(t testing.TB) http.Handler {
	t.Helper()
	folder := fstest.MapFS{}
	for _, name := range []string{region.FacilitiesFile, region.FleetFile, region.SettingsFile} {
		data, err := fs.ReadFile(testdata.Demo, name)
		require.NoError(t, err)
		folder[name] = &fstest.MapFile{Data: data}
	}
	r, report := region.Load(folder)
	require.Empty(t, report.Faults)
	held := &api.Holder{}
	held.Hold(r)
	return handler(t, func(c *api.Config) { c.Source = held })
}

// TestVersionsWithoutRoads: a region without the file has no hash of it.
func TestVersionsWithoutRoads(t *testing.T) {
	versions := object(t, post(pathless(t), oneAsset).Body.Bytes())["versions"].(map[string]any)
	assert.NotContains(t, versions, "roads")
	assert.Contains(t, object(t, post(handler(t), oneAsset).Body.Bytes())["versions"], "roads")
}
