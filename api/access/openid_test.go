package access_test

import (
	"crypto/ecdsa"
	"crypto/ed25519"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"strings"
	"testing"
	"time"

	"github.com/go-jose/go-jose/v4"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/access"
)

// Source of each row: RFC 7519, section 4.1, for times, issuer and audience;
// RFC 8725, sections 2.1 and 3.1, for the algorithms; OpenID Connect Core,
// section 10.1, for keys.
func TestTokensOfAnIssuer(t *testing.T) {
	rsaPublic := public(&rsaKey().PublicKey, "rsa", "")
	i := newIssuer(t, rsaPublic, public(&ecKey().PublicKey, "ec", "ES256"),
		jose.JSONWebKey{Key: []byte("a secret that was published"), KeyID: "secret", Algorithm: "HS256"},
		map[string]any{"kty": "LATER", "kid": "later"})
	g := trusting(t, i, newClock())
	at := func(d time.Duration) int64 { return now.Add(d).Unix() }
	rs := func(change map[string]any) string { return sign(t, jose.RS256, rsaKey(), "rsa", i.claims(change)) }
	good := rs(nil)
	parts := strings.Split(good, ".")
	forged := strings.Split(rs(map[string]any{"roles": "admin"}), ".")
	thief := must(rsa.GenerateKey(rand.Reader, 2048))
	desk := access.Who{Name: "anna (sub:248289761001)", Role: access.Desk}
	for _, tt := range []struct {
		name, token string
		who         access.Who
		reason      access.Reason
	}{
		{"RS256", good, desk, ""},
		{"ES256", sign(t, jose.ES256, ecKey(), "ec", i.claims(nil)), desk, ""},
		{"PS256", sign(t, jose.PS256, rsaKey(), "rsa", i.claims(nil)), desk, ""},
		{"several audiences", rs(map[string]any{"aud": []string{"else", "surgeonward"}}), desk, ""},
		{"role as text", rs(map[string]any{"roles": "openid editor"}), access.Who{Name: desk.Name, Role: access.Editor}, ""},
		{"no role", rs(map[string]any{"roles": []string{"boss", "Admin"}}), access.Who{Name: desk.Name}, ""},
		{"role of no kind", rs(map[string]any{"roles": map[string]any{"admin": true}}), access.Who{Name: desk.Name}, ""},
		{"no user name", rs(map[string]any{"preferred_username": nil}), access.Who{Name: "sub:248289761001", Role: access.Desk}, ""},
		{"user name with a trick", rs(map[string]any{"preferred_username": "boss (sub:1)"}), access.Who{Name: "sub:248289761001", Role: access.Desk}, ""},

		{"expired within the skew", rs(map[string]any{"exp": at(-59 * time.Second)}), desk, ""},
		{"expired", rs(map[string]any{"exp": at(-60 * time.Second)}), access.Who{}, access.ExpiredToken},
		{"expired long ago", rs(map[string]any{"exp": -1e300}), access.Who{}, access.ExpiredToken},
		{"never expires", rs(map[string]any{"exp": nil}), access.Who{}, access.BadClaims},
		{"expires in words", rs(map[string]any{"exp": "tomorrow"}), access.Who{}, access.BadClaims},
		{"not yet within the skew", rs(map[string]any{"nbf": at(60 * time.Second)}), desk, ""},
		{"not yet valid", rs(map[string]any{"nbf": at(61 * time.Second)}), access.Who{}, access.NotYetValid},
		{"issued in the future", rs(map[string]any{"iat": at(61 * time.Second)}), access.Who{}, access.NotYetValid},
		{"another issuer", rs(map[string]any{"iss": "https://elsewhere.example"}), access.Who{}, access.WrongIssuer},
		{"issuer with a slash", rs(map[string]any{"iss": i.URL + "/"}), access.Who{}, access.WrongIssuer},
		{"another audience", rs(map[string]any{"aud": "else"}), access.Who{}, access.WrongAudience},
		{"no audience", rs(map[string]any{"aud": nil}), access.Who{}, access.WrongAudience},
		{"no subject", rs(map[string]any{"sub": nil}), access.Who{}, access.BadClaims},
		{"subject with a new line", rs(map[string]any{"sub": "a\nb"}), access.Who{}, access.BadClaims},

		{"alg none", unsigned(t, i.claims(nil)), access.Who{}, access.BadSignature},
		{"HS256 with the public key", sign(t, jose.HS256, publicPEM(t, &rsaKey().PublicKey), "rsa", i.claims(nil)), access.Who{}, access.BadSignature},
		{"HS256 with a published secret", sign(t, jose.HS256, []byte("a secret that was published, and long"), "secret", i.claims(nil)), access.Who{}, access.BadSignature},
		{"a thief's key under a known id", sign(t, jose.RS256, thief, "rsa", i.claims(nil)), access.Who{}, access.BadSignature},
		{"unknown key", sign(t, jose.RS256, thief, "thief", i.claims(nil)), access.Who{}, access.BadSignature},
		{"no key id, and several keys", sign(t, jose.RS256, rsaKey(), "", i.claims(nil)), access.Who{}, access.BadSignature},
		{"key of another kind", sign(t, jose.ES256, ecKey(), "rsa", i.claims(nil)), access.Who{}, access.BadSignature},
		{"forged content", parts[0] + "." + forged[1] + "." + parts[2], access.Who{}, access.BadSignature},
		{"no signature", parts[0] + "." + parts[1] + ".", access.Who{}, access.BadSignature},
		{"no JWT", "mF_9.B5f-4.1JqM", access.Who{}, access.BadSignature},
		{"one of our own, where none are taken", "surgeonward_x", access.Who{}, access.Mistyped},
	} {
		who, reason := ask(t, g, tt.token)
		assert.Equal(t, tt.reason, reason, tt.name)
		assert.Equal(t, tt.who, who, tt.name)
	}
}

