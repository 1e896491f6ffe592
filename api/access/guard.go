package access

import (
	"errors"
	"net/http"
	"strings"
	"time"

	"surgeonward/api/reread"
)

// Guard tells who is behind a request by the token it carries: one of our own,
// one of an identity provider, or either.
type Guard struct {
	tokens *reread.Value[map[string]Token] // nil: none are taken
	openID *OpenID                         // nil: none is trusted
	now    func() time.Time
}

// Config is what a guard goes by. At least one of Tokens and OpenID is needed.
type Config struct {
	Tokens string           // a token file, read again when it changes; empty: none
	OpenID *OpenID          // an identity provider; nil: none
	Now    func() time.Time // nil: time.Now
	Failed func(error)      // told when the token file has become unreadable; may be nil
}

// NewGuard reads the token file for the first time.
func NewGuard(cfg Config) (*Guard, error) {
	g := &Guard{openID: cfg.OpenID, now: cfg.Now}
	if g.now == nil {
		g.now = time.Now
	}
	if cfg.Tokens == "" && cfg.OpenID == nil {
		return nil, errors.New("access control needs a token file or an identity provider")
	}
	if cfg.Tokens != "" {
		read := func() (map[string]Token, error) {
			list, err := ReadTokens(cfg.Tokens)
			byID := make(map[string]Token, len(list))
			for _, t := range list {
				byID[t.ID] = t
			}
			return byID, err
		}
		var err error
		if g.tokens, err = reread.Open(read, cfg.Failed, cfg.Tokens); err != nil {
			return nil, err
		}
	}
	return g, nil
}

// Who says who is behind the request, whatever they may do; the error is a
// *Refusal.
func (g *Guard) Who(r *http.Request) (Who, error) {
	text, refusal := bearer(r)
	if refusal != nil {
		return Who{}, refusal
	}
	if g.openID != nil && !strings.HasPrefix(text, Prefix) {
		return g.openID.who(r.Context(), text, g.now())
	}
	who, refusal := g.holder(text)
	if refusal != nil {
		return Who{}, refusal
	}
	return who, nil
}

// Healthy reports whether the token file could be read as it is now.
func (g *Guard) Healthy() bool { return g.tokens == nil || g.tokens.Healthy() }

// holder is who holds one of our own tokens.
func (g *Guard) holder(text string) (Who, *Refusal) {
	id, err := idOf(text)
	switch {
	case errors.Is(err, errMistyped):
		return Who{}, refuse(Mistyped, err.Error())
	case err != nil || g.tokens == nil:
		return Who{}, refuse(UnknownToken, "the token is not known here: ask whoever runs this service for one")
	}
	t, ok := find(g.tokens.Get(), text, id)
	if !ok {
		return Who{}, refuse(UnknownToken, "the token is not known here: ask whoever runs this service for one")
	}
	switch t.State(g.now()) {
	case Revoked:
		return Who{}, refuse(RevokedToken, "the token has been revoked: ask whoever runs this service for a new one")
	case Expired:
		return Who{}, refuse(ExpiredToken, "the token has expired: ask whoever runs this service for a new one")
	}
	return Who{Name: t.Name, Role: t.Role}, nil
}
