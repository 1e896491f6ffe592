package folder

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"sync"

	"surgeonward/facilities/disk"
	"surgeonward/facilities/store"
)

const (
	filePerm   = 0o640
	folderPerm = 0o750
)

// contents keep what files had in them, each content once: whole, or as what
// differs from another.
type contents struct {
	files disk.FileSystem
	dir   string
	made  [256]bool             // folders that are on the disk
	deep  map[store.Hash]int    // written by this process: how many others each is made from
	held  map[store.Hash][]byte // where nothing is written
}

// deepest is how many contents may be read to make one.
const deepest = 32

// they are in folders by the first two digits of their hash, so that no folder
// grows without bound.
func (c *contents) folder(h store.Hash) string { return filepath.Join(c.dir, h.String()[:2]) }
func (c *contents) path(h store.Hash) string {
	return filepath.Join(c.folder(h), h.String()[2:]+".gz")
}
func (c *contents) partPath(h store.Hash) string {
	return filepath.Join(c.folder(h), h.String()[2:]+".part.gz")
}

// errDecayed marks the errors of a content that is not there, or not as it was
// written: reading it again changes nothing.
var errDecayed = errors.New("it is not as it was written")

// get returns a content, held to its hash.
func (c *contents) get(h store.Hash) ([]byte, error) { return c.getFrom(h, deepest) }

func (c *contents) getFrom(h store.Hash, deep int) ([]byte, error) {
	content, err := c.unpack(c.path(h))
	if err != nil { // also where it is damaged
		part, partErr := c.unpack(c.partPath(h))
		switch {
		case partErr == nil:
		case errors.Is(err, errDecayed) && !errors.Is(partErr, errDecayed):
			return nil, fmt.Errorf("content %s cannot be read: %w", h, partErr) // which may have been it
		default:
			return nil, fmt.Errorf("content %s cannot be read: %w", h, err)
		}
		if content, err = c.join(part, deep); err != nil {
			return nil, fmt.Errorf("content %s cannot be made: %w", h, err)
		}
	}
	if got := store.Sum(content); got != h {
		return nil, fmt.Errorf("content %s: %w: it has become %s", h, errDecayed, got)
	}
	return content, nil
}

func (c *contents) unpack(path string) ([]byte, error) {
	packed, err := disk.Read(c.files, path, 2*store.MaxFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%w: %w", errDecayed, bare(err))
	}
	if err != nil {
		return nil, bare(err)
	}
	content, err := inflate(packed)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errDecayed, err)
	}
	return content, nil
}

// keep puts a content on the disk, unless this process has. What an earlier one
// left is written anew: it may have decayed, or never have been synced. was is what the
// file had before.
func (c *contents) keep(h store.Hash, content []byte, was store.Hash, before []byte) error {
	if _, there := c.deep[h]; there {
		return nil
	}
	path, deep := c.path(h), 0
	if d, there := c.deep[was]; there && d < deepest {
		if part := split(was, before, content); len(part) < len(content)/4 {
			path, content, deep = c.partPath(h), part, d+1
		}
	}
	packed, err := deflate(content)
	if err != nil {
		return err
	}
	if !c.made[h[0]] {
		if err := c.files.MkdirAll(c.folder(h), folderPerm); err != nil {
			return err
		}
		if err := c.files.SyncDir(c.dir); err != nil {
			return err
		}
		c.made[h[0]] = true
	}
	if err := disk.Replace(c.files, path, filepath.Join(c.dir, "unfinished"), packed, filePerm); err != nil {
		return err
	}
	c.deep[h] = deep
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
