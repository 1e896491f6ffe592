package main

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"
)

// certificate writes a self-signed pair for this machine into dir and returns
// its serial number.
func certificate(t *testing.T, dir string) (cert, key string, serial *big.Int) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	serial, err = rand.Int(rand.Reader, big.NewInt(1<<62))
	require.NoError(t, err)
	template := &x509.Certificate{SerialNumber: serial, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &private.PublicKey, private)
	require.NoError(t, err)
	privateDER, err := x509.MarshalPKCS8PrivateKey(private)
	require.NoError(t, err)
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	require.NoError(t, os.WriteFile(cert, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o600))
	require.NoError(t, os.WriteFile(key, pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: privateDER}), 0o600))
	return cert, key, serial
}

var listeningTLS = regexp.MustCompile(`listening: (https://\S+)\n`)

// servingWith starts the program with an environment, which says all it needs.
func servingWith(t *testing.T, env map[string]string, shown, logged *screen, args ...string) (address string, stop func() int) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, append([]string{"serve"}, args...), func(name string) string { return env[name] }, strings.NewReader(""), shown, logged)
	}()
	require.Eventually(t, func() bool { return listeningTLS.MatchString(shown.String()) }, 20*time.Second, 5*time.Millisecond, logged.String())
	return listeningTLS.FindStringSubmatch(shown.String())[1], func() int { cancel(); return <-ended }
}

