package main

import (
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

//go:embed template
var template embed.FS

// initCommand writes the template of a region folder.
type initCommand struct {
	Dir string `arg:"" help:"Folder to write into; it is made if it does not exist." placeholder:"DIR"`
}

// Run writes every file of the template, or none when one of them exists.
func (c *initCommand) Run(p *program) error {
	files, err := fs.Sub(template, "template")
	if err != nil {
		return err
	}
	entries, err := fs.ReadDir(files, ".")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(c.Dir, 0o755); err != nil {
		return err
	}
	var existing faultsError
	for _, e := range entries {
		path := filepath.Join(c.Dir, e.Name())
		if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
			existing = append(existing, path+" exists already: nothing was written, choose an empty folder")
		}
	}
	if len(existing) > 0 {
		return existing
	}
	for _, e := range entries {
		data, err := fs.ReadFile(files, e.Name())
		if err != nil {
			return err
		}
		if err := writeNew(filepath.Join(c.Dir, e.Name()), data); err != nil {
			return err
		}
	}
	_, err = fmt.Fprintf(p.stdout, "wrote a template of a region into %s\nread its README.md, then run: surgeonward check %s\n", c.Dir, c.Dir)
	return err
}

// writeNew makes a file that is either whole or not there, and never replaces
// one that somebody else made meanwhile.
func writeNew(path string, data []byte) error {
	return writeNewBy(path, 0o644, func(w io.Writer) error { _, err := w.Write(data); return err })
}

func writeNewBy(path string, mode fs.FileMode, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".surgeonward-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.Remove(f.Name())) }()
	err = write(f)
	if err == nil {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return err
	}
	return os.Link(f.Name(), path)
}
