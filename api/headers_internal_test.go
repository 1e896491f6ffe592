package api

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/assert"
)

// TestThePageRunsNothingInline: what a browser runs may come from this service
// only, whoever serves it. Source: Content Security Policy Level 3, sections
// 6.1 to 6.4; scripts too, because a worker goes by its own policy.
func TestThePageRunsNothingInline(t *testing.T) {
	for _, tt := range []struct{ media, policy string }{
		{"text/html; charset=utf-8", browserPolicy},
		{"text/javascript", browserPolicy},
		{"application/javascript", browserPolicy},
		{"TEXT/HTML", browserPolicy},
		{"text/css", answerPolicy},
		{"image/svg+xml", answerPolicy},
		{"application/json", answerPolicy},
		{"", answerPolicy},
	} {
		e := echo.New()
		e.Use(secure(browserPolicy))
		e.GET("/", func(c echo.Context) error { return c.Blob(http.StatusOK, tt.media, nil) })
		w := httptest.NewRecorder()
		e.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/", nil))
		assert.Equal(t, tt.policy, w.Header().Get("Content-Security-Policy"), tt.media)
	}
	for _, policy := range []string{browserPolicy, answerPolicy} {
		assert.NotContains(t, policy, "unsafe")
		assert.NotContains(t, policy, "*")
		assert.NotContains(t, policy, "http")
		assert.True(t, strings.HasPrefix(policy, "default-src 'none';"))
		assert.Contains(t, policy, "frame-ancestors 'none'")
	}
}
