package api_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/access"
)

// keyring is a token file with a token for each use.
type keyring struct {
	file string
	text map[string]string // by what it is for: a role's word, "expired", "revoked"
}

func newKeyring(t testing.TB) keyring {
	t.Helper()
	k := keyring{filepath.Join(t.TempDir(), "tokens.json"), map[string]string{}}
	create := func(use string, role access.Role, expires, made time.Time) string {
		text, token, err := access.Create(k.file, use+" holder", role, expires, made)
		require.NoError(t, err)
		k.text[use] = text
		return token.ID
	}
	for _, role := range []access.Role{access.Reader, access.Desk, access.Editor, access.Admin} {
		create(role.String(), role, now.Add(time.Hour), now)
	}
	create("expired", access.Admin, now.Add(-time.Second), now.Add(-time.Hour))
	_, err := access.Revoke(k.file, create("revoked", access.Admin, time.Time{}, now), now)
	require.NoError(t, err)
	return k
}

// guarded serves the demo region with access control by a token file.
func guarded(t testing.TB, k keyring, change ...func(*api.Config)) http.Handler {
	t.Helper()
	g, err := access.NewGuard(access.Config{Tokens: k.file, Now: func() time.Time { return now }})
	require.NoError(t, err)
	return handler(t, append([]func(*api.Config){func(c *api.Config) { c.Guard = g }}, change...)...)
}

// tableRoute is a route as the index lists it.
type tableRoute struct{ method, path, role string }

func routesOf(t testing.TB, h http.Handler) (routes []tableRoute) {
	t.Helper()
	for _, entry := range object(t, get(h, "/").Body.Bytes())["routes"].([]any) {
		r := entry.(map[string]any)
		role, _ := r["role"].(string)
		path := regexp.MustCompile(`\{\w+\}`).ReplaceAllString(r["path"].(string), "x")
		routes = append(routes, tableRoute{r["method"].(string), path, role})
		if r["method"] == http.MethodGet {
			routes = append(routes, tableRoute{http.MethodHead, path, role})
		}
	}
	require.NotEmpty(t, routes)
	return routes
}

// knock sends a request that need not be answered, only let in or refused: a
// stream ends with its short time.
func knock(t testing.TB, h http.Handler, method, path string, authorization ...string) *httptest.ResponseRecorder {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer cancel()
	r := httptest.NewRequest(method, path, nil).WithContext(ctx)
	if authorization != nil {
		r.Header["Authorization"] = authorization
	}
	return serveOne(h, r)
}

