package main

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"net/http"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/testdata"
)

// loadTime is how long the whole load lasts; without it a tenth of the load lasts
// two seconds, which tests the test.
const loadTime = "SURGEONWARD_TEST_LOAD"

const (
	desks         = 4               // that edit, each its own element
	editsPerS     = 20              // of all desks together
	thinkS        = 1               // between two requests of a reader, on average
	questionShare = 10              // in a hundred requests of readers
	loadPatience  = 2 * time.Minute // until the last event has come, on a busy machine
)

// load is one run of readers, listeners and desks against a service.
type load struct {
	testing.TB
	address  string
	client   *http.Client
	readers  int
	listen   int
	lasts    time.Duration
	question [][]byte

	mu       sync.Mutex
	times    map[string][]time.Duration // by route
	failures []string
	failed   int
	versions []int64 // that desks were told of
}

// TestLoad puts readers, listeners and desks on a service that keeps a region in a
// folder: no request fails, no listener misses an edit, hears one twice or out of
// order, and the memory stays what it was. make load runs it whole and prints the
// table. Source: the definition of the job.
func TestLoad(t *testing.T) {
	l := &load{TB: t, readers: 20, listen: 2, lasts: 2 * time.Second, times: map[string][]time.Duration{}}
	if text := os.Getenv(loadTime); text != "" {
		var err error
		l.lasts, err = time.ParseDuration(text)
		require.NoError(t, err)
		l.readers, l.listen = 200, 20
	}
	l.client = &http.Client{Timeout: time.Minute, Transport: &http.Transport{MaxIdleConnsPerHost: 2 * l.readers}}
	defer l.client.CloseIdleConnections()
	l.question = questions(t)
	c := startChild(t, "--region", freshDemo(t))
	l.address = c.address
	first := regionAt(t, c.address).Version
	var ears []*ear
	for range l.listen {
		ears = append(ears, listenTo(t, c.address))
	}
	memory := watchMemory(c.address, l.lasts)

	end := time.Now().Add(l.lasts)
	var all sync.WaitGroup
	for i := range l.readers {
		all.Go(func() { l.read(rand.New(rand.NewPCG(uint64(i), 1)), end) })
	}
	for i := range desks {
		all.Go(func() { l.edit(i, end) })
	}
	all.Wait()
	warm, late := memory()
	_, most := c.memory(t)

	last := regionAt(t, c.address).Version
	slices.Sort(l.versions)
	assert.Equal(t, len(l.versions), len(slices.Compact(slices.Clone(l.versions))), "each edit made a version of its own")
	assert.EqualValues(t, last-first, len(l.versions), "every version was acknowledged, and every edit that was is there")
	events := l.allHeard(ears, first, last)
	assert.Zero(t, l.failed, "%s", strings.Join(l.failures, "\n"))
	require.NotZero(t, warm)
	assert.LessOrEqual(t, late, warm+warm/2+(16<<20), "the heap does not grow")
	l.print(events, warm, late, most, bareRatios(l))
}

// questions are those of the worked scenarios.
func questions(t testing.TB) (out [][]byte) {
	t.Helper()
	names, err := fs.Glob(testdata.Scenarios, "*.json")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, name := range names {
		body, err := fs.ReadFile(testdata.Scenarios, name)
		require.NoError(t, err)
		out = append(out, body)
	}
	return out
}

// The routes that are told apart.
const (
	askRoute   = "POST /v1/options"
	listRoute  = "GET /v1/facilities"
	sameRoute  = "GET /v1/facilities, 304"
	oneRoute   = "GET /v1/assets/{id}"
	stateRoute = "GET /v1/region"
	editRoute  = "edits"
)

// read asks as one reader does, until the end.
func (l *load) read(random *rand.Rand, end time.Time) {
	tag := ""
	for {
		pause := time.Duration(random.Int64N(int64(2 * thinkS * time.Second)))
		if time.Now().Add(pause).After(end) {
			return
		}
		time.Sleep(pause)
		switch n := random.IntN(100); {
		case n < questionShare:
			l.send(askRoute, "POST", "/v1/options", l.question[random.IntN(len(l.question))])
		case n < 70:
			r, ok := l.send(listRoute, "GET", "/v1/facilities", nil, "If-None-Match", tag)
			if ok {
				tag = r.header.Get("ETag")
			}
		case n < 90:
			l.send(oneRoute, "GET", "/v1/assets/heli-1", nil)
		default:
			l.send(stateRoute, "GET", "/v1/region", nil)
		}
	}
}

