package main

import (
	"crypto/tls"
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/rs/zerolog"

	"surgeonward/api"
	"surgeonward/api/access"
	"surgeonward/api/reread"
	"surgeonward/cmd/surgeonward/terminal"
)

// guardFlags say who may use the service, and how it proves what it is.
type guardFlags struct {
	Tokens        string            `help:"Take the tokens of this file, which surgeonward token makes." placeholder:"FILE"`
	OIDCIssuer    string            `name:"oidc-issuer" help:"Take the tokens of this OpenID Connect issuer." placeholder:"URL"`
	OIDCAudience  string            `name:"oidc-audience" help:"What the issuer's tokens for this service have in aud." placeholder:"NAME"`
	OIDCRoleClaim string            `name:"oidc-role-claim" help:"The claim that gives the role: a name, or a JSON Pointer (default: roles)." default:"roles" placeholder:"CLAIM"`
	OIDCRoleMap   map[string]string `name:"oidc-role-map" help:"What a value of the claim is worth, such as coordination-desk=desk (default: the roles' own words)." placeholder:"VALUE=ROLE;..."`
	TLSCert       string            `name:"tls-cert" help:"Serve over TLS with this certificate chain in PEM." placeholder:"FILE"`
	TLSKey        string            `name:"tls-key" help:"The certificate's private key in PEM." placeholder:"FILE"`
	RatePerS      float64           `name:"rate-per-s" help:"Requests a second that one caller may make on average; 0: no limit (default: 50)." default:"50" placeholder:"N"`
	RateBurst     int               `name:"rate-burst" help:"Requests that one caller may make at once after a rest (default: 200)." default:"200" placeholder:"N"`
}

// check finds what makes no sense together, all of it at once.
func (f *guardFlags) check() error {
	var faults []error
	if (f.TLSCert == "") != (f.TLSKey == "") {
		faults = append(faults, errors.New("--tls-cert and --tls-key: give both or neither"))
	}
	if (f.OIDCIssuer == "") != (f.OIDCAudience == "") {
		faults = append(faults, errors.New("--oidc-issuer and --oidc-audience: give both or neither"))
	}
	if !(f.RatePerS >= 0) || math.IsInf(f.RatePerS, 0) {
		faults = append(faults, errors.New("--rate-per-s: must be a number from 0"))
	}
	if f.RateBurst < 1 {
		faults = append(faults, errors.New("--rate-burst: must be at least 1"))
	}
	if err := errors.Join(faults...); err != nil {
		return usageError{err}
	}
	return nil
}

func (f *guardFlags) rate() api.Rate { return api.Rate{PerSecond: f.RatePerS, Burst: f.RateBurst} }

// guard is nil where there is no access control.
func (f *guardFlags) guard(logger zerolog.Logger) (*access.Guard, error) {
	if f.Tokens == "" && f.OIDCIssuer == "" {
		return nil, nil
	}
	cfg := access.Config{Tokens: f.Tokens, Failed: func(err error) {
		logger.Error().Err(err).Msg("the token file cannot be read: the tokens read before still hold")
	}}
	if f.OIDCIssuer != "" {
		roles, err := f.roles()
		if err != nil {
			return nil, usageError{err}
		}
		cfg.OpenID, err = access.NewOpenID(access.OpenIDConfig{
			Issuer: f.OIDCIssuer, Audience: f.OIDCAudience, RoleClaim: f.OIDCRoleClaim, Roles: roles,
			Failed: func(err error) { logger.Error().Err(err).Msg("the identity provider is away") },
		})
		if err != nil {
			return nil, usageError{fmt.Errorf("--oidc-issuer: %w", err)}
		}
	}
	g, err := access.NewGuard(cfg)
	if err != nil {
		return nil, fmt.Errorf("--tokens: %w (surgeonward token create makes one)", err)
	}
	return g, nil
}

// who says who may use the service.
func (f *guardFlags) who() string {
	var ways []string
	if f.Tokens != "" {
		ways = append(ways, "tokens of "+terminal.Clean(f.Tokens))
	}
	if f.OIDCIssuer != "" {
		ways = append(ways, "tokens of "+terminal.Clean(f.OIDCIssuer))
	}
	if ways == nil {
		return "no control, everybody who can reach it may do everything"
	}
	return strings.Join(ways, ", ")
}

// roles is nil where the claim has the roles' own words.
func (f *guardFlags) roles() (map[string]access.Role, error) {
	if len(f.OIDCRoleMap) == 0 {
		return nil, nil
	}
	roles := map[string]access.Role{}
	for value, word := range f.OIDCRoleMap {
		role, err := access.ParseRole(word)
		if err != nil {
			return nil, fmt.Errorf("--oidc-role-map: %s: %w", value, err)
		}
		roles[value] = role
	}
	return roles, nil
}

// transport is nil where there is no TLS. The pair is read again when its files
// change; one that does not fit leaves the old one in use.
func (f *guardFlags) transport(logger zerolog.Logger) (*tls.Config, error) {
	if f.TLSCert == "" {
		return nil, nil
	}
	pair, err := reread.Open(func() (*tls.Certificate, error) {
		c, err := tls.LoadX509KeyPair(f.TLSCert, f.TLSKey)
		return &c, err
	}, func(err error) {
		logger.Error().Err(err).Msg("the TLS certificate cannot be read: the one read before is still in use")
	}, f.TLSCert, f.TLSKey)
	if err != nil {
		return nil, fmt.Errorf("--tls-cert, --tls-key: %w", err)
	}
	return &tls.Config{
		MinVersion:     tls.VersionTLS12,
		NextProtos:     []string{"h2", "http/1.1"},
		GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return pair.Get(), nil },
	}, nil
}
