package main

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"surgeonward/testdata"
)

// screen is a buffer that a running server writes to while a test reads it.
type screen struct {
	mu   sync.Mutex
	text strings.Builder
}

func (s *screen) Write(b []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(b)
}

func (s *screen) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

var listening = regexp.MustCompile(`listening: (http://127\.0\.0\.1:\d+)\n`)

// serving starts the program on a free port and returns its address and a
// function that stops it as a signal would and returns the exit code.
func serving(t *testing.T, stdout, stderr io.Writer, shown fmt.Stringer, args ...string) (string, func() int) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, append([]string{"serve", "--listen", "127.0.0.1:0"}, args...),
			func(string) string { return "" }, strings.NewReader(""), stdout, stderr)
	}()
	require.Eventually(t, func() bool { return listening.MatchString(shown.String()) }, 20*time.Second, 5*time.Millisecond)
	return listening.FindStringSubmatch(shown.String())[1], func() int { cancel(); return <-ended }
}

func TestServe(t *testing.T) {
	defer goleak.VerifyNone(t)
	var stdout, stderr screen
	address, stop := serving(t, &stdout, &stderr, &stdout)
	assert.Contains(t, stdout.String(), "DEMONSTRATION: nothing in this region is real")

	client := &http.Client{Timeout: 20 * time.Second}
	defer client.CloseIdleConnections()
	body, err := fs.ReadFile(testdata.Scenarios, "harbour-stabbing.json")
	require.NoError(t, err)
	answer, err := client.Post(address+"/v1/options", "application/json", strings.NewReader(string(body)))
	require.NoError(t, err)
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	require.Equal(t, http.StatusOK, answer.StatusCode, string(text))

	// The command line is the same computation, to the byte.
	assert.Equal(t, call(t, "", "options", "--scenario", "harbour-stabbing", "--json").out, string(text))

	assert.Equal(t, exitOK, stop())
	_, err = client.Get(address + "/healthz")
	assert.Error(t, err, "it has stopped")
	assert.NotContains(t, stderr.String(), "45.52", "no positions in the log")
	assert.Contains(t, stderr.String(), "/v1/options")
}

func TestServePortInUse(t *testing.T) {
	var stdout, stderr screen
	address, stop := serving(t, &stdout, &stderr, &stdout)
	got := call(t, "", "serve", "--listen", strings.TrimPrefix(address, "http://"))
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.errors, "--listen: ")
	assert.Empty(t, got.out, "it says nothing of listening")
	assert.Equal(t, exitOK, stop())
}
