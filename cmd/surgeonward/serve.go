package main

import (
	"cmp"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"time"

	"github.com/rs/zerolog"

	"surgeonward/api"
	"surgeonward/cmd/surgeonward/terminal"
)

// serveCommand answers over HTTP until it is told to stop.
type serveCommand struct {
	place `embed:""`

	Listen    string `help:"Address to listen on (default: 127.0.0.1:8080)." default:"127.0.0.1:8080" placeholder:"HOST:PORT"`
	AllowWide bool   `help:"Let other machines reach it without access control or without TLS: something in front of it provides what is missing."`
	Metrics   bool   `help:"Serve GET /metrics even where other machines can read it without access control."`

	guardFlags  `embed:""`
	recordFlags `embed:""`
	jobFlags    `embed:""`
	mapFlags    `embed:""`
}

// Run loads the region, then listens: a server that cannot answer never opens
// its port. The log goes to standard error, one JSON line for each request,
// without positions, bodies and tokens. Every flag can also be given in the
// environment: --listen as SURGEONWARD_LISTEN.
func (c *serveCommand) Run(ctx context.Context, p *program) (err error) {
	if err = errors.Join(c.guardFlags.check(), c.mapFlags.check(c.TLSCert != "")); err != nil {
		return err
	}
	logger := zerolog.New(p.stderr).With().Timestamp().Logger()
	source, err := openSource(ctx, c.place.orEnvironment(p), logger, p)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.stop()) }()
	r := source.Region()
	store, err := c.recordFlags.open(logger)
	if err != nil {
		return err
	}
	if store != nil {
		watched, stop := context.WithCancel(ctx)
		ticker := time.NewTicker(recordWatch)
		go watchRecord(watched, store.Stats, ticker.C, logger)
		defer func() {
			stop()
			ticker.Stop()
			err = errors.Join(err, store.Close())
		}()
	}
	jobs, err := c.jobFlags.open(ctx, source, logger)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, jobs.Close()) }()
	guard, err := c.guard(logger)
	if err != nil {
		return err
	}
	transport, err := c.transport(logger)
	if err != nil {
		return err
	}
	base, err := c.mapFlags.open()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, base.Close()) }()
	listener, loopback, err := listen(c.Listen, safety{guarded: guard != nil, encrypted: transport != nil, waived: c.AllowWide})
	if err != nil {
		return err
	}
	cfg := api.Config{Source: source.Source, Logger: logger, Build: version(), Rate: c.rate(), LocalHost: loopback && !c.AllowWide,
		NoMetrics: !loopback && guard == nil && !c.Metrics, Record: store, Jobs: jobs, Map: base,
		Demand: c.place.orEnvironment(p).demandFile()}
	if guard != nil { // or a nil guard would be one
		cfg.Guard = guard
	}
	handler, err := api.New(cfg)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	scheme := "http"
	if transport != nil {
		listener, scheme = tls.NewListener(listener, transport), "https"
	}
	fmt.Fprintf(p.stdout, "surgeonward %s\n", version())
	fmt.Fprintf(p.stdout, "region: %s (%s)\n", terminal.Clean(r.Name), contents(r))
	if r.Demonstration {
		fmt.Fprintln(p.stdout, "DEMONSTRATION: nothing in this region is real")
	}
	fmt.Fprintf(p.stdout, "content: parameters %s, facilities %s, fleet %s, roads %s\n", short(r.Hashes.Parameters), short(r.Hashes.Facilities),
		short(r.Hashes.Fleet), cmp.Or(short(r.Hashes.Roads), "none"))
	fmt.Fprintf(p.stdout, "edits: %s\n", terminal.Clean(source.kept))
	if store != nil {
		fmt.Fprintf(p.stdout, "recording: every answer into %s\n", terminal.Clean(c.Record))
	}
	fmt.Fprintf(p.stdout, "jobs: %s\n", terminal.Clean(c.jobFlags.kept(source)))
	c.mapFlags.say(p.stdout)
	fmt.Fprintf(p.stdout, "access: %s\n", c.who())
	fmt.Fprintf(p.stdout, "listening: %s://%s\n", scheme, listener.Addr())
	return api.Serve(ctx, listener, handler, logger)
}

// short is enough of a hash for a person to compare.
func short(hash string) string { return hash[:min(len(hash), 12)] }
