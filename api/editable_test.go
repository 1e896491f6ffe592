package api_test

import (
	"net/http"
	"net/http/httptest"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/region"
	"surgeonward/facilities/store"
)

// desk is the demo region as it is edited, with a clock that is set by hand.
type desk struct {
	testing.TB
	http.Handler
	live   *region.Live
	store  *store.InMemory
	at     atomic.Pointer[time.Time]
	strict *document
}

func (d *desk) now() time.Time       { return *d.at.Load() }
func (d *desk) set(at time.Time)     { d.at.Store(&at) }
func (d *desk) config(c *api.Config) { c.Source, c.Now = d.live, d.now }

// editable serves the demo region so that it can be edited.
func editable(t testing.TB) *desk {
	t.Helper()
	d := &desk{TB: t}
	d.set(now)
	files, err := region.DemoFiles()
	require.NoError(t, err)
	var loader region.Loader
	d.store, err = store.Memory(files, loader.Check, d.now)
	require.NoError(t, err)
	d.live, err = region.NewLive(t.Context(), region.LiveConfig{Store: d.store, Loader: &loader, Now: d.now, Kept: d.store.String()})
	require.NoError(t, err)
	d.Handler = handler(t, d.config)
	d.strict = served(t, d, true)
	return d
}

// header makes headers of pairs.
func header(pairs ...string) http.Header {
	h := http.Header{}
	for i := 0; i < len(pairs); i += 2 {
		h.Add(pairs[i], pairs[i+1])
	}
	return h
}

// send sends a call whose body has a media type; pairs are more headers.
func (d *desk) send(method, path, media, body string, pairs ...string) *httptest.ResponseRecorder {
	h := header(pairs...)
	if media != "" {
		h.Set("Content-Type", media)
	}
	return do(d, call{method: method, path: path, body: body, header: h})
}

const merge = "application/merge-patch+json"

// read returns an element and its tag.
func (d *desk) read(path string) (body, tag string) {
	d.Helper()
	w := get(d, path)
	require.Equal(d, http.StatusOK, w.Code, "%s", w.Body)
	require.NotEmpty(d, w.Header().Get("ETag"))
	return w.Body.String(), w.Header().Get("ETag")
}
