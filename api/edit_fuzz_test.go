package api_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzEdit sends any bytes as a merge patch, a whole element, a whole file and a
// table. Whatever they are, the answer is as the document describes it, never 500,
// and what was changed can be read again.
func FuzzEdit(f *testing.F) {
	for _, seed := range []string{
		`{}`, `{"name":"New name"}`, `{"id":null}`, `null`, `[]`, `{"a":`, "", "\xff", `{"base":"nowhere","position":[1e400,0]}`, `{"position":[-29.4,45.5],"state":"moving"}`,
		`{"x_a":{"x_a":{"x_a":{"x_a":{}}}}}`, strings.Repeat("[", 1000), `{"assets":[]}`, `{"assets":[{"id":"heli-1"}]}`, `{"cruise_kt":1e-400}`, `{"name":"\ud800"}`, "id,name\nheli-1,x\n",
		`{"id":"heli-1","name":"Helicopter","kind":"helicopter","base":"air-ossuvaune"}`, "\xef\xbb\xbfid;name\r\nheli-1;\"=1+1\"\r\n", `{"name":"x","name":"y"}`, `{"":0}`,
	} {
		f.Add(seed)
	}
	d := editable(f)
	allowed := []int{http.StatusOK, http.StatusBadRequest, http.StatusConflict, http.StatusRequestEntityTooLarge, http.StatusUnsupportedMediaType, http.StatusUnprocessableEntity}
	f.Fuzz(func(t *testing.T, body string) {
		for _, c := range []struct{ method, path, template, media string }{
			{"PATCH", "/v1/assets/heli-1", "/v1/assets/{id}", merge},
			{"PUT", "/v1/assets/heli-1", "/v1/assets/{id}", "application/json"},
			{"POST", "/v1/assets/heli-1/state", "/v1/assets/{id}/state", "application/json"},
			{"PUT", "/v1/region/files/fleet.json?dry_run=true", "/v1/region/files/{name}", "application/json"},
			{"POST", "/v1/region/tables/assets?dry_run=true", "/v1/region/tables/{list}", "text/csv"},
			{"POST", "/v1/facilities/status?dry_run=true", "/v1/facilities/status", "application/xml"},
		} {
			w := d.send(c.method, c.path, c.media, body, "If-Match", "*")
			require.True(t, slices.Contains(allowed, w.Code), "%s %s: %d: %s", c.method, c.path, w.Code, w.Body)
			d.strict.check(t, c.method, c.template, w)
		}
		require.Equal(t, http.StatusOK, get(d, "/v1/assets/heli-1").Code)
	})
}
