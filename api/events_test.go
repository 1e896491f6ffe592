package api_test

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/rs/zerolog"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"surgeonward/api"
)

// running serves the handler on a real connection until the test or stop ends it.
func (d *desk) running() (address string, stop func() error) {
	d.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(d, err)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- api.Serve(ctx, listener, d, zerolog.Nop()) }()
	stop = sync.OnceValue(func() error {
		cancel()
		return <-ended
	})
	d.Cleanup(func() { assert.NoError(d, stop()) })
	return "http://" + listener.Addr().String(), stop
}

// heard is one event.
type heard struct {
	id         int64
	kind, data string
}

// listener reads a stream of events.
type listener struct {
	testing.TB
	body io.ReadCloser
	in   *bufio.Reader
	last int64
}

// listen begins to listen; after is Last-Event-ID, empty for none.
func listen(t testing.TB, client *http.Client, address, after string) *listener {
	t.Helper()
	r, err := http.NewRequestWithContext(context.Background(), http.MethodGet, address+"/v1/events", http.NoBody)
	require.NoError(t, err)
	if after != "" {
		r.Header.Set("Last-Event-ID", after)
	}
	w, err := client.Do(r)
	require.NoError(t, err)
	require.Equal(t, http.StatusOK, w.StatusCode)
	require.Equal(t, "text/event-stream", w.Header.Get("Content-Type"))
	return &listener{TB: t, body: w.Body, in: bufio.NewReader(w.Body)}
}

// next reads the next event, by the rules of the HTML standard, section 9.2.6.
func (l *listener) next() (e heard, err error) {
	for {
		line, err := l.in.ReadString('\n')
		if err != nil {
			return e, err
		}
		name, value, _ := strings.Cut(strings.TrimSuffix(line, "\n"), ":")
		value = strings.TrimPrefix(value, " ")
		switch {
		case line == "\n" && e.data != "":
			return e, nil
		case name == "id":
			if e.id, err = strconv.ParseInt(value, 10, 64); err != nil {
				return e, err
			}
			l.last = e.id
		case name == "event":
			e.kind = value
		case name == "data":
			e.data += value
		}
	}
}

func (l *listener) must() heard {
	l.Helper()
	e, err := l.next()
	require.NoError(l, err)
	return e
}

func (l *listener) close() { _ = l.body.Close() }

func httpClient(t testing.TB) *http.Client {
	c := &http.Client{Transport: &http.Transport{MaxIdleConns: 1000}}
	t.Cleanup(c.CloseIdleConnections)
	return c
}

func TestEvents(t *testing.T) {
	d := editable(t)
	address, stop := d.running()
	client := httpClient(t)
	l := listen(t, client, address, "")
	defer l.close()
	first := l.must()
	assert.Equal(t, heard{1, "region", `{"version":1,"at":"2031-03-14T21:40:00Z","changes":[]}`}, first, "where it starts")
	d.accept("ettuquar-chest", `{"state":"divert","reason":"flooded"}`)
	assert.Equal(t, heard{2, "region", `{"version":2,"at":"2031-03-14T21:40:00Z","who":"local","changes":[{"action":"divert","file":"facilities.geojson","element":"ettuquar-chest"}]}`}, l.must())
	began := time.Now()
	require.NoError(t, stop(), "a listener does not keep the server from stopping")
	assert.Less(t, time.Since(began), 5*time.Second)
	_, err := l.next()
	assert.Error(t, err, "the stream has ended")
}

// TestEventsResume: a connection that is lost again and again, at any event, loses
// none and hears none twice.
func TestEventsResume(t *testing.T) {
	d := editable(t)
	address, _ := d.running()
	client := httpClient(t)
	const edits = 60
	var wg sync.WaitGroup
	wg.Go(func() {
		for n := range edits {
			d.accept("ettuquar-chest", fmt.Sprintf(`{"state":"divert","reason":"%d"}`, n))
		}
	})
	want, last := int64(2), "1"
	for want <= edits+1 {
		l := listen(t, client, address, last)
		for n := int64(0); n <= want%4 && want <= edits+1; n++ { // cut after one to four
			e := l.must()
			require.Equal(t, want, e.id)
			want++
		}
		last = strconv.FormatInt(l.last, 10)
		l.close()
	}
	wg.Wait()
	l := listen(t, client, address, "1") // and all at once
	defer l.close()
	for n := int64(2); n <= edits+1; n++ {
		require.Equal(t, n, l.must().id)
	}
}