// TestEveryRouteOfEveryRole walks the whole table: every route, every role, and
// every way in which a token can be wrong.
//
// Source: RFC 6750, section 3.1, for statuses and error codes; 401 without a
// code where no token of the scheme was sent is its section 3.
func TestEveryRouteOfEveryRole(t *testing.T) {
	k := newKeyring(t)
	h := guarded(t, k)
	good := k.text["admin"]
	swapped := good[:30] + map[bool]string{true: "b", false: "a"}[good[30] == 'a'] + good[31:]
	other := newKeyring(t).text["admin"]
	bad := []struct {
		name   string
		header []string
		status int
		code   string
		says   string
	}{
		{"missing", nil, 401, "", "say who asks"},
		{"empty", []string{""}, 401, "", "Bearer"},
		{"wrong scheme", []string{"Basic YWRtaW46YWRtaW4="}, 401, "", "Bearer"},
		{"token without scheme", []string{good}, 401, "", "Bearer"},
		{"nothing after the scheme", []string{"Bearer "}, 400, "invalid_request", "one space and the token"},
		{"two words", []string{"Bearer " + good + " x"}, 400, "invalid_request", "one space and the token"},
		{"two tokens", []string{"Bearer " + good + "," + good}, 400, "invalid_request", "one space and the token"},
		{"quotation marks", []string{`Bearer "` + good + `"`}, 400, "invalid_request", "one space and the token"},
		{"two headers", []string{"Bearer " + good, "Bearer " + good}, 400, "invalid_request", "more than one"},
		{"endless", []string{"Bearer " + strings.Repeat("a", 9_000)}, 400, "invalid_request", "longer than any token"},
		{"one character off", []string{"Bearer " + swapped}, 401, "invalid_token", "mistyped or cut short"},
		{"cut short", []string{"Bearer " + good[:len(good)-1]}, 401, "invalid_token", "mistyped or cut short"},
		{"of another service", []string{"Bearer " + other}, 401, "invalid_token", "not known here"},
		{"of another kind", []string{"Bearer mF_9.B5f-4.1JqM"}, 401, "invalid_token", "not known here"},
		{"expired", []string{"Bearer " + k.text["expired"]}, 401, "invalid_token", "has expired"},
		{"revoked", []string{"Bearer " + k.text["revoked"]}, 401, "invalid_token", "has been revoked"},
	}
	for _, route := range routesOf(t, h) {
		at := route.method + " " + route.path
		for _, b := range bad {
			w := knock(t, h, route.method, route.path, b.header...)
			if route.role == "" {
				assert.NotContains(t, []int{401, 403}, w.Code, "%s is open", at)
				continue
			}
			require.Equal(t, b.status, w.Code, "%s, %s: %s", at, b.name, w.Body)
			challenge := w.Header().Get("WWW-Authenticate")
			assert.True(t, strings.HasPrefix(challenge, `Bearer realm="surgeonward"`), challenge)
			assert.Equal(t, b.code != "", strings.Contains(challenge, `error="`+b.code+`"`), "%s: %s", b.name, challenge)
			p := object(t, w.Body.Bytes())
			assert.Contains(t, p["detail"], b.says, b.name)
			assert.Equal(t, route.role, p["needed_role"])
			assert.NotContains(t, w.Body.String()+challenge, good[20:40], "a piece of the token")
		}
		need, _ := access.ParseRole(route.role)
		for _, has := range []access.Role{access.Reader, access.Desk, access.Editor, access.Admin} {
			w := knock(t, h, route.method, route.path, "bearer "+k.text[has.String()]) // the scheme has no case
			if has.Allows(need) {
				assert.NotContains(t, []int{401, 403}, w.Code, "%s for %s: %s", at, has, w.Body)
				continue
			}
			require.Equal(t, 403, w.Code, "%s for %s", at, has)
			assert.Contains(t, w.Header().Get("WWW-Authenticate"), `error="insufficient_scope"`)
			assert.Contains(t, w.Header().Get("WWW-Authenticate"), `scope="`+route.role+`"`)
			assert.Equal(t, route.role, object(t, w.Body.Bytes())["needed_role"])
		}
		for _, query := range []string{"access_token=" + good, "ACCESS_TOKEN=x", "token=" + good, "a=b%3D" + strings.ReplaceAll(good, "_", "%5F")} {
			w := knock(t, h, route.method, route.path+"?"+query, "Bearer "+good)
			require.Equal(t, 400, w.Code, "%s?%s", at, query)
			assert.Contains(t, w.Body.String(), "there is a token in the URL")
			assert.NotContains(t, w.Body.String(), good[20:40])
		}
	}
	assert.Equal(t, 400, knock(t, h, "GET", "/v1/facilities/"+good, "Bearer "+good).Code, "in the path")
}

// TestRolesAreDescribed: the document says of each operation what role it needs.
func TestRolesAreDescribed(t *testing.T) {
	h := handler(t)
	d := served(t, h, false)
	bearer := func(role string) []any { return []any{map[string]any{"bearer": []any{role}}} }
	assert.Equal(t, bearer("reader"), d.root["security"])
	for _, entry := range object(t, get(h, "/").Body.Bytes())["routes"].([]any) {
		r := entry.(map[string]any)
		operation, _ := d.find(t, "paths", r["path"].(string), strings.ToLower(r["method"].(string)))
		security, own := operation["security"]
		if !own {
			security = d.root["security"]
		}
		want := []any{}
		if role, ok := r["role"].(string); ok {
			want = bearer(role)
		}
		assert.Equal(t, want, security, "%s %s", r["method"], r["path"])
	}
}

