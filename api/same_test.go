package api_test

import (
	"fmt"
	"net/http"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/region"
	"surgeonward/testdata"
)

// TestSameBytes asks every scenario of two services made apart from each
// other, several times at once: the bytes are always the same.
func TestSameBytes(t *testing.T) {
	again, report := region.Load(testdata.Demo)
	require.Empty(t, report.Faults)
	held := &api.Holder{}
	held.Hold(again)
	handlers := []http.Handler{handler(t), handler(t, func(c *api.Config) { c.Source = held })}
	for name, body := range scenarios(t) {
		accepts := []string{"application/json"}
		if name == "cliff-path" {
			accepts = append(accepts, "application/geo+json")
		}
		for _, accept := range accepts {
			ask := func(h http.Handler) string {
				w := do(h, call{method: http.MethodPost, path: "/v1/options", body: body, header: http.Header{"Accept": {accept}}})
				return fmt.Sprint(w.Code, w.Body)
			}
			want := ask(handlers[0])
			var wait sync.WaitGroup
			for i := range 3 {
				wait.Go(func() { assert.Equal(t, want, ask(handlers[i%2]), name) })
			}
			wait.Wait()
		}
	}
}

// TestRegionIsSwapped swaps the region while questions are asked: each is
// answered from one or the other.
func TestRegionIsSwapped(t *testing.T) {
	held := &api.Holder{}
	h := handler(t, func(c *api.Config) { c.Source = held })
	assert.Equal(t, http.StatusServiceUnavailable, get(h, "/readyz").Code)
	var wait sync.WaitGroup
	wait.Go(func() {
		for i := range 50 {
			if i%2 == 0 {
				held.Hold(demo(t))
			} else {
				held.Hold(nil)
			}
		}
	})
	for range 4 {
		wait.Go(func() {
			for range 5 {
				code := post(h, oneAsset).Code
				assert.Contains(t, []int{http.StatusOK, http.StatusServiceUnavailable}, code)
			}
		})
	}
	wait.Wait()
	held.Hold(demo(t))
	assert.Equal(t, http.StatusOK, get(h, "/readyz").Code)
}

// TestQuickMeansTheSame: the quick form and the full one, asked the same.
func TestQuickMeansTheSame(t *testing.T) {
	h := handler(t)
	quick := get(h, "/v1/options?scene=45%2031.2N%20029%2024.6W&uncertainty_m=50&landing=possible&at=2031-06-14T23:40:00%2B02:00"+
		"&age_years=34&needs=cardiothoracic_surgery,ecmo&escort=physician&only=heli-1,amb-11&rank_by=slow&limit=3&target_s=2700"+
		"&wind_from_deg=240&wind_speed_kt=18&ceiling_ft=1800&visibility_m=8000&winch=true"+
		"&report=METAR%20QQOV%20142120Z%2024018KT%208000%20BKN018%2009/07%20Q0991&report=METAR+QQLU+142120Z+25020KT+9999+SCT030+09/07+Q0991")
	full := post(h, `{"at":"2031-06-14T21:40:00Z","scene":{"position_text":"45 31.2N 029 24.6W","uncertainty_m":50,"landing":"possible","winch":true},
		"patient":{"age_years":34,"needs":["cardiothoracic_surgery","ecmo"],"escort":"physician"},
		"assets":{"only":["heli-1","amb-11"]},"rank_by":"slow","limit":3,"target_s":2700,
		"conditions":{"wind":{"from_deg":240,"speed_kt":18},"ceiling_ft":1800,"visibility_m":8000,"reports":[
			"METAR QQOV 142120Z 24018KT 8000 BKN018 09/07 Q0991","METAR QQLU 142120Z 25020KT 9999 SCT030 09/07 Q0991"]}}`)
	require.Equal(t, http.StatusOK, full.Code, "%s", full.Body)
	assert.Equal(t, full.Body.String(), quick.Body.String())
	plus := get(h, "/v1/options?scene=45.52,-29.41&at=2031-06-14T23:40:00+02:00")
	assert.Equal(t, "2031-06-14T21:40:00Z", object(t, plus.Body.Bytes())["at"], "a plus sign that nobody encoded")
}

// TestDecisionTime: the clock where the question names none, to the second.
func TestDecisionTime(t *testing.T) {
	h := handler(t, func(c *api.Config) {
		c.Now = func() time.Time { return time.Date(2031, 3, 14, 19, 40, 1, 999, time.FixedZone("", -7200)) }
	})
	assert.Equal(t, "2031-03-14T21:40:01Z", object(t, post(h, someWhere).Body.Bytes())["at"])
	own := post(h, `{"at":"2031-03-14T12:00:00.75+01:00","scene":{"position":[-29.41,45.52]}}`)
	assert.Equal(t, "2031-03-14T11:00:00Z", object(t, own.Body.Bytes())["at"])
}

// TestAddedAsset: an asset of the question's own is used like one of the
// fleet's, and what is odd about it is said in the answer.
func TestAddedAsset(t *testing.T) {
	w := post(handler(t), `{"scene":{"position":[-29.41,45.52]},"limit":1,"assets":{"only":["visiting-1"],"add":[
		{"id":"visiting-1","name":"Visiting ambulance","kind":"ambulance","state":"at_scene","skills":["physican"]}]}}`)
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	answer := object(t, w.Body.Bytes())
	assert.Equal(t, []any{"visiting-1"}, answer["options"].([]any)[0].(map[string]any)["assets"])
	assert.Contains(t, answer["cautions"].([]any)[0], `did you mean "physician"?`)
}
