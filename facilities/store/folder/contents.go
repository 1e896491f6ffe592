package folder

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"sync"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/store"
)

const (
	filePerm   = 0o640
	folderPerm = 0o750
)

// contents keep what files had in them, each content once.
type contents struct {
	files disk.FileSystem
	dir   string
	sure  map[store.Hash]bool   // written by this process, or read by it and synced
	made  [256]bool             // folders that are on the disk
	held  map[store.Hash][]byte // where nothing is written
}

// they are in folders by the first two digits of their hash, so that no folder
// grows without bound.
func (c *contents) folder(h store.Hash) string { return filepath.Join(c.dir, h.String()[:2]) }
func (c *contents) path(h store.Hash) string {
	return filepath.Join(c.folder(h), h.String()[2:]+".gz")
}

// get returns a content, held to its hash.
func (c *contents) get(h store.Hash) ([]byte, error) {
	packed, err := disk.Read(c.files, c.path(h), 2*store.MaxFile)
	if err != nil {
		return nil, err
	}
	content, err := inflate(packed)
	if err != nil {
		return nil, fmt.Errorf("content %s cannot be read: %w", h, err)
	}
	if got := store.Sum(content); got != h {
		return nil, fmt.Errorf("content %s is damaged: it has become %s", h, got)
	}
	return content, nil
}

// keep puts a content on the disk, unless it is there.
func (c *contents) keep(h store.Hash, content []byte) error {
	if c.sure[h] {
		return nil
	}
	packed, err := deflate(content)
	if err != nil {
		return err
	}
	// what an earlier run left may have decayed, or never have been synced
	if !c.made[h[0]] {
		if err := c.files.MkdirAll(c.folder(h), folderPerm); err != nil {
			return err
		}
		if err := c.files.SyncDir(c.dir); err != nil {
			return err
		}
		c.made[h[0]] = true
	}
	if err := disk.Replace(c.files, c.path(h), filepath.Join(c.dir, "unfinished"), packed, filePerm); err != nil {
		return err
	}
	c.sure[h] = true
	return nil
}

// packers are gzip writers for use again: a new one takes a megabyte.
var packers = sync.Pool{New: func() any {
	w, _ := gzip.NewWriterLevel(nil, gzip.BestSpeed) // the level is a valid one
	return w
}}

func deflate(content []byte) ([]byte, error) {
	w := packers.Get().(*gzip.Writer)
	defer packers.Put(w)
	var packed bytes.Buffer
	w.Reset(&packed)
	_, err := w.Write(content)
	err = errors.Join(err, w.Close())
	return packed.Bytes(), err
}

func inflate(packed []byte) ([]byte, error) {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	content, err := io.ReadAll(io.LimitReader(r, store.MaxFile+1))
	if err == nil && len(content) > store.MaxFile {
		err = fmt.Errorf("it is longer than %d bytes", store.MaxFile)
	}
	return content, errors.Join(err, r.Close())
}
