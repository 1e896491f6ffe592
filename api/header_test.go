package api_test

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestEveryAnswerIsSafeToShow(t *testing.T) {
	h := handler(t)
	for _, c := range []call{
		{method: http.MethodPost, path: "/v1/options", body: someWhere},
		{method: http.MethodGet, path: "/v1/options?scene=45.52,-29.41"},
		{method: http.MethodPost, path: "/v1/options", body: "{"},
		{method: http.MethodGet, path: "/nowhere"},
		{method: http.MethodGet, path: "/v1/facilities"},
	} {
		header := do(h, c).Header()
		assert.Equal(t, "nosniff", header.Get("X-Content-Type-Options"), c.path)
		assert.Equal(t, "default-src 'none'; frame-ancestors 'none'", header.Get("Content-Security-Policy"), c.path)
		assert.Equal(t, "no-referrer", header.Get("Referrer-Policy"), c.path)
		want := "no-store"
		if c.path == "/v1/facilities" {
			want = "no-cache" // may be kept, with an ETag
		}
		assert.Equal(t, want, header.Get("Cache-Control"), c.path)
	}
}

// TestOnlyTLSPromisesTLS. Source: RFC 6797, section 7.2: never without TLS.
func TestOnlyTLSPromisesTLS(t *testing.T) {
	h := handler(t)
	assert.Empty(t, get(h, "/healthz").Header().Get("Strict-Transport-Security"))
	r := httptest.NewRequest(http.MethodGet, "https://example.com/healthz", nil)
	assert.Equal(t, "max-age=31536000", serveOne(h, r).Header().Get("Strict-Transport-Security"))
}

func TestRequestID(t *testing.T) {
	tests := []struct {
		name, given string
		kept        bool
	}{
		{"of a caller", "desk-2_call-0417", true},
		{"shortest", "abcdefgh", true},
		{"longest", "a123456789012345678901234567890123456789012345678901234567890123", true},
		{"none", "", false},
		{"too short", "abcdefg", false},
		{"too long", "a1234567890123456789012345678901234567890123456789012345678901234", false},
		{"a position", "45.5231,-29.4127", false},
		{"a new line", "abcdefgh\nlevel=error", false},
		{"markup", "<script>alert(1)</script>", false},
		{"dash first", "-abcdefgh", false},
		{"letters of another script", "абвгдежзик", false},
	}
	h := handler(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := do(h, call{method: http.MethodGet, path: "/nowhere", header: http.Header{"X-Request-Id": {tt.given}}})
			id := w.Header().Get("X-Request-Id")
			assert.Regexp(t, `^[A-Za-z0-9][A-Za-z0-9_-]{7,63}$`, id)
			assert.Equal(t, tt.kept, id == tt.given)
			assert.Equal(t, id, object(t, w.Body.Bytes())["request_id"])
		})
	}
	assert.NotEqual(t, get(h, "/").Header().Get("X-Request-Id"), get(h, "/").Header().Get("X-Request-Id"))
}
