package api

import (
	"strings"

	"github.com/labstack/echo/v4"

	"surgeonward/api/basemap"
)

// The content policies (W3C Content Security Policy Level 3). Nothing of an
// answer is ever run or shown as part of a page; the page and its scripts get
// what they need from this service alone, nothing that is written inline, and no
// text that becomes markup (W3C Trusted Types) but what the page's one policy,
// in web/src/main.tsx, lets through.
const (
	answerPolicy  = "default-src 'none'; frame-ancestors 'none'"
	browserPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; " +
		"connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; " +
		"require-trusted-types-for 'script'; trusted-types default"
)

// pagePolicy is the policy of the page with a base map: its pictures may come from
// the origin of its tiles too, and nothing else from there.
func pagePolicy(m *basemap.Map) string {
	const pictures = "img-src 'self' data:"
	if m == nil || m.TileURL == "" {
		return browserPolicy
	}
	return strings.Replace(browserPolicy, pictures, strings.TrimSpace(pictures+" "+basemap.Origin(m.TileURL)), 1)
}

// secure sets the headers every answer carries; policy is that of the page. Answers
// hold where a patient is, so no cache may keep them; handlers of static content
// override that.
func secure(policy string) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			h := c.Response().Header()
			h.Set(echo.HeaderXContentTypeOptions, "nosniff")
			h.Set(echo.HeaderContentSecurityPolicy, answerPolicy)
			h.Set(echo.HeaderReferrerPolicy, "no-referrer")
			h.Set(echo.HeaderCacheControl, "no-store")
			h.Set("Cross-Origin-Resource-Policy", "same-origin")
			if c.Request().TLS != nil {
				h.Set(echo.HeaderStrictTransportSecurity, "max-age=31536000") // a year; RFC 6797
			}
			c.Response().Before(func() {
				// A handler's own policy may only be narrower: it is left alone.
				if runs(h.Get(echo.HeaderContentType)) && h.Get(echo.HeaderContentSecurityPolicy) == answerPolicy {
					h.Set(echo.HeaderContentSecurityPolicy, policy)
					h.Set("Cross-Origin-Opener-Policy", "same-origin")
					h.Set("Permissions-Policy", "geolocation=(self), camera=(), microphone=(), payment=(), usb=()")
				}
			})
			return next(c)
		}
	}
}

// runs reports whether a browser runs content of the type: a page, or a script
// that may be a worker, for which its own policy counts.
func runs(contentType string) bool {
	media, _, _ := strings.Cut(strings.ToLower(contentType), ";")
	switch strings.TrimSpace(media) {
	case "text/html", "text/javascript", "application/javascript":
		return true
	}
	return false
}
