package api

import (
	"context"
	"errors"
	"io"
	"log"
	"net"
	"net/http"
	"time"

	"github.com/rs/zerolog"
)

// The server's own limits on a connection. Writing may take longer than
// MaxTime, so that the answer that says "too late" still gets out.
const (
	headerTimeout = 5 * time.Second
	readTimeout   = 8 * time.Second // under MaxTime: a slow body is told so
	writeTimeout  = readTimeout + MaxTime + 5*time.Second
	idleTimeout   = 60 * time.Second
	maxHeader     = 16 << 10
	stopTimeout   = 10 * time.Second
)

// Serve answers on the listener until ctx ends, then takes no new connections
// and lets running requests finish for up to 10 s; streams of events end at
// once. It closes the listener, and
// returns nil after a stop that let everybody finish.
func Serve(ctx context.Context, listener net.Listener, handler http.Handler, logger zerolog.Logger) error {
	server := &http.Server{
		Handler:           handler,
		ReadHeaderTimeout: headerTimeout,
		ReadTimeout:       readTimeout,
		WriteTimeout:      writeTimeout,
		IdleTimeout:       idleTimeout,
		MaxHeaderBytes:    maxHeader,
		// net/http's lines name addresses and quote what clients sent.
		ErrorLog: log.New(io.Discard, "", 0),
		// Streams of events look at this: they would never finish by themselves.
		BaseContext: func(net.Listener) context.Context {
			return context.WithValue(context.WithoutCancel(ctx), stoppingKey{}, ctx.Done())
		},
	}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	logger.Info().Str("address", listener.Addr().String()).Msg("serving")
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	logger.Info().Msg("stopping")
	deadline, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTimeout)
	defer cancel()
	err := server.Shutdown(deadline)
	if err != nil {
		err = errors.Join(err, server.Close())
	}
	if served := <-failed; !errors.Is(served, http.ErrServerClosed) {
		err = errors.Join(err, served)
	}
	logger.Info().Msg("stopped")
	return err
}
