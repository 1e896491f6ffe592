package main

import (
	"net/http"
	"net/http/httptest"
	"slices"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"
)

// bareRatios are how much longer an answer takes than from a handler that does
// nothing but send the same bytes: medians of one caller at a time, in turns, once
// the load is over.
func bareRatios(l *load) map[string]float64 {
	const each = 50
	out := map[string]float64{}
	for _, tt := range []struct {
		route, method, path string
		body                []byte
	}{
		{askRoute, "POST", "/v1/options", l.question[0]},
		{listRoute, "GET", "/v1/facilities", nil},
		{sameRoute, "GET", "/v1/facilities", nil},
		{oneRoute, "GET", "/v1/assets/heli-1", nil},
		{stateRoute, "GET", "/v1/region", nil},
	} {
		same := []string{"Accept", "*/*"}
		r := sent(l, tt.method, l.address+tt.path, string(tt.body))
		if tt.route == sameRoute {
			same = []string{"If-None-Match", r.header.Get("ETag")}
			r = sent(l, tt.method, l.address+tt.path, "", same...)
			require.Equal(l, http.StatusNotModified, r.code)
		}
		e := echo.New()
		e.Any("/*", func(c echo.Context) error { return c.Blob(r.code, r.header.Get("Content-Type"), []byte(r.body)) })
		bare := httptest.NewServer(e)
		var ours, theirs []time.Duration
		timed := func(address string) time.Duration {
			began := time.Now()
			got := sent(l, tt.method, address+tt.path, string(tt.body), same...)
			took := time.Since(began)
			require.Equal(l, r.code, got.code)
			require.Len(l, got.body, len(r.body))
			return took
		}
		for range each {
			ours, theirs = append(ours, timed(l.address)), append(theirs, timed(bare.URL))
		}
		bare.Close()
		slices.Sort(ours)
		slices.Sort(theirs)
		out[tt.route] = float64(ours[each/2]) / float64(theirs[each/2])
	}
	return out
}
