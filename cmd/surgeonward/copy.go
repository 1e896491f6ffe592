package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"strings"

	"surgeonward/api/region"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/transfer"
)

// copyCommand takes a region from a folder to a database, or back.
type copyCommand struct {
	From string `arg:"" help:"Where the region is: a folder or postgres://..." placeholder:"FROM"`
	To   string `arg:"" help:"Where it goes: an empty folder or postgres://..." placeholder:"TO"`
}

// Run copies every version with who, when and why.
func (c *copyCommand) Run(ctx context.Context, p *program) error {
	from, err := placeOf(c.From).whole(ctx, &region.Loader{})
	if err != nil {
		return err
	}
	count, err := fill(ctx, placeOf(c.To), transfer.Versions(ctx, from))
	if err = errors.Join(err, from.Close()); err != nil {
		return err
	}
	_, err = fmt.Fprintf(p.stdout, "copied %s\n", counted(count, "version"))
	return err
}

// placeOf tells a database's address from a folder.
func placeOf(text string) place {
	if strings.HasPrefix(text, "postgres://") || strings.HasPrefix(text, "postgresql://") {
		return place{Database: text}
	}
	return place{Region: text}
}

// fill puts versions where there is no region yet.
func fill(ctx context.Context, to place, versions iter.Seq2[*store.Version, error]) (count int64, err error) {
	if to.Region != "" {
		if err := emptyFolder(to.Region); err != nil {
			return 0, err
		}
	}
	var clock transfer.Clock
	s, err := to.open(ctx, &region.Loader{}, clock.Now)
	if err != nil {
		return 0, err
	}
	count, err = transfer.Into(ctx, s, &clock, versions)
	if errors.Is(err, transfer.ErrNotEmpty) {
		err = errors.New("there is a region already where this one should go: nothing was changed, choose an empty folder or schema")
	}
	return count, errors.Join(err, s.Close())
}

// emptyFolder makes the folder, or sees to it that there is nothing in it.
func emptyFolder(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	entries, err := os.ReadDir(dir)
	if err == nil && len(entries) > 0 {
		err = fmt.Errorf("%s is not empty: nothing was written, choose an empty folder", dir)
	}
	return err
}

// backupCommand keeps a region's whole history in one file.
type backupCommand struct {
	place `embed:""`

	File string `arg:"" help:"File to write; it must not exist yet." placeholder:"FILE.tar.gz"`
}

// Run writes the file whole or not at all.
func (c *backupCommand) Run(ctx context.Context, p *program) (err error) {
	if _, err := os.Lstat(c.File); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s exists already: a backup never replaces another", c.File)
	}
	s, err := c.place.orEnvironment(p).whole(ctx, &region.Loader{})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	var count int64
	err = writeNewBy(c.File, 0o600, func(w io.Writer) (err error) {
		count, err = transfer.Write(ctx, w, s)
		return err
	})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(p.stdout, "kept %s in %s\n", counted(count, "version"), filepath.Base(c.File))
	return err
}

// restoreCommand puts a backup where there is no region yet.
type restoreCommand struct {
	File string `arg:"" help:"File that surgeonward backup wrote." placeholder:"FILE.tar.gz"`
	To   string `arg:"" help:"Where the region goes: an empty folder or postgres://..." placeholder:"TO"`
}

// Run reads the backup once to the end before it writes anything.
func (c *restoreCommand) Run(ctx context.Context, p *program) (err error) {
	f, err := os.Open(c.File)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	for _, err := range transfer.Read(f) {
		if err != nil {
			return fmt.Errorf("%s: %w: nothing was written", filepath.Base(c.File), err)
		}
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return err
	}
	count, err := fill(ctx, placeOf(c.To), transfer.Read(f))
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(p.stdout, "restored %s\n", counted(count, "version"))
	return err
}

func counted(n int64, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
