package api

import (
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"strings"

	"github.com/labstack/echo/v4"

	"surgeonward/api/access"
)

// Guard tells who is behind a request; its errors are *access.Refusal.
// [access.Guard] is one.
type Guard interface {
	Who(r *http.Request) (access.Who, error)
}

// open is the role of a route that nobody has to be known for.
const open = access.None

// The keys under which a request's context has what was found out about it.
const (
	whoKey    = "who"    // access.Who: who asks, once it is known
	reasonKey = "reason" // access.Reason: why it was not let in
	kindKey   = "kind"   // string: the kind of problem it was answered with
)

// admit lets a request in or refuses it. It says who asks in the request's
// context, for access.From.
func (s *service) admit(next echo.HandlerFunc) echo.HandlerFunc {
	crossSite := http.NewCrossOriginProtection()
	return func(c echo.Context) error {
		r := c.Request()
		need, known := s.roles[r.Method+" "+c.Path()]
		who, err := s.identify(r, need)
		if err == nil {
			c.Set(whoKey, who)
			err = s.meter(who, c.RealIP())
		} else if slow := s.meter(access.Who{}, c.RealIP()); slow != nil {
			err = slow // guessing is no quicker than asking
		}
		switch {
		case err != nil:
		case crossSite.Check(r) != nil:
			err = &access.Refusal{Reason: access.CrossSite, Detail: "a page of another site asks through a browser: that is not taken"}
		case known && !who.Role.Allows(need):
			err = &access.Refusal{Reason: access.RoleTooLow, Detail: fmt.Sprintf("this needs the role %s, and %s has the role %s", need, who.Name, who.Role)}
		}
		if err != nil {
			return s.refused(c, need, err)
		}
		c.SetRequest(r.WithContext(access.With(r.Context(), who)))
		return next(c)
	}
}

// identify says who asks. On an open route, nobody has to say.
func (s *service) identify(r *http.Request, need access.Role) (access.Who, error) {
	if s.guard == nil {
		if s.localHost && !isLocalHost(r.Host) {
			return access.Who{}, &access.Refusal{Reason: access.WrongHost,
				Detail: "without access control this service answers only to names of its own machine, such as localhost"}
		}
		return access.Local, nil
	}
	if err := access.FindInURL(r.URL); err != nil {
		return access.Who{}, err
	}
	if need == open {
		return access.Who{}, nil
	}
	return s.guard.Who(r)
}

// isLocalHost reports whether a Host header names this machine only. A page
// elsewhere whose name is made to lead here cannot: its Host is its own name.
func isLocalHost(host string) bool {
	name, _, err := net.SplitHostPort(host)
	if err != nil {
		name = host
	}
	if strings.EqualFold(name, "localhost") {
		return true
	}
	address, err := netip.ParseAddr(trimBrackets(name))
	return err == nil && address.IsLoopback()
}

func trimBrackets(name string) string {
	if n := len(name); n > 2 && name[0] == '[' && name[n-1] == ']' {
		return name[1 : n-1]
	}
	return name
}

// refused makes the problem of a refusal, and notes its reason for the audit.
func (s *service) refused(c echo.Context, need access.Role, err error) error {
	var refusal *access.Refusal
	if !errors.As(err, &refusal) { // too many
		c.Set(reasonKey, access.TooMany)
		return err
	}
	c.Set(reasonKey, refusal.Reason)
	if value := challenge(refusal, need); value != "" {
		c.Response().Header().Set(echo.HeaderWWWAuthenticate, value)
	}
	p := &problem{kind: refusalKind(refusal.Reason), detail: refusal.Detail}
	if need != open {
		p.neededRole = need.String()
	}
	return p
}

func refusalKind(reason access.Reason) kind {
	switch reason {
	case access.Malformed, access.InURL:
		return badCredentials
	case access.RoleTooLow, access.CrossSite:
		return notAllowed
	case access.WrongHost:
		return wrongHost
	case access.KeysAway:
		return keysAway
	}
	return notKnown
}

// challenge is the WWW-Authenticate of a refusal (RFC 6750, section 3): without
// an error code where no token of the scheme was sent.
func challenge(refusal *access.Refusal, need access.Role) string {
	const realm = `Bearer realm="surgeonward"`
	code := ""
	switch refusalKind(refusal.Reason).Status {
	case http.StatusBadRequest:
		code = "invalid_request"
	case http.StatusUnauthorized:
		code = "invalid_token"
	case http.StatusForbidden:
		code = "insufficient_scope"
	}
	switch {
	case refusal.Reason == access.NoCredentials, refusal.Reason == access.WrongScheme:
		return realm
	case code == "" || refusal.Reason == access.CrossSite:
		return ""
	case refusal.Reason == access.RoleTooLow:
		return fmt.Sprintf(`%s, error=%q, error_description="the role is not enough", scope=%q`, realm, code, need)
	}
	return fmt.Sprintf(`%s, error=%q, error_description=%q`, realm, code, refusal.Detail)
}

// whoOf is who asks, as far as it is known yet.
func whoOf(c echo.Context) access.Who {
	who, _ := c.Get(whoKey).(access.Who)
	return who
}