// insecure is a client that does not check for whom a certificate is, as a test
// may: it makes its own.
func insecure() *http.Client {
	return &http.Client{Timeout: 20 * time.Second, Transport: &http.Transport{
		DisableKeepAlives: true, ForceAttemptHTTP2: true, TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}
}

// TestGuardedService runs the service as an operator would, from the
// environment, and ends with a hostile round of which the log keeps no secret.
func TestGuardedService(t *testing.T) {
	defer goleak.VerifyNone(t)
	dir := t.TempDir()
	tokens := filepath.Join(dir, "tokens.json")
	made := call(t, "", "token", "create", "--tokens", tokens, "--name", "north desk", "--role", "reader")
	require.Equal(t, exitOK, made.code, made.errors)
	token := strings.TrimSpace(made.out)
	cert, key, serial := certificate(t, dir)
	var shown, logged screen
	address, stop := servingWith(t, map[string]string{"SURGEONWARD_LISTEN": "0.0.0.0:0", "SURGEONWARD_TOKENS": tokens,
		"SURGEONWARD_TLS_CERT": cert, "SURGEONWARD_TLS_KEY": key}, &shown, &logged)
	address = regexp.MustCompile(`//.*:`).ReplaceAllString(address, "//127.0.0.1:")

	client := insecure()
	ask := func(path string, authorization ...string) *http.Response {
		r, err := http.NewRequest(http.MethodGet, address+path, nil)
		require.NoError(t, err)
		r.Header["Authorization"] = authorization
		answer, err := client.Do(r)
		require.NoError(t, err)
		_, err = io.Copy(io.Discard, answer.Body)
		require.NoError(t, err)
		require.NoError(t, answer.Body.Close())
		return answer
	}
	answer := ask("/v1/assets", "Bearer "+token)
	assert.Equal(t, http.StatusOK, answer.StatusCode)
	assert.Equal(t, "HTTP/2.0", answer.Proto)
	assert.NotEmpty(t, answer.Header.Get("Strict-Transport-Security"))
	assert.Equal(t, serial, answer.TLS.PeerCertificates[0].SerialNumber)
	assert.Equal(t, http.StatusUnauthorized, ask("/v1/assets").StatusCode)
	for _, flag := range []string{"", "--ready"} {
		args := append([]string{"healthy", "--tls-cert", cert, "--listen", strings.TrimPrefix(address, "https://")}, strings.Fields(flag)...)
		assert.Equal(t, exitOK, call(t, "", args...).code)
	}

	// A pair that does not fit leaves the old one in use; the next one is taken.
	require.NoError(t, os.WriteFile(key, []byte("torn"), 0o600))
	require.Eventually(t, func() bool { ask("/healthz"); return strings.Contains(logged.String(), "TLS certificate") }, 5*time.Second, 20*time.Millisecond)
	assert.Equal(t, serial, ask("/healthz").TLS.PeerCertificates[0].SerialNumber)
	_, _, next := certificate(t, dir)
	require.Eventually(t, func() bool { return ask("/healthz").TLS.PeerCertificates[0].SerialNumber.Cmp(next) == 0 }, 5*time.Second, 20*time.Millisecond)

	// The hostile round: the token in every place a request has.
	ask("/v1/assets?access_token="+token, "Bearer "+token)
	ask("/"+token, "Bearer "+token)
	ask("/v1/assets/"+token, "Basic "+token)
	ask("/v1/assets", "Bearer "+token, "Bearer "+token)
	ask("/v1/assets", token)
	ask("/v1/assets", "Bearer "+token[:60])
	ask("/v1/problems/" + token)
	r, err := http.NewRequest(http.MethodPost, address+"/v1/options", strings.NewReader(`{"`+token+`":"`+token+`"}`))
	require.NoError(t, err)
	r.Header = http.Header{"Authorization": {"Bearer " + token}, "Content-Type": {"application/json"}, "X-Request-Id": {token}, "User-Agent": {token},
		"Accept": {token}, "Cookie": {token}, "Referer": {token}, "Origin": {"https://" + token}}
	answer, err = client.Do(r)
	require.NoError(t, err)
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	assert.Equal(t, http.StatusForbidden, answer.StatusCode, "%s", body)

	revoked := call(t, "", "token", "revoke", "--tokens", tokens, "north desk")
	require.Equal(t, exitOK, revoked.code, revoked.errors)
	assert.Eventually(t, func() bool { return ask("/v1/assets", "Bearer "+token).StatusCode == http.StatusUnauthorized }, time.Second, 10*time.Millisecond)
	require.NoError(t, os.WriteFile(tokens, []byte(token), 0o600))
	require.Eventually(t, func() bool {
		ask("/v1/assets", "Bearer "+token)
		return strings.Contains(logged.String(), "token file")
	}, 5*time.Second, 20*time.Millisecond)
	assert.Equal(t, exitOK, stop())
	kept, err := os.ReadFile(tokens)
	require.NoError(t, err)
	require.Equal(t, token, string(kept))
	for _, text := range []string{shown.String(), logged.String(), revoked.out, revoked.errors, made.errors} {
		assert.NotContains(t, text, token[30:50], "a piece of the token")
	}
	assert.Contains(t, shown.String(), "access: tokens of "+tokens)
}

// Source: the rule of listen: wider than this machine needs both, or a waiver.
func TestListeningWider(t *testing.T) {
	dir := t.TempDir()
	tokens := filepath.Join(dir, "tokens.json")
	require.Equal(t, exitOK, call(t, "", "token", "create", "--tokens", tokens, "--name", "x", "--role", "reader").code)
	cert, key, _ := certificate(t, dir)
	for _, tt := range []struct {
		name    string
		args    []string
		missing []string
	}{
		{"neither", nil, []string{"--tokens", "--tls-cert", "--allow-wide"}},
		{"no TLS", []string{"--tokens", tokens}, []string{"--tls-cert", "--allow-wide"}},
		{"no access control", []string{"--tls-cert", cert, "--tls-key", key}, []string{"--tokens", "--oidc-issuer", "--allow-wide"}},
	} {
		got := call(t, "", append([]string{"serve", "--listen", "0.0.0.0:0"}, tt.args...)...)
		assert.Equal(t, exitUsage, got.code, tt.name)
		for _, flag := range tt.missing {
			assert.Contains(t, got.errors, flag, tt.name)
		}
	}
	got := call(t, "", "serve", "--listen", "0.0.0.0:0", "--tokens", tokens)
	assert.NotContains(t, got.errors, "access control", "there is")

	listener, loopback, err := listen("0.0.0.0:0", safety{waived: true})
	require.NoError(t, err)
	assert.False(t, loopback)
	require.NoError(t, listener.Close())
	listener, loopback, err = listen("127.0.0.1:0", safety{})
	require.NoError(t, err)
	assert.True(t, loopback)
	require.NoError(t, listener.Close())
}

// TestOwnNamesOnly: without access control a page elsewhere whose name leads
// here is not answered.
func TestOwnNamesOnly(t *testing.T) {
	var stdout, stderr screen
	address, stop := serving(t, &stdout, &stderr, &stdout)
	r, err := http.NewRequest(http.MethodGet, address+"/v1/assets", nil)
	require.NoError(t, err)
	r.Host = "elsewhere.example"
	answer, err := insecure().Do(r)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	assert.Equal(t, http.StatusMisdirectedRequest, answer.StatusCode)
	assert.Equal(t, exitOK, stop())
}

func TestTokenCommands(t *testing.T) {
	tokens := filepath.Join(t.TempDir(), "tokens.json")
	made := call(t, "", "token", "create", "--tokens", tokens, "--name", "north desk", "--role", "desk", "--expires", "12h")
	require.Equal(t, exitOK, made.code, made.errors)
	assert.Regexp(t, `^surgeonward_\S+\n$`, made.out, "the token alone")
	assert.Contains(t, made.errors, "for north desk, role desk, expires ")
	require.Equal(t, exitOK, call(t, "", "token", "create", "--tokens", tokens, "--name", "south desk", "--role", "admin", "--expires", "never").code)
	list := call(t, "", "token", "list", "--tokens", tokens)
	assert.Regexp(t, `north desk +desk +valid .* UTC +-\n`, list.out)
	assert.Regexp(t, `south desk +admin +valid .* never +-\n`, list.out)
	assert.NotContains(t, list.out, made.out[30:50])
	assert.Regexp(t, `^revoked \S{8} of north desk, role desk\n$`, call(t, "", "token", "revoke", "--tokens", tokens, "north desk").out)
	assert.Regexp(t, `north desk +desk +revoked`, call(t, "", "token", "list", "--tokens", tokens).out)
	assert.Equal(t, exitFailed, call(t, "", "token", "revoke", "--tokens", tokens, "nobody").code)
}

// Source of the days: identity with time.AddDate.
func TestExpiry(t *testing.T) {
	now := time.Date(2031, 3, 14, 21, 40, 0, 0, time.UTC)
	for text, want := range map[string]time.Time{
		"90d": now.AddDate(0, 0, 90), "1d": now.AddDate(0, 0, 1), "12h": now.Add(12 * time.Hour), "1h30m": now.Add(90 * time.Minute), "never": {},
	} {
		got, err := expiry(text, now)
		assert.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "0d", "-1d", "1.5d", "d", "4000d", "99999999999999999999d", "0h", "-1h", "90", "1e9h", "NaN", "forever"} {
		_, err := expiry(text, now)
		assert.Error(t, err, text)
	}
}

// TestEnvironment: flags win over the environment, and questions hang on
// nothing in it.
func TestEnvironment(t *testing.T) {
	env := map[string]string{"SURGEONWARD_LISTEN": "nowhere", "SURGEONWARD_LIMIT": "x", "SURGEONWARD_RATE_BURST": "0"}
	with := func(args ...string) (int, string) {
		var stderr strings.Builder
		code := run(t.Context(), args, func(name string) string { return env[name] }, strings.NewReader(""), io.Discard, &stderr)
		return code, stderr.String()
	}
	code, errors := with("serve", "--rate-burst", "1")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errors, "--listen: ")
	_, errors = with("serve")
	assert.Contains(t, errors, "--rate-burst: ")
	code, errors = with("options", "--scenario", "harbour-stabbing")
	assert.Equal(t, exitOK, code, errors)
}

