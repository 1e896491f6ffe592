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
)

// TestAudit: one line for each change and each refusal, and none for what only
// asks. Source: the definition in audit.go.
func TestAudit(t *testing.T) {
	k := newKeyring(t)
	var log bytes.Buffer
	h := guarded(t, k, func(c *api.Config) { c.Logger = zerolog.New(&log) })
	for _, tt := range []struct {
		name, method, path, token string
		want                      map[string]any // nil: no line
	}{
		{"a question", "POST", "/v1/options", "reader", nil},
		{"a list", "GET", "/v1/assets", "reader", nil},
		{"reading with a desk's role", "GET", "/v1/records", "desk", nil},
		{"nobody", "GET", "/v1/assets", "", map[string]any{"who": "unknown", "role": "none", "method": "GET", "route": "/v1/assets", "status": 401.0, "outcome": "not-authenticated", "reason": "no_credentials"}},
		{"revoked", "POST", "/v1/options", "revoked", map[string]any{"who": "unknown", "role": "none", "method": "POST", "route": "/v1/options", "status": 401.0, "outcome": "not-authenticated", "reason": "revoked_token"}},
		{"role too low", "POST", "/v1/records/x/choice", "reader", map[string]any{"who": "reader holder", "role": "reader", "method": "POST", "route": "/v1/records/:id/choice", "status": 403.0, "outcome": "not-allowed", "reason": "role_too_low"}},
		{"a change that fails", "POST", "/v1/records/x/choice", "desk", map[string]any{"who": "desk holder", "role": "desk", "method": "POST", "route": "/v1/records/:id/choice"}},
	} {
		log.Reset()
		header := http.Header{}
		if tt.token != "" {
			header.Set("Authorization", "Bearer "+k.text[tt.token])
		}
		w := do(h, call{method: tt.method, path: tt.path, body: `{"secret":"Thorvaldine"}`, header: header})
		assert.NotContains(t, log.String(), "Thorvaldine")
		var lines []map[string]any
		for text := range strings.Lines(log.String()) {
			var line map[string]any
			require.NoError(t, json.Unmarshal([]byte(text), &line))
			if line["message"] == "audit" {
				lines = append(lines, line)
			}
		}
		if tt.want == nil {
			assert.Empty(t, lines, tt.name)
			continue
		}
		require.Len(t, lines, 1, tt.name)
		assert.Equal(t, w.Header().Get("X-Request-Id"), lines[0]["id"], tt.name)
		for name, value := range tt.want {
			assert.Equal(t, value, lines[0][name], "%s: %s", tt.name, name)
		}
		assert.InDelta(t, float64(w.Code), lines[0]["status"], 0)
	}
}