// TestOneKeyNeedsNoID: OpenID Connect Core, section 10.1. EdDSA is RFC 8037.
func TestOneKeyNeedsNoID(t *testing.T) {
	open, private, err := ed25519.GenerateKey(rand.Reader)
	require.NoError(t, err)
	i := newIssuer(t, public(open, "ed", ""))
	_, reason := ask(t, trusting(t, i, newClock()), sign(t, jose.EdDSA, private, "", i.claims(nil)))
	assert.Empty(t, reason)
}

// TestWeakKeysAreNotTaken: NIST SP 800-57 part 1: below 2048 bits RSA has less
// than 112 bits of strength.
func TestWeakKeysAreNotTaken(t *testing.T) {
	t.Setenv("GODEBUG", "rsa1024min=0")
	weak := must(rsa.GenerateKey(rand.Reader, 1024))
	i := newIssuer(t, public(&weak.PublicKey, "weak", ""), public(&ecKey().PublicKey, "ec", ""))
	g := trusting(t, i, newClock())
	_, reason := ask(t, g, sign(t, jose.RS256, weak, "weak", i.claims(nil)))
	assert.Equal(t, access.BadSignature, reason)
}

func TestRoleClaims(t *testing.T) {
	i := newIssuer(t, public(&ecKey().PublicKey, "ec", ""))
	token := sign(t, jose.ES256, ecKey(), "ec", i.claims(map[string]any{
		"groups": []any{"coordination", "planning", 7}, "realm": map[string]any{"a/b": []string{"editor"}}, "scope": "openid reader"}))
	mapped := map[string]access.Role{"coordination": access.Desk, "planning": access.Editor, "chiefs": access.Admin}
	for _, tt := range []struct {
		claim string
		roles map[string]access.Role
		want  access.Role
	}{
		{"", nil, access.Desk},
		{"groups", mapped, access.Editor},
		{"groups", nil, access.None},
		{"roles", mapped, access.None},
		{"scope", nil, access.Reader},
		{"/realm/a~1b", nil, access.Editor},
		{"/realm/none/x", nil, access.None},
		{"nothing", nil, access.None},
	} {
		g := trusting(t, i, newClock(), func(c *access.OpenIDConfig) { c.RoleClaim, c.Roles = tt.claim, tt.roles })
		who, reason := ask(t, g, token)
		require.Empty(t, reason)
		assert.Equal(t, tt.want, who.Role, tt.claim)
	}
}

