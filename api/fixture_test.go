package api_test

import (
	"encoding/json"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/rs/zerolog"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/region"
	"surgeonward/testdata"
)

// now is the clock of every test: a winter's night in the demo region.
var now = time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)

var demoRegion = sync.OnceValues(region.Demo)

// demo is the demo region, loaded once for all tests.
func demo(t testing.TB) *region.Region {
	t.Helper()
	r, report := demoRegion()
	require.Empty(t, report.Faults)
	return r
}

// handler serves the demo region; change may alter its configuration.
func handler(t testing.TB, change ...func(*api.Config)) http.Handler {
	t.Helper()
	held := &api.Holder{}
	held.Hold(demo(t))
	// Under the race detector on a busy machine an answer takes seconds.
	cfg := api.Config{Source: held, Logger: zerolog.Nop(), Now: func() time.Time { return now }, Build: "test", Time: 2 * time.Minute}
	for _, c := range change {
		c(&cfg)
	}
	h, err := api.New(cfg)
	require.NoError(t, err)
	return h
}

// call is one request of a test.
type call struct {
	method, path, body string
	header             http.Header
}

// do sends a call; a body is JSON unless the header says otherwise.
func do(h http.Handler, c call) *httptest.ResponseRecorder {
	r := httptest.NewRequest(c.method, c.path, strings.NewReader(c.body))
	if c.body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for name, values := range c.header {
		r.Header[name] = values
	}
	return serveOne(h, r)
}

func serveOne(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func post(h http.Handler, body string) *httptest.ResponseRecorder {
	return do(h, call{method: http.MethodPost, path: "/v1/options", body: body})
}

func get(h http.Handler, path string) *httptest.ResponseRecorder {
	return do(h, call{method: http.MethodGet, path: path})
}

// scenarios are the bodies of the worked scenarios by name.
func scenarios(t testing.TB) map[string]string {
	t.Helper()
	names, err := fs.Glob(testdata.Scenarios, "*.json")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	out := map[string]string{}
	for _, name := range names {
		body, err := fs.ReadFile(testdata.Scenarios, name)
		require.NoError(t, err)
		out[strings.TrimSuffix(name, ".json")] = string(body)
	}
	return out
}

// decode reads a JSON text into whatever it holds.
func decode(t testing.TB, text []byte) any {
	t.Helper()
	var value any
	require.NoError(t, json.Unmarshal(text, &value), "%s", text)
	return value
}

func object(t testing.TB, text []byte) map[string]any {
	t.Helper()
	out, ok := decode(t, text).(map[string]any)
	require.True(t, ok, "not an object: %s", text)
	return out
}

// instant reads a time of an answer.
func instant(t testing.TB, text any) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, text.(string))
	require.NoError(t, err)
	return at
}
