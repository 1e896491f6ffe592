package api_test

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"surgeonward/api"
)

// serve starts Serve on a free port; stop ends it and returns what it returned.
func serve(t *testing.T, h http.Handler) (address string, stop func() error) {
	t.Helper()
	listener, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- api.Serve(ctx, listener, h, zerolog.Nop()) }()
	return listener.Addr().String(), func() error {
		cancel()
		select {
		case err := <-done:
			return err
		case <-time.After(15 * time.Second):
			return fmt.Errorf("still serving")
		}
	}
}

func TestServe(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	address, stop := serve(t, handler(t))
	client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
	answer, err := client.Post("http://"+address+"/v1/options", "application/json", strings.NewReader(someWhere))
	require.NoError(t, err)
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	assert.Equal(t, http.StatusOK, answer.StatusCode)
	assert.Contains(t, string(body), "Advice only")

	head, err := client.Head("http://" + address + "/v1/facilities")
	require.NoError(t, err)
	require.NoError(t, head.Body.Close())
	assert.Equal(t, http.StatusOK, head.StatusCode)

	require.NoError(t, stop())
	_, err = client.Get("http://" + address + "/healthz")
	assert.Error(t, err, "it must not answer after it has stopped")
}

// TestServeStopsGracefully ends the service while a request is running: the
// request still gets its answer.
func TestServeStopsGracefully(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	running, finish := make(chan struct{}), make(chan struct{})
	address, stop := serve(t, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		close(running)
		<-finish
		_, _ = io.WriteString(w, "finished")
	}))
	connection, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", address)
	require.NoError(t, err)
	_, err = fmt.Fprintf(connection, "GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
	require.NoError(t, err)
	<-running
	stopped := make(chan error, 1)
	go func() { stopped <- stop() }()
	require.Eventually(t, func() bool { // the port closes first
		probe, err := (&net.Dialer{Timeout: time.Second}).DialContext(t.Context(), "tcp", address)
		if err == nil {
			_ = probe.Close()
		}
		return err != nil
	}, 5*time.Second, time.Millisecond)
	select {
	case err := <-stopped:
		t.Fatal("it stopped before the request had its answer", err)
	default:
	}
	close(finish)
	answer, err := http.ReadResponse(bufio.NewReader(connection), nil)
	require.NoError(t, err)
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	assert.Equal(t, "finished", string(body))
	require.NoError(t, answer.Body.Close())
	require.NoError(t, connection.Close())
	require.NoError(t, <-stopped)
}

// TestServeListenerFails returns what ended it when nobody asked it to stop.
func TestServeListenerFails(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	listener, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	require.NoError(t, listener.Close())
	assert.ErrorIs(t, api.Serve(t.Context(), listener, handler(t), zerolog.Nop()), net.ErrClosed)
}

// TestSlowBody sends less than it promised: once the server's time for reading
// is over, the caller is told so.
func TestSlowBody(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	server := httptest.NewUnstartedServer(handler(t))
	server.Config.ReadTimeout = 50 * time.Millisecond
	server.Start()
	defer server.Close()
	connection, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", server.Listener.Addr().String())
	require.NoError(t, err)
	defer func() { _ = connection.Close() }()
	_, err = fmt.Fprintf(connection, "POST /v1/options HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{")
	require.NoError(t, err)
	answer, err := http.ReadResponse(bufio.NewReader(connection), nil)
	require.NoError(t, err)
	assert.Equal(t, http.StatusRequestTimeout, answer.StatusCode)
	assert.Equal(t, "application/problem+json", answer.Header.Get("Content-Type"))
	require.NoError(t, answer.Body.Close())
}