// Source of every row: the exit codes of run's comment.
func TestGuardUsage(t *testing.T) {
	for _, tt := range []struct {
		name string
		args []string
		want string
	}{
		{"half a pair", []string{"serve", "--tls-key", "x"}, "give both or neither"},
		{"issuer without audience", []string{"serve", "--oidc-issuer", "https://login.example"}, "--oidc-audience: give both"},
		{"issuer in the open", []string{"serve", "--oidc-issuer", "http://login.example", "--oidc-audience", "x"}, "must begin with https://"},
		{"map to no role", []string{"serve", "--oidc-issuer", "https://login.example", "--oidc-audience", "x", "--oidc-role-map", "a=boss"}, "--oidc-role-map: a: "},
		{"rate that is no number", []string{"serve", "--rate-per-s", "NaN"}, "--rate-per-s: "},
		{"rate without end", []string{"serve", "--rate-per-s", "Inf"}, "--rate-per-s: "},
		{"no burst", []string{"serve", "--rate-burst", "0"}, "--rate-burst: "},
		{"token for nobody", []string{"token", "create", "--tokens", "x", "--name", "", "--role", "desk"}, "--name: "},
		{"token of no role", []string{"token", "create", "--tokens", "x", "--name", "a", "--role", "boss"}, "--role: "},
		{"token without end", []string{"token", "create", "--tokens", "x", "--name", "a", "--role", "desk", "--expires", "1e9d"}, "--expires: "},
		{"token in no file", []string{"token", "list"}, "SURGEONWARD_TOKENS"},
		{"healthy where", []string{"healthy", "--listen", "x"}, "--listen: "},
	} {
		got := call(t, "", tt.args...)
		assert.Equal(t, exitUsage, got.code, tt.name)
		assert.Contains(t, got.errors, tt.want, tt.name)
	}
	for _, args := range [][]string{
		{"serve", "--tokens", "testdata/none.json"}, {"serve", "--tls-cert", "testdata/none", "--tls-key", "testdata/none"},
		{"token", "list", "--tokens", "testdata/none"}, {"healthy", "--listen", "127.0.0.1:1"},
	} {
		assert.Equal(t, exitFailed, call(t, "", args...).code, args)
	}
}