// edit does what one desk does, until the end: an edit whenever it is time for the
// next, late or not.
func (l *load) edit(desk int, end time.Time) {
	const every = time.Second * desks / editsPerS
	for n, next := 0, time.Now(); next.Before(end); n, next = n+1, next.Add(every) {
		time.Sleep(time.Until(next))
		var r reply
		var ok bool
		switch desk {
		case 0:
			r, ok = l.send(editRoute, "POST", "/v1/facilities/ettuquar-chest/accepting", fmt.Appendf(nil, divertBody, n))
		case 1:
			r, ok = l.send(editRoute, "POST", "/v1/facilities/ossuvaune-general/away", fmt.Appendf(nil, `{"what":"theatre","reason":"list %d overruns"}`, n))
		case 2:
			r, ok = l.send(editRoute, "POST", "/v1/assets/heli-1/state", fmt.Appendf(nil, `{"state":"moving","position":[-29.%06d,45.52]}`, n+1))
		case 3:
			r, ok = l.send(editRoute, "PATCH", "/v1/assets/heli-2", fmt.Appendf(nil, `{"x_count":%d}`, n), "Content-Type", "application/merge-patch+json", "If-Match", "*")
		}
		if !ok {
			continue
		}
		version, err := strconv.ParseInt(r.header.Get("Surgeonward-Version"), 10, 64)
		if err != nil {
			l.fail(err.Error())
			continue
		}
		l.mu.Lock()
		l.versions = append(l.versions, version)
		l.mu.Unlock()
	}
}

// send makes a request, and keeps how long it took or why it failed.
func (l *load) send(route, method, path string, body []byte, header ...string) (reply, bool) {
	r, err := http.NewRequestWithContext(l.Context(), method, l.address+path, bytes.NewReader(body))
	if err != nil {
		l.fail(err.Error())
		return reply{}, false
	}
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(header); i += 2 {
		if header[i+1] != "" {
			r.Header.Set(header[i], header[i+1])
		}
	}
	began := time.Now()
	answer, err := l.client.Do(r)
	if err != nil {
		l.fail(err.Error())
		return reply{}, false
	}
	text, err := io.ReadAll(answer.Body)
	took := time.Since(began)
	_ = answer.Body.Close() // it has been read
	switch {
	case err != nil:
		l.fail(err.Error())
		return reply{}, false
	case answer.StatusCode == http.StatusNotModified:
		route = sameRoute
	case answer.StatusCode != http.StatusOK:
		l.fail(fmt.Sprintf("%s: %d %.300s", route, answer.StatusCode, text))
		return reply{}, false
	}
	l.mu.Lock()
	l.times[route] = append(l.times[route], took)
	l.mu.Unlock()
	return reply{answer.StatusCode, answer.Header, string(text)}, true
}

func (l *load) fail(why string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.failed++; l.failed <= 10 {
		l.failures = append(l.failures, why)
	}
}

// allHeard holds every listener to each version once and in order, and returns
// how many events they heard together.
func (l *load) allHeard(ears []*ear, first, last int64) (events int) {
	var want []int64
	for n := first; n <= last; n++ {
		want = append(want, n)
	}
	for _, e := range ears {
		assert.Eventually(l, func() bool { v, _ := e.heard(); return len(v) >= len(want) }, loadPatience, 10*time.Millisecond)
		versions, _ := e.heard()
		assert.Equal(l, want, versions)
		events += len(versions)
	}
	return events
}

// print writes the table.
func (l *load) print(events int, warm, late, most int64, ratios map[string]float64) {
	var out strings.Builder
	count := 0
	fmt.Fprintf(&out, "| route | requests | p50 | p99 | against a bare handler |\n| --- | --- | --- | --- | --- |\n")
	for _, route := range []string{askRoute, listRoute, sameRoute, oneRoute, stateRoute, editRoute} {
		times := l.times[route]
		count += len(times)
		ratio := "-"
		if r := ratios[route]; r > 0 {
			ratio = fmt.Sprintf("%.2g times", r)
		}
		fmt.Fprintf(&out, "| %s | %d | %v | %v | %s |\n", route, len(times), quantile(times, .5), quantile(times, .99), ratio)
	}
	average := "unknown"
	if text, err := os.ReadFile("/proc/loadavg"); err == nil {
		average = strings.Join(strings.Fields(string(text))[:3], " ")
	}
	l.Logf("%v, %d readers, %d of them listening, %d cores, load average of the machine %s\n%s"+
		"%d requests, %d errors; %d edits, %d events heard, none lost; heap %d kB after warm-up, %d kB at the end; process at most %d kB",
		l.lasts, l.readers, l.listen, runtime.NumCPU(), average, out.String(), count, l.failed, len(l.versions), events, warm>>10, late>>10, most>>10)
}

// quantile is 0 of none.
func quantile(times []time.Duration, q float64) time.Duration {
	if len(times) == 0 {
		return 0
	}
	slices.Sort(times)
	return times[min(len(times)-1, int(q*float64(len(times))))].Round(10 * time.Microsecond)
}
