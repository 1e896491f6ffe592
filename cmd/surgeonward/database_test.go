package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/region"
	"surgeonward/facilities/store/postgres/pgserver"
)

// freshDemo is a folder with the demonstration region.
func freshDemo(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	saveDemo(t, dir)
	return dir
}

func saveDemo(t testing.TB, dir string) {
	t.Helper()
	files, err := region.DemoFiles()
	require.NoError(t, err)
	for name, content := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), content, 0o644))
	}
}

// reply is an answer of a service, read whole.
type reply struct {
	code   int
	header http.Header
	body   string
}

// sends makes a request; a body is JSON unless it is a merge patch.
func sends(method, address, body string, header ...string) (reply, error) {
	r, err := http.NewRequest(method, address, strings.NewReader(body))
	if err != nil {
		return reply{}, err
	}
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return reply{}, err
	}
	text, err := io.ReadAll(answer.Body)
	return reply{answer.StatusCode, answer.Header, string(text)}, errors.Join(err, answer.Body.Close())
}

func sent(t testing.TB, method, address, body string, header ...string) reply {
	t.Helper()
	r, err := sends(method, address, body, header...)
	require.NoError(t, err)
	return r
}

// about is what a service says of its region.
type about struct {
	Version    int64      `json:"version"`
	StaleSince *time.Time `json:"stale_since"`
}

func regionAt(t testing.TB, address string) (out about) {
	t.Helper()
	r := sent(t, "GET", address+"/v1/region", "")
	require.Equal(t, http.StatusOK, r.code, r.body)
	require.NoError(t, json.Unmarshal([]byte(r.body), &out))
	return out
}

// soon waits for what must come within a second or two; the machine may be busy.
func soon(t testing.TB, what string, is func() bool) time.Duration {
	t.Helper()
	began := time.Now()
	require.Eventually(t, is, 30*time.Second, 10*time.Millisecond, what)
	return time.Since(began).Round(time.Millisecond)
}

const divertBody = `{"state":"divert","reason":"theatre flooded, call %d"}`

// divert is an edit of the desk's that no two calls with other numbers have in
// common.
func divert(t testing.TB, address string, n int) reply {
	t.Helper()
	return sent(t, "POST", address+"/v1/facilities/ettuquar-chest/accepting", fmt.Sprintf(divertBody, n))
}

// ear listens to a service's events.
type ear struct {
	mu       sync.Mutex
	versions []int64
	stale    []bool
	response *http.Response
	done     chan struct{}
}

func listenTo(t testing.TB, address string) *ear {
	t.Helper()
	response, err := http.Get(address + "/v1/events")
	require.NoError(t, err)
	require.Equal(t, http.StatusOK, response.StatusCode)
	e := &ear{response: response, done: make(chan struct{})}
	go e.listen()
	t.Cleanup(func() { _ = response.Body.Close(); <-e.done })
	return e
}

func (e *ear) listen() {
	defer close(e.done)
	kind := ""
	for lines := bufio.NewScanner(e.response.Body); lines.Scan(); {
		line := lines.Text()
		if word, ok := strings.CutPrefix(line, "event: "); ok {
			kind = word
		}
		data, ok := strings.CutPrefix(line, "data: ")
		if !ok {
			continue
		}
		var said about
		if json.Unmarshal([]byte(data), &said) != nil {
			return
		}
		e.mu.Lock()
		if kind == "region" {
			e.versions = append(e.versions, said.Version)
		} else {
			e.stale = append(e.stale, said.StaleSince != nil)
		}
		e.mu.Unlock()
	}
}

func (e *ear) heard() (versions []int64, stale []bool) {
	e.mu.Lock()
	defer e.mu.Unlock()
	return append(versions, e.versions...), append(stale, e.stale...)
}

