package api

import "github.com/labstack/echo/v4"

// secure sets the headers every answer carries. Answers hold where a patient
// is, so no cache may keep them; handlers of static content override that.
func secure(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set(echo.HeaderXContentTypeOptions, "nosniff")
		h.Set(echo.HeaderContentSecurityPolicy, "default-src 'none'; frame-ancestors 'none'")
		h.Set(echo.HeaderReferrerPolicy, "no-referrer")
		h.Set(echo.HeaderCacheControl, "no-store")
		return next(c)
	}
}
