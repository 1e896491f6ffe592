package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"time"
)

// healthyCommand asks a service on this machine how it is: for a container,
// which has no other program to ask with.
type healthyCommand struct {
	Listen  string `help:"The address the service listens on (default: 127.0.0.1:8080)." default:"127.0.0.1:8080" placeholder:"HOST:PORT"`
	TLSCert string `name:"tls-cert" help:"The service's certificate, if it serves over TLS." placeholder:"FILE"`
	Ready   bool   `help:"Ask whether it can answer questions, not only whether it runs."`
}

// Run fails unless the service says that it is well. It asks this machine only
// and sends nothing secret, so that it need not know for which name the
// certificate is.
func (c *healthyCommand) Run(ctx context.Context, _ *program) error {
	host, port, err := net.SplitHostPort(c.Listen)
	if err != nil {
		return usageError{fmt.Errorf("--listen: %w", err)}
	}
	if ip, err := netip.ParseAddr(host); host == "" || (err == nil && ip.IsUnspecified()) {
		host = "127.0.0.1"
		if ip.Is6() {
			host = "::1"
		}
	}
	scheme, path := "http", "/healthz"
	if c.TLSCert != "" {
		scheme = "https"
	}
	if c.Ready {
		path = "/readyz"
	}
	client := &http.Client{
		Timeout: 4 * time.Second,
		Transport: &http.Transport{
			DisableKeepAlives: true,
			TLSClientConfig:   &tls.Config{InsecureSkipVerify: true}, // see above
		},
	}
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, scheme+"://"+net.JoinHostPort(host, port)+path, nil)
	if err != nil {
		return usageError{fmt.Errorf("--listen: %w", err)}
	}
	answer, err := client.Do(r)
	if err != nil {
		return err
	}
	if err := answer.Body.Close(); err != nil {
		return err
	}
	if answer.StatusCode != http.StatusOK {
		return errors.New("the service is not well: " + answer.Status)
	}
	return nil
}
