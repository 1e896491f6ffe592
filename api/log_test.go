package api_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"github.com/rs/zerolog"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/region"
)

// panicking is a source that fails in the worst way, with what a caller sent.
type panicking struct{ thrown any }

func (p panicking) Region() *region.Region { panic(p.thrown) }

// TestLogNamesNobody sends the same telling words by every way into a request
// and finds none of them in the log.
func TestLogNamesNobody(t *testing.T) {
	const secret, lat, lon = "Thorvaldine", "45.5231", "29.4127"
	var log bytes.Buffer
	logged := func(c *api.Config) { c.Logger = zerolog.New(&log) }
	h := handler(t, logged)
	broken := handler(t, logged, func(c *api.Config) { c.Source = panicking{secret + " at " + lat} })
	body := `{"scene":{"position":[-` + lon + `,` + lat + `]}}`
	calls := []struct {
		h      http.Handler
		call   call
		route  string
		status int
	}{
		{h, call{method: "POST", path: "/v1/options", body: body}, "/v1/options", 200},
		{h, call{method: "POST", path: "/v1/options", body: body + secret}, "/v1/options", 400},
		{h, call{method: "POST", path: "/v1/options", body: `{"` + secret + `":"` + lat + `"}`}, "/v1/options", 422},
		{h, call{method: "POST", path: "/v1/options", body: `{"scene":{"position_text":"` + secret + `"}}`}, "/v1/options", 422},
		{h, call{method: "POST", path: "/v1/options", body: `{"scene":{"position":[` + lon + `,999]},"assets":{"only":["` + secret + `"]}}`}, "/v1/options", 422},
		{h, call{method: "GET", path: "/v1/options?scene=" + lat + ",-" + lon}, "/v1/options", 200},
		{h, call{method: "GET", path: "/v1/options?" + secret + "=" + lat}, "/v1/options", 400},
		{h, call{method: "GET", path: "/v1/facilities/" + secret}, "/v1/facilities/:id", 404},
		{h, call{method: "GET", path: "/" + secret + "/" + lat}, "none", 404},
		{h, call{method: secret, path: "/healthz"}, "", 405},
		{h, call{method: "GET", path: "/healthz", header: http.Header{"User-Agent": {secret}, "X-Request-Id": {secret + lat}, "X-Forwarded-For": {secret}, "Referer": {lat}}}, "/healthz", 200},
		{broken, call{method: "POST", path: "/v1/options", body: body}, "/v1/options", 500},
	}
	for _, c := range calls {
		log.Reset()
		w := do(c.h, c.call)
		require.Equal(t, c.status, w.Code, "%s", w.Body)
		text := log.String()
		for _, word := range []string{secret, lat, lon, "999"} {
			assert.NotContains(t, text, word)
		}
		lines := strings.Split(strings.TrimSpace(text), "\n")
		var line map[string]any
		require.NoError(t, json.Unmarshal([]byte(lines[len(lines)-1]), &line))
		assert.Equal(t, w.Header().Get("X-Request-Id"), line["id"])
		assert.InDelta(t, float64(c.status), line["status"], 0)
		assert.InDelta(t, float64(w.Body.Len()), line["bytes"], 0)
		assert.GreaterOrEqual(t, line["duration_ms"], 0.0)
		if c.route != "" {
			assert.Equal(t, c.route, line["route"])
		}
		if c.status < 500 {
			assert.Len(t, lines, 1)
		}
		for _, name := range []string{"id", "method", "route", "status", "duration_ms", "bytes", "level", "message"} {
			assert.Contains(t, line, name)
			delete(line, name)
		}
		assert.Empty(t, line, "members of a log line that nobody asked for")
	}
}

// TestPanic says nothing of what was thrown, and leaves the service running.
func TestPanic(t *testing.T) {
	var log bytes.Buffer
	h := handler(t, func(c *api.Config) {
		c.Source = panicking{assert.AnError}
		c.Logger = zerolog.New(&log)
	})
	w := post(h, someWhere)
	require.Equal(t, http.StatusInternalServerError, w.Code)
	checkProblem(t, w, "internal")
	served(t, h, true).check(t, http.MethodPost, "/v1/options", w)
	assert.NotContains(t, w.Body.String(), "panic")
	assert.NotContains(t, w.Body.String(), assert.AnError.Error())
	assert.NotContains(t, log.String(), assert.AnError.Error())
	assert.Contains(t, log.String(), "panicking", "the function it came from")
	assert.Equal(t, http.StatusOK, get(h, "/healthz").Code)

	abort := handler(t, func(c *api.Config) { c.Source = panicking{http.ErrAbortHandler} })
	assert.PanicsWithError(t, http.ErrAbortHandler.Error(), func() { post(abort, someWhere) }, "net/http's own way to give a connection up")
}
