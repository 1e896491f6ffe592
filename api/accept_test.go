package api_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAccept(t *testing.T) {
	const asJSON, asMap, none = "application/json", "application/geo+json", "application/problem+json"
	tests := []struct {
		name   string
		accept []string
		want   string
		source string
	}{
		{"no header", nil, asJSON, "RFC 9110, section 12.5.1: no header means any"},
		{"empty", []string{""}, asJSON, "RFC 9110, section 12.5.1"},
		{"any", []string{"*/*"}, asJSON, "definition: the first offer wins a tie"},
		{"JSON", []string{"application/json"}, asJSON, "definition"},
		{"map", []string{"application/geo+json"}, asMap, "definition"},
		{"capitals", []string{"Application/GEO+JSON"}, asMap, "RFC 9110, section 8.3.1: types have no case"},
		{"both", []string{"application/geo+json, application/json"}, asJSON, "definition: the first offer wins a tie"},
		{"weights", []string{"application/json;q=0.5, application/geo+json"}, asMap, "RFC 9110, section 12.4.2"},
		{"weights in two lines", []string{"application/json;q=0.5", "application/geo+json;q=0.7"}, asMap, "RFC 9110, section 5.3: lines of one field are one list"},
		{"specific before general", []string{"*/*, application/json;q=0.1"}, asMap, "RFC 9110, section 12.5.1: the most specific range counts"},
		{"group", []string{"application/*;q=0.3, application/geo+json;q=0.2"}, asJSON, "RFC 9110, section 12.5.1"},
		{"browser", []string{"text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"}, asJSON, "definition"},
		{"refused by 0", []string{"application/json;q=0, */*"}, asMap, "RFC 9110, section 12.4.2: 0 is not acceptable"},
		{"all refused", []string{"*/*;q=0"}, none, "RFC 9110, section 12.4.2"},
		{"another type", []string{"text/html"}, none, "RFC 9110, section 15.5.7"},
		{"unreadable element", []string{"text, application/geo+json"}, asMap, "definition: what cannot be read is passed over"},
		{"nothing readable", []string{"; ;q=,"}, asJSON, "RFC 9110, section 12.5.1: may be treated as if there were none"},
		{"weight out of range", []string{"application/json;q=7, application/geo+json;q=0.1"}, asMap, "RFC 9110, section 12.4.2: from 0 to 1"},
		{"weight not a number", []string{"application/geo+json;q=NaN"}, asJSON, "RFC 9110, section 12.4.2"},
		{"parameter", []string{"application/geo+json;profile=x"}, asMap, "definition: other parameters are passed over"},
	}
	h := handler(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, c := range []call{
				{method: http.MethodPost, path: "/v1/options", body: oneAsset},
				{method: http.MethodGet, path: "/v1/options?scene=45.52,-29.41&only=amb-11"},
			} {
				c.header = http.Header{"Accept": tt.accept}
				w := do(h, c)
				assert.Equal(t, tt.want, w.Header().Get("Content-Type"))
				assert.Equal(t, "Accept", w.Header().Get("Vary"))
				if tt.want == none {
					assert.Equal(t, http.StatusNotAcceptable, w.Code)
				}
			}
		})
	}
}