// TestRevocationHoldsAtOnce revokes a token while the service runs: within a
// second it opens nothing any more.
func TestRevocationHoldsAtOnce(t *testing.T) {
	k := newKeyring(t)
	h := guarded(t, k)
	bearer := "Bearer " + k.text["desk"]
	require.Equal(t, 200, knock(t, h, "GET", "/v1/assets", bearer).Code)
	_, err := access.Revoke(k.file, "desk holder", now)
	require.NoError(t, err)
	assert.Eventually(t, func() bool { return knock(t, h, "GET", "/v1/assets", bearer).Code == 401 }, time.Second, 10*time.Millisecond)

	// A file that is broken or gone locks nobody out, and lets nobody in.
	require.NoError(t, os.WriteFile(k.file, []byte("{"), 0o600))
	time.Sleep(300 * time.Millisecond)
	assert.Equal(t, 200, knock(t, h, "GET", "/v1/assets", "Bearer "+k.text["reader"]).Code)
	assert.Equal(t, 401, knock(t, h, "GET", "/v1/assets", bearer).Code)
}

// TestEverybodyIsLocal: without access control nobody is asked who they are.
func TestEverybodyIsLocal(t *testing.T) {
	h := handler(t)
	assert.Equal(t, 200, get(h, "/v1/assets").Code)
	assert.Equal(t, 200, knock(t, h, "GET", "/v1/assets", "Bearer nonsense").Code)
}

// TestNamesOfThisMachine: a page elsewhere whose name is made to lead to this
// machine has its own name in Host. Source: RFC 9110, sections 7.2 and 15.5.20.
func TestNamesOfThisMachine(t *testing.T) {
	h := handler(t, func(c *api.Config) { c.LocalHost = true })
	for host, status := range map[string]int{
		"localhost": 200, "localhost:8080": 200, "LocalHost:8080": 200, "127.0.0.1:8080": 200, "127.9.9.9": 200, "[::1]:8080": 200, "[::1]": 200,
		"elsewhere.example": 421, "elsewhere.example:8080": 421, "localhost.example": 421, "192.0.2.1": 421, "": 421, "[::]": 421, "0.0.0.0": 421,
	} {
		r := httptest.NewRequest(http.MethodGet, "/v1/assets", nil)
		r.Host = host
		w := serveOne(h, r)
		assert.Equal(t, status, w.Code, host)
		if status == 421 {
			checkProblem(t, w, "wrong-host")
		}
	}
}

// TestPagesOfOtherSites: a browser says where a request comes from. Source: the
// Fetch Metadata and Fetch standards, as package net/http has them.
func TestPagesOfOtherSites(t *testing.T) {
	h := handler(t)
	for _, tt := range []struct {
		name   string
		header http.Header
		status int
	}{
		{"no browser", nil, 200},
		{"the service's own page", http.Header{"Sec-Fetch-Site": {"same-origin"}}, 200},
		{"another site's page", http.Header{"Sec-Fetch-Site": {"cross-site"}}, 403},
		{"an old browser on another site", http.Header{"Origin": {"https://elsewhere.example"}}, 403},
	} {
		w := do(h, call{method: "POST", path: "/v1/options", body: oneAsset, header: tt.header})
		require.Equal(t, tt.status, w.Code, tt.name)
		if tt.status == 403 {
			checkProblem(t, w, "not-allowed")
		}
	}
}

// TestEveryBodyIsBounded: no route that takes a body takes one without end, or
// one of nested junk. Source: RFC 9110, section 15.5.14, for 413.
func TestEveryBodyIsBounded(t *testing.T) {
	h := handler(t)
	for _, route := range routesOf(t, h) {
		if route.method == http.MethodGet || route.method == http.MethodHead {
			continue
		}
		at := route.method + " " + route.path
		r := httptest.NewRequest(route.method, route.path, endless{})
		r.Header.Set("Content-Type", "application/json")
		w := serveOne(h, r)
		assert.True(t, w.Code >= 400 && w.Code < 500 || w.Code == 503, "%s: %d", at, w.Code)
		nested := do(h, call{method: route.method, path: route.path, body: strings.Repeat(`{"a":[`, 20_000)})
		assert.True(t, nested.Code >= 400 && nested.Code < 500 || nested.Code == 503, "%s: %d", at, nested.Code)
		assert.Less(t, nested.Body.Len(), 64<<10, at)
	}
}
