package access

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"strings"
	"time"

	"github.com/coreos/go-oidc/v3/oidc"
)

// algorithms are those a signature may have: with a public key only, so that
// neither an unsigned token nor one signed with a public key as if it were a
// shared secret is ever looked at.
var algorithms = []string{oidc.RS256, oidc.RS384, oidc.RS512, oidc.PS256, oidc.PS384, oidc.PS512,
	oidc.ES256, oidc.ES384, oidc.ES512, oidc.EdDSA}

// Skew is how far the provider's clock may be off ours, either way. It is
// allowed once, where a token's times are checked.
const Skew = time.Minute

// OpenIDConfig says which identity provider is trusted, and for what.
type OpenIDConfig struct {
	Issuer    string          // an https URL, as the provider itself writes it
	Audience  string          // what tokens for this service have in their aud
	RoleClaim string          // a claim's name, or a JSON Pointer into the claims; empty: roles
	Roles     map[string]Role // what each value of the claim is worth; nil: the roles' own words
	Now       func() time.Time
	Failed    func(error) // told once when the provider's keys cannot be had; may be nil
}

// OpenID checks tokens of an OpenID Connect provider.
type OpenID struct {
	cfg      OpenIDConfig
	keys     *keys
	verifier *oidc.IDTokenVerifier
}

// NewOpenID checks the configuration, all faults at once, and begins to fetch
// the provider's keys. A provider that is away is no error: its tokens are
// refused until it is back.
func NewOpenID(cfg OpenIDConfig) (*OpenID, error) {
	if cfg.RoleClaim == "" {
		cfg.RoleClaim = "roles"
	}
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	if err := cfg.check(); err != nil {
		return nil, err
	}
	o := &OpenID{cfg: cfg, keys: newKeys(cfg.Issuer, cfg.Now, cfg.Failed)}
	o.verifier = oidc.NewVerifier(cfg.Issuer, o.keys, &oidc.Config{
		ClientID:             cfg.Audience,
		SupportedSigningAlgs: algorithms,
		SkipExpiryCheck:      true, // checkTimes does it, with a bound on the skew of every time
	})
	o.keys.refreshSoon()
	return o, nil
}

func (c OpenIDConfig) check() error {
	var faults []error
	u, err := url.Parse(c.Issuer)
	switch {
	case err != nil || u.Host == "" || u.RawQuery != "" || u.Fragment != "" || u.User != nil:
		faults = append(faults, errors.New("issuer: must be a URL such as https://login.example, without user, query and fragment"))
	case !secure(u):
		faults = append(faults, errors.New("issuer: must begin with https://: whoever can change its answers can let themselves in"))
	}
	if c.Audience == "" {
		faults = append(faults, errors.New("audience: missing: without it a token made for any other service would be taken"))
	}
	for _, value := range sortedKeys(c.Roles) {
		if role := c.Roles[value]; !role.Allows(Reader) || role > Admin || value == "" {
			faults = append(faults, fmt.Errorf("role of %q: must be one of reader, desk, editor, admin", value))
		}
	}
	return errors.Join(faults...)
}

// verdict is what the check of a signature found, for the one who asked for it:
// the library in between passes on only the text of errors.
type verdict struct {
	refusal *Refusal
	payload []byte // signed by the provider
}

type verdictKey struct{}

// who says who is behind a token; the error is a *Refusal.
func (o *OpenID) who(ctx context.Context, token string, now time.Time) (Who, error) {
	var v verdict
	_, err := o.verifier.Verify(context.WithValue(ctx, verdictKey{}, &v), token)
	switch {
	case v.refusal != nil:
		return Who{}, v.refusal
	case err != nil && v.payload == nil:
		return Who{}, refuse(BadSignature, "the token is no signed JWT, or its algorithm is not one that is taken here")
	}
	c, refusal := readClaims(v.payload)
	switch {
	case refusal != nil:
		return Who{}, refusal
	case err != nil && c.Issuer != o.cfg.Issuer:
		return Who{}, refuse(WrongIssuer, "the token comes from another issuer than the one trusted here")
	case err != nil:
		return Who{}, refuse(WrongAudience, "the token was made for another service: its aud does not name this one")
	}
	if refusal := c.checkTimes(now); refusal != nil {
		return Who{}, refusal
	}
	name, refusal := c.name()
	if refusal != nil {
		return Who{}, refusal
	}
	return Who{Name: name, Role: o.role(c)}, nil
}

// role is the highest that the claim gives.
func (o *OpenID) role(c *claims) Role {
	best := None
	for _, value := range c.values(o.cfg.RoleClaim) {
		var role Role
		if o.cfg.Roles != nil {
			role = o.cfg.Roles[value]
		} else {
			role, _ = ParseRole(value) // other words are other services' business
		}
		best = max(best, role)
	}
	return best
}

// secure reports whether nobody on the way can change what is fetched: https,
// or this machine itself.
func secure(u *url.URL) bool {
	if u.Scheme == "https" {
		return true
	}
	host := strings.ToLower(u.Hostname())
	return u.Scheme == "http" && (host == "127.0.0.1" || host == "::1" || host == "localhost")
}
