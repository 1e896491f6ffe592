package api_test

import (
	"encoding/binary"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/basemap"
)

func pageOf(t *testing.T, h http.Handler) string {
	t.Helper()
	r := httptest.NewRequest(http.MethodGet, "/", nil)
	r.Header.Set("Accept", "text/html")
	w := serveOne(h, r)
	require.Equal(t, http.StatusOK, w.Code)
	return w.Header().Get("Content-Security-Policy")
}

// TestABaseMapIsOffByDefault: nothing is asked of another host, and the page's policy
// lets pictures come from one origin where the operator names it, and nothing else.
//
// Source: Content Security Policy Level 3, section 6.1.5 (img-src).
func TestABaseMapIsOffByDefault(t *testing.T) {
	bare := handler(t)
	assert.JSONEq(t, `{}`, get(bare, "/v1/base-map").Body.String())
	assert.Equal(t, http.StatusNotFound, get(bare, "/v1/base-map/archive").Code)

	own := handler(t, func(c *api.Config) {
		c.Map = &basemap.Map{TileURL: "https://Tiles.example:81/{z}/{x}/{y}.png?k=v", MaxZoom: 16, Attribution: "© whose"}
	})
	assert.JSONEq(t, `{"tile_url": "https://Tiles.example:81/{z}/{x}/{y}.png?k=v", "max_zoom": 16, "attribution": "© whose"}`, get(own, "/v1/base-map").Body.String())
	was, is := pageOf(t, bare), pageOf(t, own)
	assert.Equal(t, was, strings.Replace(is, " https://tiles.example:81", "", 1))
	assert.Contains(t, is, "img-src 'self' data: https://tiles.example:81;")
	assert.NotContains(t, was, "http")
}

// archived is a service with a PMTiles file of so many bytes of tiles.
func archived(t *testing.T, tiles int) (http.Handler, []byte) {
	t.Helper()
	body := make([]byte, 127, 127+tiles)
	copy(body, "PMTiles\x03")
	body[97], body[98], body[99], body[101] = 1, 1, 2, 4
	binary.LittleEndian.PutUint64(body[56:], 127)
	binary.LittleEndian.PutUint64(body[64:], uint64(tiles)) //nolint:gosec // a small number
	for i := range tiles {
		body = append(body, byte(i))
	}
	path := filepath.Join(t.TempDir(), "map.pmtiles")
	require.NoError(t, os.WriteFile(path, body, 0o600))
	a, err := basemap.Open(path)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, a.Close()) })
	return handler(t, func(c *api.Config) { c.Map = &basemap.Map{Archive: a, MaxZoom: 4, Attribution: "© whose"} }), body
}

// TestRangesOfABaseMap: source: RFC 9110, sections 14.2 to 14.4 and 15.5.17.
func TestRangesOfABaseMap(t *testing.T) {
	h, body := archived(t, 1000)
	assert.JSONEq(t, `{"archive": "/v1/base-map/archive", "max_zoom": 4, "attribution": "© whose"}`, get(h, "/v1/base-map").Body.String())
	assert.NotContains(t, pageOf(t, h), "http", "the same host serves it")
	for _, tt := range []struct {
		name, ask, told string
		status          int
	}{
		{"the header", "bytes=0-126", "bytes 0-126/1127", 206},
		{"one byte", "bytes=1126-1126", "bytes 1126-1126/1127", 206},
		{"beyond the end", "bytes=1000-16383", "bytes 1000-1126/1127", 206},
		{"after the end", "bytes=1127-2000", "bytes */1127", 416},
		{"nothing", "", "", 400},
		{"all", "bytes=0-", "", 400},
		{"the end", "bytes=-5", "", 400},
		{"backwards", "bytes=5-4", "bytes */1127", 416},
		{"two", "bytes=0-1,4-5", "", 400},
		{"endless", "bytes=0-99999999999999999999", "", 400},
	} {
		r := httptest.NewRequest(http.MethodGet, "/v1/base-map/archive", nil)
		r.Header.Set("Range", tt.ask)
		w := serveOne(h, r)
		require.Equal(t, tt.status, w.Code, "%s: %s", tt.name, w.Body)
		assert.Equal(t, tt.told, w.Header().Get("Content-Range"), tt.name)
		assert.Equal(t, "no-store", w.Header().Get("Cache-Control"), "what is read tells where somebody looks")
		if tt.status == http.StatusPartialContent {
			var first, last int
			_, err := fmt.Sscanf(tt.told, "bytes %d-%d/", &first, &last)
			require.NoError(t, err)
			assert.Equal(t, body[first:last+1], w.Body.Bytes(), tt.name)
			assert.NotEmpty(t, w.Header().Get("ETag"))
		}
	}
	h, _ = archived(t, 17<<20)
	r := httptest.NewRequest(http.MethodGet, "/v1/base-map/archive", nil)
	r.Header.Set("Range", "bytes=0-17000000")
	w := serveOne(h, r)
	assert.Equal(t, http.StatusBadRequest, w.Code)
	assert.Contains(t, w.Body.String(), "at most 16777216 bytes")
}
