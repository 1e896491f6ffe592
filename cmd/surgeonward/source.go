package main

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/rs/zerolog"

	"surgeonward/api"
	"surgeonward/api/region"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities/disk"
	"surgeonward/facilities/document"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
	"surgeonward/facilities/store/postgres"
)

// served is the region that answers are made from, and where edits go.
type served struct {
	api.Source
	store    store.Store
	database string // its address; empty: the region is kept elsewhere
	kept     string // where edits are kept, in words
	stop     func() error
}

// place says where a region is kept: in a folder, in a database, or, with
// neither, in the program: the demonstration region.
type place struct {
	Region   string `help:"Region folder (default: the demonstration region)." placeholder:"DIR" xor:"place"`
	Database string `help:"PostgreSQL database that holds the region (or DATABASE_URL), such as postgres://desk@db.example/region; the password belongs in PGPASSWORD or a password file." placeholder:"URL" xor:"place"`
}

// orEnvironment takes DATABASE_URL where neither folder nor database is named.
func (at place) orEnvironment(p *program) place {
	if at.Region == "" && at.Database == "" {
		at.Database = p.env("DATABASE_URL")
	}
	return at
}

// openSource begins to serve the region. The demonstration region can be
// edited too, to try it out: what is changed is lost in the end.
func openSource(ctx context.Context, at place, logger zerolog.Logger, p *program) (*served, error) {
	loader := &region.Loader{}
	s, err := at.open(ctx, loader, nil)
	if err != nil {
		return nil, err
	}
	out, err := follow(ctx, s, loader, logger, p)
	if err == nil {
		out.database = at.Database
	}
	return out, err
}

// open opens the store. A nil clock is time.Now.
func (at place) open(ctx context.Context, loader *region.Loader, now func() time.Time) (store.Store, error) {
	switch {
	case at.Database != "":
		return postgres.Open(ctx, at.Database, postgres.Options{Names: region.Files(), Check: loader.Check, Now: now})
	case at.Region != "":
		return openFolder(at.Region, loader, now)
	}
	files, err := region.DemoFiles()
	if err != nil {
		return nil, err
	}
	return store.Memory(files, loader.Check, now)
}

// whole opens the region to take all of it, also beside a service that has its
// folder: what that has not yet made a version of is then not in it.
func (at place) whole(ctx context.Context, loader *region.Loader) (store.Store, error) {
	s, err := at.open(ctx, loader, nil)
	if errors.Is(err, disk.ErrInUse) {
		return readFolder(at.Region, loader, nil, true)
	}
	return s, err
}

// openFolder opens a region's folder, to read only where it cannot be written.
func openFolder(dir string, loader *region.Loader, now func() time.Time) (store.Store, error) {
	s, err := readFolder(dir, loader, now, false)
	if errors.Is(err, store.ErrReadOnly) {
		return readFolder(dir, loader, now, true)
	}
	return s, err
}

// readFolder opens a region's folder; read only, beside whoever writes it.
func readFolder(dir string, loader *region.Loader, now func() time.Time, readOnly bool) (store.Store, error) {
	s, err := folder.Open(dir, folder.Options{Names: region.Files(), Check: loader.Check, Now: now,
		Explain: document.RegionArrays.Explain, ReadOnly: readOnly})
	if err != nil {
		return nil, err // and no store: a nil *folder.Store would be one
	}
	return s, nil
}

// follow serves what is in a store, as it changes, until it is stopped.
func follow(ctx context.Context, s store.Store, loader *region.Loader, logger zerolog.Logger, p *program) (*served, error) {
	v, err := s.Current(ctx)
	if errors.Is(err, store.ErrNotFound) {
		err = nothingYet(s)
	}
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	live, err := region.NewLive(ctx, region.LiveConfig{Store: s, Loader: loader, Kept: kept(s)})
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	_, report := loader.Load(v.Content)
	warn(p, report)
	for _, f := range s.Rejected() {
		fmt.Fprintln(p.stderr, "surgeonward: not used: "+terminal.Clean(f.String()))
	}
	out := &served{Source: live, store: s}
	if words, ok := s.(fmt.Stringer); ok {
		out.kept = words.String()
	}
	ctx, cancel := context.WithCancel(ctx)
	var running sync.WaitGroup
	running.Go(func() { live.Run(ctx) })
	running.Go(func() { logFaults(ctx, live, logger) })
	out.stop = func() error {
		cancel()
		running.Wait()
		return s.Close()
	}
	return out, nil
}

// kept says where edits are kept, to everybody who asks over HTTP: no path, no
// address.
func kept(s store.Store) string {
	switch s.(type) {
	case *store.InMemory:
		return "in memory: edits are lost when the program ends"
	case *postgres.Store:
		return "in a database, with their history"
	}
	return "in the region's folder, with their history"
}

// nothingYet says why a store has no version to serve.
func nothingYet(s store.Store) error {
	rejected := s.Rejected()
	if len(rejected) == 0 {
		return errors.New("the database holds no region yet: put one there with surgeonward copy DIR URL")
	}
	var all faultsError
	for _, f := range rejected {
		all = append(all, f.String())
	}
	return errors.Join(all, errors.New("the folder cannot be used as a region: mend its files and run surgeonward check"))
}

func warn(p *program, report region.Report) {
	for _, w := range report.Warnings {
		fmt.Fprintln(p.stderr, "surgeonward: warning: "+terminal.Clean(w.String()))
	}
}