// TestEventsTooFarBehind: who cannot be told everything is told so.
func TestEventsTooFarBehind(t *testing.T) {
	d := editable(t)
	address, _ := d.running()
	client := httpClient(t)
	l := listen(t, client, address, "7") // of another history: this one has one version
	assert.Equal(t, heard{1, "region", `{"version":1,"at":"2031-03-14T21:40:00Z","changes":[],"reset":true}`}, l.must())
	l.close()
	for n := range 300 {
		d.accept("ettuquar-chest", fmt.Sprintf(`{"state":"divert","reason":"%d"}`, n))
	}
	l = listen(t, client, address, "1")
	defer l.close()
	e := l.must()
	assert.Equal(t, int64(301), e.id)
	assert.Contains(t, e.data, `"reset":true`)
}

// TestManyListeners: two hundred at once all hear everything, and leave nothing
// behind when they go.
func TestManyListeners(t *testing.T) {
	before := goleak.IgnoreCurrent()
	d := editable(t)
	address, stop := d.running()
	client := &http.Client{Transport: &http.Transport{}}
	const listeners, edits = 200, 5
	all := make([]*listener, listeners)
	for i := range all {
		all[i] = listen(t, client, address, "")
		require.Equal(t, int64(1), all[i].must().id)
	}
	for n := range edits {
		d.accept("ettuquar-chest", fmt.Sprintf(`{"state":"divert","reason":"%d"}`, n))
	}
	for _, l := range all {
		for n := range int64(edits) {
			require.Equal(t, n+2, l.must().id)
		}
		l.close()
	}
	client.CloseIdleConnections()
	require.NoError(t, stop())
	goleak.VerifyNone(t, before)
}

// TestListenersAreBounded: those beyond what can be served are told to come later.
func TestListenersAreBounded(t *testing.T) {
	d := editable(t)
	ctx, cancel := context.WithCancel(t.Context())
	const beyond = 5
	refused := make(chan *httptest.ResponseRecorder, api.MaxListeners+beyond)
	var wg sync.WaitGroup
	for range api.MaxListeners + beyond {
		wg.Go(func() {
			if w := serveOne(d, httptest.NewRequest(http.MethodGet, "/v1/events", nil).WithContext(ctx)); w.Code != http.StatusOK {
				refused <- w
			}
		})
	}
	require.Eventually(t, func() bool { return len(refused) == beyond }, 20*time.Second, 10*time.Millisecond)
	cancel()
	wg.Wait()
	require.Len(t, refused, beyond)
	for range beyond {
		w := <-refused
		require.Equal(t, http.StatusServiceUnavailable, w.Code)
		checkProblem(t, w, "too-many-listeners")
		d.strict.check(t, "GET", "/v1/events", w)
	}
}

func TestEventsRefused(t *testing.T) {
	d := editable(t)
	for _, tt := range []struct {
		path, accept string
		status       int
	}{
		{"/v1/events?after=x", "", 400}, {"/v1/events?since=1", "", 400}, {"/v1/events?after=-1", "", 400},
		{"/v1/events", "application/json", 406},
	} {
		c := call{method: "GET", path: tt.path}
		if tt.accept != "" {
			c.header = header("Accept", tt.accept)
		}
		w := do(d, c)
		require.Equal(t, tt.status, w.Code, tt.path)
		d.strict.check(t, "GET", "/v1/events", w)
	}
	w := do(d, call{method: "HEAD", path: "/v1/events"})
	assert.Equal(t, http.StatusOK, w.Code)
	assert.Equal(t, "text/event-stream", w.Header().Get("Content-Type"))
}