// TestDatabaseGone: two services on one database see each other's edits. While it
// is away both answer from the last good data and say since when, edits are
// refused clearly, and when it is back so is everything, with nobody's help.
func TestDatabaseGone(t *testing.T) {
	server, err := pgserver.Start()
	if errors.Is(err, pgserver.ErrMissing) {
		t.Skip(err.Error())
	}
	require.NoError(t, err)
	defer func() { require.NoError(t, server.Close()) }()
	called(t, "copy", freshDemo(t), server.URL())
	var addresses [2]string
	for i := range addresses {
		var stdout, stderr screen
		address, stop := serving(t, &stdout, &stderr, &stdout, "--database", server.URL())
		addresses[i] = address
		defer func() { assert.Equal(t, exitOK, stop()) }()
	}
	here, there := addresses[0], addresses[1]
	version := regionAt(t, here).Version
	first := version
	e := listenTo(t, there)

	for n := range 10 { // both ways
		from, to := addresses[n%2], addresses[(n+1)%2]
		r := divert(t, from, n)
		require.Equal(t, http.StatusOK, r.code, r.body)
		version++
		took := soon(t, "the other sees it", func() bool { return regionAt(t, to).Version == version })
		assert.Contains(t, sent(t, "GET", to+"/v1/facilities/ettuquar-chest", "").body, fmt.Sprintf("call %d", n))
		t.Logf("seen by the other after %v", took)
	}

	const question = `{"at":"2031-03-14T21:40:00Z","scene":{"position":[-29.41,45.52]}}`
	options := func(r reply) string {
		var answer struct {
			Options json.RawMessage `json:"options"`
		}
		require.NoError(t, json.Unmarshal([]byte(r.body), &answer))
		return string(answer.Options)
	}
	before := sent(t, "POST", here+"/v1/options", question)
	require.Equal(t, http.StatusOK, before.code)

	require.NoError(t, server.Stop())
	for i, address := range addresses {
		took := soon(t, "it says how old its data is", func() bool { return regionAt(t, address).StaleSince != nil })
		t.Logf("service %d knows after %v", i, took)
		assert.Equal(t, version, regionAt(t, address).Version)
		after := sent(t, "POST", address+"/v1/options", question)
		require.Equal(t, http.StatusOK, after.code, after.body)
		assert.Equal(t, options(before), options(after), "answers go on")
		assert.Contains(t, after.body, `"stale_since":"`, "and say how old their data is")
		assert.NotContains(t, before.body, "stale_since")
		assert.Equal(t, http.StatusOK, sent(t, "GET", address+"/readyz", "").code)
		refused := divert(t, address, 100)
		assert.Equal(t, http.StatusServiceUnavailable, refused.code)
		assert.NotEmpty(t, refused.header.Get("Retry-After"))
		assert.Contains(t, refused.body, "store-unavailable")
		assert.NotContains(t, refused.body, "PGSQL", "no address")
		jobs := sent(t, "GET", address+"/v1/jobs", "")
		assert.Equal(t, http.StatusServiceUnavailable, jobs.code)
		assert.Contains(t, jobs.body, "store-unavailable")
	}
	soon(t, "listeners are told", func() bool { _, stale := e.heard(); return len(stale) > 0 && stale[len(stale)-1] })

	require.NoError(t, server.Resume())
	for _, address := range addresses {
		soon(t, "it comes back by itself", func() bool { return regionAt(t, address).StaleSince == nil })
	}
	soon(t, "edits are taken again", func() bool { return divert(t, here, 200).code == http.StatusOK })
	version++
	soon(t, "the other sees it", func() bool { return regionAt(t, there).Version == version })
	var want []int64
	for n := first; n <= version; n++ {
		want = append(want, n)
	}
	soon(t, "the listener hears all", func() bool { v, _ := e.heard(); return len(v) >= len(want) })
	versions, stale := e.heard()
	assert.Equal(t, want, versions, "each version once and in order")
	assert.False(t, stale[len(stale)-1], "the listener is told that all is well")
}