// TestRotatedKeys: a new key is fetched when a token first needs it, an old one
// goes when it is no longer published, and unknown ones cannot make the service
// ask the issuer again and again.
func TestRotatedKeys(t *testing.T) {
	first, second := ecKey(), must(ecdsa.GenerateKey(elliptic.P256(), rand.Reader))
	i, c := newIssuer(t, public(&first.PublicKey, "first", "")), newClock()
	g := trusting(t, i, c)
	old := sign(t, jose.ES256, first, "first", i.claims(nil))
	fresh := sign(t, jose.ES256, second, "second", i.claims(nil))
	_, reason := ask(t, g, old)
	require.Empty(t, reason)
	i.publish(public(&second.PublicKey, "second", ""))
	for range 50 {
		_, reason = ask(t, g, fresh)
		require.Equal(t, access.BadSignature, reason, "asked a moment ago")
	}
	assert.EqualValues(t, 1, i.fetches.Load())
	c.wait(11 * time.Second)
	_, reason = ask(t, g, fresh)
	require.Empty(t, reason)
	_, reason = ask(t, g, old)
	assert.Equal(t, access.BadSignature, reason)
	assert.EqualValues(t, 2, i.fetches.Load())
}

// TestIssuerAway: the keys that were fetched serve for a day; then, and before
// there were any, it is nobody's fault here.
func TestIssuerAway(t *testing.T) {
	i, c := newIssuer(t, public(&ecKey().PublicKey, "ec", "")), newClock()
	failures := make(chan error, 100)
	g := trusting(t, i, c, func(cfg *access.OpenIDConfig) { cfg.Failed = func(err error) { failures <- err } })
	token := sign(t, jose.ES256, ecKey(), "ec", i.claims(map[string]any{"exp": now.Add(100 * time.Hour).Unix()}))
	_, reason := ask(t, g, token)
	require.Empty(t, reason)
	i.down.Store(true)
	for range 23 {
		c.wait(time.Hour)
		_, reason = ask(t, g, token)
		require.Empty(t, reason)
	}
	require.ErrorContains(t, <-failures, "cannot be had")
	assert.Empty(t, failures, "told once")
	c.wait(2 * time.Hour)
	require.Eventually(t, func() bool { // an attempt beside the requests may be under way
		_, reason = ask(t, g, token)
		return reason == access.KeysAway
	}, 5*time.Second, 10*time.Millisecond)
	i.down.Store(false)
	c.wait(11 * time.Second)
	_, reason = ask(t, g, token)
	assert.Empty(t, reason, "it is back")

	i.down.Store(true)
	g = trusting(t, i, c)
	_, reason = ask(t, g, token)
	assert.Equal(t, access.KeysAway, reason)
}

func TestOpenIDConfig(t *testing.T) {
	for _, tt := range []struct {
		name, says string
		cfg        access.OpenIDConfig
	}{
		{"nothing", "issuer: must be a URL", access.OpenIDConfig{}},
		{"every fault at once", "audience: missing", access.OpenIDConfig{}},
		{"in the open", "must begin with https://", access.OpenIDConfig{Issuer: "http://login.example", Audience: "x"}},
		{"with a query", "without user, query", access.OpenIDConfig{Issuer: "https://login.example?a=b", Audience: "x"}},
		{"with a password", "without user, query", access.OpenIDConfig{Issuer: "https://a:b@login.example", Audience: "x"}},
		{"a role of its own", `role of "x"`, access.OpenIDConfig{Issuer: "https://login.example", Audience: "x", Roles: map[string]access.Role{"x": 9}}},
	} {
		_, err := access.NewOpenID(tt.cfg)
		assert.ErrorContains(t, err, tt.says, tt.name)
	}
}

// TestBothKinds: a guard may take its own tokens and an issuer's.
func TestBothKinds(t *testing.T) {
	i, c := newIssuer(t, public(&ecKey().PublicKey, "ec", "")), newClock()
	o, err := access.NewOpenID(access.OpenIDConfig{Issuer: i.URL, Audience: "surgeonward", Now: c.now})
	require.NoError(t, err)
	file := t.TempDir() + "/tokens.json"
	own, _ := create(t, file, "north desk", access.Editor, time.Time{})
	g, err := access.NewGuard(access.Config{Tokens: file, OpenID: o, Now: c.now})
	require.NoError(t, err)
	who, reason := ask(t, g, own)
	require.Empty(t, reason)
	assert.Equal(t, access.Who{Name: "north desk", Role: access.Editor}, who)
	who, reason = ask(t, g, sign(t, jose.ES256, ecKey(), "ec", i.claims(nil)))
	require.Empty(t, reason)
	assert.Equal(t, access.Desk, who.Role)
}
