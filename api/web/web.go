// Package web holds the page: what `make web` bundles from src into dist, and
// one sentence in its place in a program that was built without it.
package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"
	"sync"
)

//go:embed dist
var dist embed.FS

// File is one file of the page.
type File struct {
	Body   []byte
	Zipped []byte // the same in gzip; nil where that is no smaller
	Media  string
	Tag    string // an entity tag, quoted
}

// Page is all that a browser fetches to show the page.
type Page struct {
	Built  bool            // false: Start only says how to build it
	Start  File            // the document itself
	Worker File            // the service worker, which must be served from the root; empty when not built
	Assets map[string]File // by file name, each named after its content
}

// Embedded is the page in this program. It fails only if the build is broken.
var Embedded = sync.OnceValues(func() (*Page, error) {
	sub, err := fs.Sub(dist, "dist")
	if err != nil {
		return nil, err
	}
	return Read(sub)
})

// Read reads a folder that the build has written: index.html, worker.js and
// assets/, each with a compressed twin NAME.gz where that is smaller. A folder
// with unbuilt.html alone is a page that has not been built.
func Read(fsys fs.FS) (*Page, error) {
	p := &Page{Assets: map[string]File{}}
	start, err := readFile(fsys, "index.html")
	if errors.Is(err, fs.ErrNotExist) {
		p.Start, err = readFile(fsys, "unbuilt.html")
		return p, err
	}
	if err != nil {
		return nil, err
	}
	p.Built, p.Start = true, start
	if p.Worker, err = readFile(fsys, "worker.js"); err != nil {
		return nil, err
	}
	entries, err := fs.ReadDir(fsys, "assets")
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".gz") {
			continue
		}
		f, err := readFile(fsys, "assets/"+e.Name())
		if err != nil {
			return nil, err
		}
		p.Assets[e.Name()] = f
	}
	return p, nil
}

// media are the kinds of files a build writes.
var media = map[string]string{
	".html": "text/html; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".svg":  "image/svg+xml",
	".json": "application/manifest+json",
	".txt":  "text/plain; charset=utf-8",
}

func readFile(fsys fs.FS, name string) (File, error) {
	body, err := fs.ReadFile(fsys, name)
	if err != nil {
		return File{}, err
	}
	kind, ok := media[path.Ext(name)]
	if !ok {
		return File{}, fmt.Errorf("the page's file %s is of no kind that the page has", name)
	}
	zipped, err := fs.ReadFile(fsys, name+".gz")
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return File{}, err
	}
	sum := sha256.Sum256(body)
	return File{Body: body, Zipped: zipped, Media: kind, Tag: `"` + hex.EncodeToString(sum[:16]) + `"`}, nil
}
