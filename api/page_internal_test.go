package api

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/web"
)

// pageHandler serves a page of a few bytes in place of the embedded one.
func pageHandler(t *testing.T, built bool) http.Handler {
	t.Helper()
	file := func(body string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(body)} }
	files := fstest.MapFS{"unbuilt.html": file("<p>not built")}
	if built {
		files["index.html"], files["worker.js"] = file("<p>page"), file("worker()")
		files["assets/a-1.js"], files["assets/a-1.js.gz"] = file("script()"), file("zipped")
	}
	page, err := web.Read(files)
	require.NoError(t, err)
	h, err := New(Config{Source: &Holder{}, Page: page})
	require.NoError(t, err)
	return h
}

func fetch(t *testing.T, h http.Handler, path string, header http.Header) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, path, nil)
	r.Header = header
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// browser is the Accept header that browsers send when a person goes somewhere.
const browser = "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"

func TestStartIsPageForBrowsersOnly(t *testing.T) {
	h := pageHandler(t, true)
	for _, tt := range []struct {
		name   string
		accept []string
		want   string
		source string
	}{
		{"a browser", []string{browser}, "text/html; charset=utf-8", "RFC 9110, section 12.5.1"},
		{"a program that does not say", nil, "application/json", "RFC 9110, section 12.5.1: no header means any"},
		{"anything", []string{"*/*"}, "application/json", "definition: the first offer wins a tie"},
		{"JSON", []string{"application/json"}, "application/json", "definition"},
		{"a picture", []string{"image/png"}, "application/problem+json", "RFC 9110, section 15.5.7"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			w := fetch(t, h, "/", http.Header{"Accept": tt.accept})
			assert.Equal(t, tt.want, w.Header().Get("Content-Type"))
			assert.Contains(t, w.Header().Values("Vary"), "Accept")
		})
	}
}

func TestPageFilesAreKeptByContent(t *testing.T) {
	h := pageHandler(t, true)
	start := fetch(t, h, "/", http.Header{"Accept": {browser}})
	assert.Equal(t, "<p>page", start.Body.String())
	assert.Equal(t, "no-cache", start.Header().Get("Cache-Control"))
	assert.Equal(t, browserPolicy, start.Header().Get("Content-Security-Policy"))

	again := fetch(t, h, "/", http.Header{"Accept": {browser}, "If-None-Match": {start.Header().Get("ETag")}})
	assert.Equal(t, http.StatusNotModified, again.Code)
	assert.Equal(t, browserPolicy, again.Header().Get("Content-Security-Policy"),
		"RFC 9111, section 3.2: the headers of a 304 replace those of the stored answer")

	plain := fetch(t, h, "/page/a-1.js", nil)
	assert.Equal(t, "script()", plain.Body.String())
	assert.Equal(t, "public, max-age=31536000, immutable", plain.Header().Get("Cache-Control"))
	assert.Empty(t, plain.Header().Get("Content-Encoding"))

	zipped := fetch(t, h, "/page/a-1.js", http.Header{"Accept-Encoding": {"br, gzip"}})
	assert.Equal(t, "zipped", zipped.Body.String())
	assert.Equal(t, "gzip", zipped.Header().Get("Content-Encoding"))
	assert.NotEqual(t, plain.Header().Get("ETag"), zipped.Header().Get("ETag"), "another representation (RFC 9110, section 8.8.3)")
	assert.Contains(t, zipped.Header().Values("Vary"), "Accept-Encoding")

	for _, tag := range []string{plain.Header().Get("ETag"), "*"} {
		same := fetch(t, h, "/page/a-1.js", http.Header{"If-None-Match": {tag}})
		assert.Equal(t, http.StatusNotModified, same.Code)
		assert.Empty(t, same.Body.String())
	}
	worker := fetch(t, h, "/worker.js", nil)
	assert.Equal(t, "text/javascript; charset=utf-8", worker.Header().Get("Content-Type"))
	assert.Equal(t, "no-cache", worker.Header().Get("Cache-Control"), "a worker that is kept for good cannot be replaced")
	for _, path := range []string{"/page/b.js", "/page/unbuilt.html", "/page/..%2findex.html", "/page/"} {
		assert.Equal(t, http.StatusNotFound, fetch(t, h, path, nil).Code, path)
	}
}

func TestUnbuiltPageSaysSo(t *testing.T) {
	h := pageHandler(t, false)
	start := fetch(t, h, "/", http.Header{"Accept": {browser}})
	assert.Equal(t, http.StatusOK, start.Code)
	assert.Equal(t, "<p>not built", start.Body.String())
	assert.Equal(t, http.StatusNotFound, fetch(t, h, "/worker.js", nil).Code)
}

func TestTakesGzip(t *testing.T) {
	// Source: RFC 9110, sections 12.4.2 and 12.5.3.
	for header, want := range map[string]bool{
		"gzip": true, "GZIP": true, "br;q=1.0, gzip;q=0.8": true, "gzip;q=0.001": true, "gzip; q=1": true,
		"": false, "br": false, "gzip;q=0": false, "gzip;q=0.000": false, "x-gzip": false, "identity": false,
	} {
		assert.Equal(t, want, takesGzip([]string{header}), header)
	}
}
