package main

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"surgeonward/api"
	"surgeonward/api/region"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities/store"
)

// served is the region that answers are made from, and where edits go.
type served struct {
	api.Source
	kept string // where edits are kept, in words
	stop func() error
}

// openSource loads the folder, or the demonstration region where dir is empty.
// That can be edited too, to try it out: what is changed is lost in the end.
func openSource(ctx context.Context, dir string, p *program) (*served, error) {
	if dir != "" {
		r, report, err := loadRegion(dir)
		if err != nil {
			return nil, err
		}
		warn(p, report)
		held := &api.Holder{}
		held.Hold(r)
		return &served{Source: held, kept: "none: the folder is read once", stop: func() error { return nil }}, nil
	}
	files, err := region.DemoFiles()
	if err != nil {
		return nil, err
	}
	loader := &region.Loader{}
	s, err := store.Memory(files, loader.Check, nil)
	if err != nil {
		return nil, err
	}
	return follow(ctx, s, loader, p)
}

// follow serves what is in a store, as it changes, until it is stopped.
func follow(ctx context.Context, s store.Store, loader *region.Loader, p *program) (*served, error) {
	live, err := region.NewLive(ctx, region.LiveConfig{Store: s, Loader: loader})
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	v, err := s.Current(ctx)
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	_, report := loader.Load(v.Content)
	warn(p, report)
	out := &served{Source: live}
	if words, ok := s.(fmt.Stringer); ok {
		out.kept = words.String()
	}
	ctx, cancel := context.WithCancel(ctx)
	var running sync.WaitGroup
	running.Go(func() { live.Run(ctx) })
	out.stop = func() error {
		cancel()
		running.Wait()
		return s.Close()
	}
	return out, nil
}

func warn(p *program, report region.Report) {
	for _, w := range report.Warnings {
		fmt.Fprintln(p.stderr, "surgeonward: warning: "+terminal.Clean(w.String()))
	}
}
