package api_test

import (
	"net/http"
	"net/http/httptest"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
)

// Source: definition; three at once and then one in a thousand seconds.
var slow = func(c *api.Config) { c.Rate = api.Rate{PerSecond: 0.001, Burst: 3} }

func TestRateByName(t *testing.T) {
	k := newKeyring(t)
	h := guarded(t, k, slow)
	for i := range 5 {
		w := knock(t, h, "GET", "/v1/assets/x", "Bearer "+k.text["reader"])
		if i < 3 {
			require.Equal(t, 404, w.Code, "let in")
			continue
		}
		require.Equal(t, 429, w.Code)
		checkProblem(t, w, "too-many-requests")
		wait, err := strconv.Atoi(w.Header().Get("Retry-After"))
		require.NoError(t, err)
		assert.InDelta(t, 1000, wait, 5, "seconds")
	}
	assert.Equal(t, 404, knock(t, h, "GET", "/v1/assets/x", "Bearer "+k.text["desk"]).Code, "another's allowance")
}

// TestRateByAddress holds for those nobody knows: guessing tokens included.
func TestRateByAddress(t *testing.T) {
	k := newKeyring(t)
	h := guarded(t, k, slow)
	from := func(address, path, token string) int {
		r := httptest.NewRequest(http.MethodGet, path, nil)
		r.RemoteAddr = address
		r.Header.Set("X-Forwarded-For", "198.51.100.7") // the caller's own word
		r.Header.Set("Authorization", "Bearer "+token)
		return serveOne(h, r).Code
	}
	assert.Equal(t, 401, from("192.0.2.9:1", "/v1/assets", "guess1"))
	assert.Equal(t, 200, from("192.0.2.9:2", "/healthz", "guess2"))
	assert.Equal(t, 404, from("192.0.2.9:3", "/nowhere", "guess3"))
	for _, path := range []string{"/v1/assets", "/healthz", "/nowhere"} {
		assert.Equal(t, 429, from("192.0.2.9:4", path, "guess"), path)
	}
	assert.Equal(t, 404, from("192.0.2.9:5", "/v1/assets/x", k.text["reader"]), "who is known is not kept out by guesses")
	assert.Equal(t, 401, from("192.0.2.10:1", "/v1/assets", "guess"), "another address")
	for range 3 {
		assert.Equal(t, 401, from("[2001:db8::1]:1", "/v1/assets", "guess"))
	}
	assert.Equal(t, 429, from("[2001:db8::ffff:2]:1", "/v1/assets", "guess"), "the same network of 64 bits")
	assert.Equal(t, 401, from("[2001:db8:0:1::1]:1", "/v1/assets", "guess"))
}

// TestRateOfThisMachine: where there is no access control, other machines are
// limited by address and this one is not.
func TestRateOfThisMachine(t *testing.T) {
	h := handler(t, slow)
	code := func(address string) int {
		r := httptest.NewRequest(http.MethodGet, "/healthz", nil)
		r.RemoteAddr = address
		return serveOne(h, r).Code
	}
	for i := range 6 {
		assert.Equal(t, 200, code("127.0.0.1:1"))
		assert.Equal(t, i < 3, code("192.0.2.9:1") == 200)
	}
}
