package main

import (
	"context"
	"errors"
	"fmt"

	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/cmd/surgeonward/terminal"
	"surgeonward/facilities/disk"
	"surgeonward/facilities/store"
)

// historyCommand shows a region's versions, and brings one back.
type historyCommand struct {
	List    historyList    `cmd:"" default:"withargs" help:"List the versions, the newest first: who changed what, when and why."`
	Show    historyShow    `cmd:"" help:"Show one version: each value that changed, before and after; or one of its files as it was."`
	Restore historyRestore `cmd:"" help:"Make the region what it was in a version. This makes a new version."`
}

// reading opens the region for one look at it, beside whoever serves it, and
// gives what is to be said of it.
func (at place) reading(ctx context.Context, p *program, loader *region.Loader) (s store.Store, r *region.Region, err error) {
	at = at.orEnvironment(p)
	if at.Database == "" && at.Region != "" {
		s, err = readFolder(at.Region, loader, nil, true)
	} else {
		s, err = at.open(ctx, loader, nil)
	}
	if err != nil {
		return nil, nil, err
	}
	if v, err := s.Current(ctx); err == nil {
		r, _ = loader.Load(v.Content)
	}
	if r == nil { // its history can be shown all the same
		r = &region.Region{}
	}
	return s, r, nil
}

type historyList struct {
	place `embed:""`

	Content string `help:"Only versions whose data has this hash: one that an answer names under its versions, or a file's SHA-256." placeholder:"HASH"`
	Element string `help:"Only changes of this facility, asset or road." placeholder:"ID"`
	File    string `help:"Only changes of this file." placeholder:"NAME"`
	Who     string `help:"Only changes by this name." placeholder:"NAME"`
	Before  int64  `help:"Only versions before this number." placeholder:"N"`
	Limit   int    `help:"Most versions to list (default: 50)." default:"50" placeholder:"N"`
	JSON    bool   `name:"json" help:"Print the page as JSON, the same as over HTTP."`
	Width   int    `help:"Columns to print in (default: the terminal's, else 80)." placeholder:"N"`
}

// mostListed is the most versions of one page: what is kept of each change is
// held in memory.
const mostListed = 10_000

// Run prints a page of the history.
func (c *historyList) Run(ctx context.Context, p *program) (err error) {
	switch {
	case c.Limit < 1 || c.Limit > mostListed:
		return usageError{fmt.Errorf("--limit: must be from 1 to %d", mostListed)}
	case c.Before < 0:
		return usageError{errors.New("--before: must be the number of a version, 1 or more")}
	}
	loader := &region.Loader{}
	s, r, err := c.reading(ctx, p, loader)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	entries := region.Entries(ctx, s, c.Before)
	if c.Content != "" {
		live, err := region.NewLive(ctx, region.LiveConfig{Store: s, Loader: loader})
		if err != nil {
			return err
		}
		numbers, err := live.Using(ctx, c.Content)
		if err != nil {
			return err
		}
		entries = region.EntriesOf(ctx, s, numbers, c.Before)
	}
	page, next, err := region.PastFilter{File: c.File, Element: c.Element, Who: c.Who}.Page(entries, c.Limit, 0)
	if err != nil {
		return err
	}
	if c.JSON {
		return p.json(wire.EncodeHistory(page, next), nil)
	}
	return terminal.WriteHistory(p.stdout, terminal.HistoryPage{Region: r.Name, Demonstration: r.Demonstration, Entries: page, Next: next}, p.style(c.Width))
}

type historyShow struct {
	place `embed:""`

	Number int64  `arg:"" help:"The version's number." placeholder:"NUMBER"`
	Since  int64  `help:"Show what differs from this version, in place of what its own edit changed." placeholder:"N" xor:"what"`
	File   string `help:"Print this file as it was in the version, and nothing else." placeholder:"NAME" xor:"what,form"`
	JSON   bool   `name:"json" help:"Print it as JSON, the same as over HTTP." xor:"form"`
	Width  int    `help:"Columns to print in (default: the terminal's, else 80)." placeholder:"N"`
}

// Run prints one version.
func (c *historyShow) Run(ctx context.Context, p *program) (err error) {
	loader := &region.Loader{}
	s, r, err := c.reading(ctx, p, loader)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	v, err := s.At(ctx, c.Number)
	if err != nil {
		return fmt.Errorf("version %d: %w", c.Number, err)
	}
	if c.File != "" {
		content, ok := v.Content[c.File]
		if !ok {
			return fmt.Errorf("version %d has no file %q", c.Number, c.File)
		}
		_, err = p.stdout.Write(content)
		return err
	}
	page := terminal.VersionPage{Region: r.Name, Demonstration: r.Demonstration, Entry: v.Entry, Since: c.Since, Changes: v.What, More: v.More}
	if c.Since != 0 {
		base, err := s.At(ctx, c.Since)
		if err != nil {
			return fmt.Errorf("--since: version %d: %w", c.Since, err)
		}
		page.Changes, page.More = region.Diff(base.Content, v.Content), 0
	}
	switch {
	case c.JSON && c.Since != 0:
		return p.json(wire.EncodeDifference(c.Since, v.Number, page.Changes), nil)
	case c.JSON:
		var h region.Hashes
		if then, _ := loader.Load(v.Content); then != nil {
			h = then.Hashes
		}
		return p.json(wire.EncodeVersion(&v.Entry, h), nil)
	}
	return terminal.WriteVersion(p.stdout, page, p.style(c.Width))
}

type historyRestore struct {
	place `embed:""`

	Number int64  `arg:"" help:"The number of the version to bring back." placeholder:"NUMBER"`
	Why    string `help:"The reason, for the history (default: as in version NUMBER)." placeholder:"TEXT"`
}

// Run makes a version with the files of an old one.
func (c *historyRestore) Run(ctx context.Context, p *program) (err error) {
	at := c.orEnvironment(p)
	if at.Region == "" && at.Database == "" {
		return usageError{errors.New("the demonstration region is not kept: name a region with --region or --database")}
	}
	loader := &region.Loader{}
	s, err := at.open(ctx, loader, nil)
	if errors.Is(err, disk.ErrInUse) {
		return fmt.Errorf("%w; or ask the service that has it: POST /v1/history/%d/restore", err, c.Number)
	}
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	live, err := region.NewLive(ctx, region.LiveConfig{Store: s, Loader: loader})
	if err != nil {
		return err
	}
	v, err := live.Restore(ctx, "local", c.Why, c.Number, nil)
	switch {
	case errors.Is(err, store.ErrUnchanged):
		_, err = fmt.Fprintf(p.stdout, "nothing to do: version %d has the files of version %d\n", v.Number, c.Number)
		return err
	case errors.Is(err, store.ErrNotFound):
		return fmt.Errorf("version %d: %w", c.Number, err)
	case err != nil:
		return err
	}
	_, err = fmt.Fprintf(p.stdout, "version %d has the files of version %d (%s)\n", v.Number, c.Number, counted(int64(len(v.What)+v.More), "change"))
	return err
}
