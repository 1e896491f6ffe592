package api_test

import (
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
)

var sample = regexp.MustCompile(`(?m)^(surgeonward_\w+(?:\{[^}]*\})?) (\S+)$`)

// measured reads the samples of the service's own metrics.
func measured(t testing.TB, h http.Handler) map[string]float64 {
	t.Helper()
	w := get(h, "/metrics")
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	assert.True(t, strings.HasPrefix(w.Header().Get("Content-Type"), "text/plain"))
	samples := map[string]float64{}
	for _, m := range sample.FindAllStringSubmatch(w.Body.String(), -1) {
		value, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err, m[0])
		samples[m[1]] = value
	}
	return samples
}

// TestMetricsCountAnswers. Source: identity with the answer itself.
func TestMetricsCountAnswers(t *testing.T) {
	h := handler(t)
	answer := object(t, post(h, someWhere).Body.Bytes())
	want := map[string]float64{}
	for _, o := range answer["options"].([]any) {
		want[`surgeonward_options_total{shape="`+o.(map[string]any)["shape"].(string)+`"}`]++
	}
	for _, n := range answer["not_possible"].([]any) {
		for _, r := range n.(map[string]any)["reasons"].([]any) {
			want[`surgeonward_exclusions_total{code="`+r.(map[string]any)["code"].(string)+`"}`]++
		}
	}
	require.NotEmpty(t, want)
	got := measured(t, h)
	for name, value := range got {
		if strings.Contains(name, "options_total") || strings.Contains(name, "exclusions_total") {
			assert.InDelta(t, want[name], value, 0, name)
			delete(want, name)
		}
	}
	assert.Empty(t, want, "not counted")
	assert.InDelta(t, 1, got[`surgeonward_request_duration_seconds_count{method="POST",route="/v1/options",status="200"}`], 0)
	assert.InDelta(t, 1, got["surgeonward_ready"], 0)
	age := got["surgeonward_region_age_seconds"]
	assert.True(t, age > 0 && age < 600, age)

	empty := handler(t, func(c *api.Config) { c.Source = &api.Holder{} })
	assert.InDelta(t, 0, measured(t, empty)["surgeonward_ready"], 0)
}

// TestMetricsNameNobody: however telling and however many the words of callers
// are, none becomes a label.
func TestMetricsNameNobody(t *testing.T) {
	const secret, lat = "Thorvaldine", "45.5231"
	k := newKeyring(t)
	open := handler(t)
	h := guarded(t, k)
	calls := func(h http.Handler) {
		for i := range 20 {
			n := strconv.Itoa(i)
			do(h, call{method: "GET", path: "/" + secret + n + "?q=" + lat})
			do(h, call{method: "GET", path: "/v1/assets/" + secret + n, header: http.Header{"Authorization": {"Bearer " + secret + n}}})
			do(h, call{method: secret + n, path: "/healthz"})
			do(h, call{method: "POST", path: "/v1/records/" + secret + n + "/choice", body: `{"` + secret + `":1}`, header: http.Header{"Authorization": {"Bearer " + k.text["reader"]}}})
			do(h, call{method: "POST", path: "/v1/options", body: `{"scene":{"position_text":"` + secret + n + lat + `"}}`})
		}
	}
	calls(open)
	calls(h)
	w := do(h, call{method: "GET", path: "/metrics", header: http.Header{"Authorization": {"Bearer " + k.text["reader"]}}})
	require.Equal(t, 200, w.Code)
	for _, text := range []string{get(open, "/metrics").Body.String(), w.Body.String()} {
		for _, word := range []string{secret, lat, "holder", k.text["reader"][20:40]} {
			assert.NotContains(t, text, word)
		}
		assert.Less(t, strings.Count(text, "surgeonward_request_duration_seconds_count"), 12)
	}
	assert.Contains(t, w.Body.String(), `surgeonward_refused_total{reason="role_too_low"} 20`)
	assert.Contains(t, w.Body.String(), `surgeonward_refused_total{reason="unknown_token"} 20`)
	assert.Contains(t, w.Body.String(), `surgeonward_edits_total{outcome="not-allowed"} 20`)
	assert.Contains(t, w.Body.String(), `surgeonward_tokens_readable 1`)
	assert.Equal(t, 401, get(h, "/metrics").Code)
}

func TestMetricsCanBeOff(t *testing.T) {
	w := get(handler(t, func(c *api.Config) { c.NoMetrics = true }), "/metrics")
	require.Equal(t, 404, w.Code)
	checkProblem(t, w, "no-such-thing")
}

// edited is a source that says what is wrong with newer data.
type edited struct{ api.Holder }

func (*edited) Faults() int { return 7 }

func TestMetricsOfTheSource(t *testing.T) {
	source := &edited{}
	before := measured(t, handler(t, func(c *api.Config) { c.Source = source }))
	assert.InDelta(t, 7, before["surgeonward_region_faults"], 0)
	assert.InDelta(t, 0, before["surgeonward_region_age_seconds"], 0)
	source.Hold(demo(t))
	assert.WithinDuration(t, time.Now(), source.Since(), time.Minute)
}
