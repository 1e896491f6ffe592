package api_test

import (
	"net/http"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// FuzzOptionsRequest sends any bytes as a question. Whatever they are, the
// answer is 200 as the document describes it, or a problem document with one
// of the statuses for a bad request; never 500, and the same again.
func FuzzOptionsRequest(f *testing.F) {
	f.Add(scenarios(f)["hospital-transfer"]) // the others have their tests
	for _, tt := range hostile {
		if len(tt.body) < 4096 { // the long ones have their test
			f.Add(tt.body)
		}
	}
	f.Add(someWhere)
	f.Add("")
	f.Add(`{"scene":{"position":[180,90]},"limit":1000}`)
	f.Add(`{"scene":{"position":[-180,-90],"carry":{"typical_s":172800,"slow_s":172800}},"patient":{"age_years":0,"ready_in":{"typical_s":0,"slow_s":0}}}`)
	f.Add(`{"at":"2200-12-31T23:59:59Z","scene":{"position":[5e-324,-0.0]}}`)
	f.Add(`{"scene":{"position_text":"31TDF3127882054"},"assets":{"add":[{"id":"x","name":"X","kind":"helicopter","state":"at_scene"}]}}`)
	f.Add(conditions(`"wind":{"from_deg":360,"speed_kt":388,"gust_kt":388},"ceiling_ft":0,"visibility_m":0`))
	f.Add(conditions(`"wind":{"from_deg":0,"speed_kt":5e-324},"ceiling_ft":100000,"visibility_m":100000`))
	f.Add(conditions(`"reports":["METAR QQOV 142120Z VRB02KT 0350 R09/0600N FG VV001 07/07 Q1030 BECMG 2000 BR OVC005","TAF QQLU 141700Z 1418/1518 25032G47KT 6000 -RA BKN014 TEMPO 1420/1424 0400 +TSRA BKN002CB"]`))
	f.Add(conditions(`"reports":["METAR QQOV 142120Z /////KT //// ////// ///// Q////","SPECI QQRR 142139Z 00000KT M1/4SM FZFG VV/// M01/M01"]`))
	f.Add(`{"scene":{"position":[-29.41,45.52],"carry":{"distance_m":20000},"winch":true},"patient":{"stop":{"typical_s":0,"slow_s":172800}},"assets":{"states":[{"asset":"heli-1","state":"at_base","fuel_s":0}]}}`)
	for _, happened := range []string{
		`[{"asset":"heli-1","event":"lifted","at":"2031-03-13T21:40:00Z"},{"event":"alerted","at":"2031-03-14T21:40:00Z","facility":"ossuvaune-general"}],"output_lost_at":"2031-03-13T21:40:00Z"`,
		`[{"asset":"amb-11","event":"patient_loaded","at":"2031-03-14T21:40:00Z"},{"asset":"amb-11","event":"left_scene","at":"2031-03-14T21:40:00Z"}],"output_regained_at":"2031-03-14T21:40:00Z"`,
		`[{"asset":"heli-1","event":"at_hospital","at":"2031-03-14T21:00:00Z","facility":"samorvisse-infirmary"}]`,
		`[{"asset":"amb-11","event":"handed_over","at":"2031-03-14T21:39:59Z","facility":"ossuvaune-general"}]`,
		`[{"asset":"aero-5","event":"at_scene","at":"2031-03-14T21:00:00Z"},{"asset":"heli-3","event":"left_scene","at":"2031-03-14T20:00:00Z"}]`,
	} {
		f.Add(`{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52]},"limit":1,"happened":` + happened + `}`)
	}
	h := handler(f)
	strict := served(f, h, true)
	allowed := []int{http.StatusBadRequest, http.StatusRequestEntityTooLarge, http.StatusUnprocessableEntity}
	f.Fuzz(func(t *testing.T, body string) {
		w := post(h, body)
		if body == "" {
			require.Equal(t, http.StatusUnsupportedMediaType, w.Code)
			return
		}
		if w.Code != http.StatusOK {
			require.True(t, slices.Contains(allowed, w.Code), "%d: %s", w.Code, w.Body)
		}
		strict.check(t, http.MethodPost, "/v1/options", w)
		if w.Code == http.StatusOK {
			assert.Equal(t, w.Body.String(), post(h, body).Body.String())
		}
	})
}

// FuzzOptionsQuery does the same for the quick form.
func FuzzOptionsQuery(f *testing.F) {
	for _, query := range []string{
		"", "scene=45.52,-29.41", "facility=quorreth-hospital", "scene=45.52,-29.41&limit=1e999", "scene=NaN,Inf",
		"scene=90,180&at=1970-01-01T00:00:00Z", "scene=%00", "a;b", "scene=45.52,-29.41&needs=,,,&only=,",
		"scene=" + "%F0%9F%9A%81", "=&=", "%22=1", "scene=8FW4V75V%2B8Q&landing=impossible&rank_by=slow",
		"scene=45.52,-29.41&wind_from_deg=240&wind_speed_kt=388&ceiling_ft=0&visibility_m=0&winch=true", "scene=45.52,-29.41&wind_from_deg=1e9",
		"scene=45.52,-29.41&report=METAR+QQOV+142120Z+VRB02KT+0350+FG+VV001+07/07+Q1030&report=%00", "report=&report=&winch=",
		"scene=45.52,-29.41&at=2031-03-14T21:40:00Z&output_lost_at=2031-03-14T21:40:00Z&output_regained_at=2031-03-13T21:40:00Z", "output_lost_at=&output_regained_at=%00",
	} {
		f.Add(query)
	}
	h := handler(f)
	strict := served(f, h, true)
	allowed := []int{http.StatusOK, http.StatusBadRequest, http.StatusUnprocessableEntity}
	f.Fuzz(func(t *testing.T, query string) {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, "/v1/options", http.NoBody)
		require.NoError(t, err)
		r.URL.RawQuery = query
		w := serveOne(h, r)
		require.True(t, slices.Contains(allowed, w.Code), "%d: %s", w.Code, w.Body)
		strict.check(t, http.MethodGet, "/v1/options", w)
	})
}
