package access_test

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"encoding/base64"
	"encoding/json"
	"encoding/pem"
	"net/http"
	"net/http/httptest"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/go-jose/go-jose/v4"
	"github.com/stretchr/testify/require"

	"surgeonward/api/access"
)

// rsaKey and ecKey are made once: an RSA key takes a while.
var (
	rsaKey = sync.OnceValue(func() *rsa.PrivateKey { return must(rsa.GenerateKey(rand.Reader, 2048)) })
	ecKey  = sync.OnceValue(func() *ecdsa.PrivateKey { return must(ecdsa.GenerateKey(elliptic.P256(), rand.Reader)) })
)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// issuer is an OpenID Connect provider on this machine.
type issuer struct {
	*httptest.Server
	mu      sync.Mutex
	keys    []any // each a jose.JSONWebKey, or what stands in its place
	down    atomic.Bool
	fetches atomic.Int32 // of the keys
}

func newIssuer(t *testing.T, keys ...any) *issuer {
	t.Helper()
	i := &issuer{keys: keys}
	i.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if i.down.Load() {
			w.WriteHeader(http.StatusBadGateway)
			return
		}
		switch r.URL.Path {
		case "/.well-known/openid-configuration":
			_ = json.NewEncoder(w).Encode(map[string]any{"issuer": i.URL, "jwks_uri": i.URL + "/keys"})
		case "/keys":
			i.fetches.Add(1)
			i.mu.Lock()
			defer i.mu.Unlock()
			_ = json.NewEncoder(w).Encode(map[string]any{"keys": i.keys})
		}
	}))
	t.Cleanup(i.Close)
	return i
}

func (i *issuer) publish(keys ...any) {
	i.mu.Lock()
	defer i.mu.Unlock()
	i.keys = keys
}

func public(key crypto.PublicKey, id, algorithm string) jose.JSONWebKey {
	return jose.JSONWebKey{Key: key, KeyID: id, Algorithm: algorithm, Use: "sig"}
}

// claims are those of a good token of a dispatcher, changed as asked.
func (i *issuer) claims(change map[string]any) map[string]any {
	c := map[string]any{
		"iss": i.URL, "aud": "surgeonward", "sub": "248289761001", "preferred_username": "anna",
		"iat": now.Add(-time.Minute).Unix(), "exp": now.Add(time.Hour).Unix(), "roles": []string{"desk", "other"},
	}
	for name, value := range change {
		c[name] = value
		if value == nil {
			delete(c, name)
		}
	}
	return c
}

// sign makes a JWT. The key may be of any kind a library takes, even a wrong one.
func sign(t *testing.T, algorithm jose.SignatureAlgorithm, key any, id string, claims any) string {
	t.Helper()
	options := (&jose.SignerOptions{}).WithType("JWT")
	if id != "" {
		options = options.WithHeader("kid", id)
	}
	signer, err := jose.NewSigner(jose.SigningKey{Algorithm: algorithm, Key: key}, options)
	require.NoError(t, err)
	payload, err := json.Marshal(claims)
	require.NoError(t, err)
	signed, err := signer.Sign(payload)
	require.NoError(t, err)
	text, err := signed.CompactSerialize()
	require.NoError(t, err)
	return text
}

// unsigned is a JWT of alg none (RFC 7519, section 6).
func unsigned(t *testing.T, claims any) string {
	t.Helper()
	payload, err := json.Marshal(claims)
	require.NoError(t, err)
	b64 := base64.RawURLEncoding.EncodeToString
	return b64([]byte(`{"alg":"none"}`)) + "." + b64(payload) + "."
}

func publicPEM(t *testing.T, key crypto.PublicKey) []byte {
	t.Helper()
	der, err := x509.MarshalPKIXPublicKey(key)
	require.NoError(t, err)
	return pem.EncodeToMemory(&pem.Block{Type: "PUBLIC KEY", Bytes: der})
}

// clock is a time that a test moves.
type clock struct{ at atomic.Int64 }

func newClock() *clock {
	c := &clock{}
	c.at.Store(now.UnixNano())
	return c
}
func (c *clock) now() time.Time       { return time.Unix(0, c.at.Load()).UTC() }
func (c *clock) wait(d time.Duration) { c.at.Add(int64(d)) }

// trusting is a guard that trusts the issuer.
func trusting(t *testing.T, i *issuer, c *clock, change ...func(*access.OpenIDConfig)) *access.Guard {
	t.Helper()
	cfg := access.OpenIDConfig{Issuer: i.URL, Audience: "surgeonward", Now: c.now}
	for _, f := range change {
		f(&cfg)
	}
	o, err := access.NewOpenID(cfg)
	require.NoError(t, err)
	g, err := access.NewGuard(access.Config{OpenID: o, Now: c.now})
	require.NoError(t, err)
	return g
}

// ask says who holds a token, or why nobody does.
func ask(t *testing.T, g *access.Guard, token string) (access.Who, access.Reason) {
	t.Helper()
	r := httptest.NewRequest(http.MethodGet, "/", nil)
	r.Header.Set("Authorization", "Bearer "+token)
	who, err := g.Who(r)
	if err == nil {
		return who, ""
	}
	var refusal *access.Refusal
	require.ErrorAs(t, err, &refusal)
	require.NotContains(t, refusal.Detail, token)
	require.Regexp(t, `^[ !#-\[\]-~]+$`, refusal.Detail, "fit for a header (RFC 6750, section 3)")
	return who, refusal.Reason
}
