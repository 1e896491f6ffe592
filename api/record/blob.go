package record

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"

	"surgeonward/facilities/disk"
)

// blobs are kept in folders by the first two digits of their hash, so that no
// folder grows without bound.
func blobFolder(dir string, h Hash) string { return filepath.Join(dir, "blobs", h.String()[:2]) }
func blobPath(dir string, h Hash) string   { return filepath.Join(blobFolder(dir, h), h.String()[2:]) }

// unfinished ends the name of a blob that is being written.
const unfinished = ".tmp"

// Blob returns data that an answer was made from, held to its hash. An error
// wraps ErrNotFound where it is not kept.
func (r *Reader) Blob(h Hash) ([]byte, error) { return readBlob(r.files, r.dir, h) }

func readBlob(files disk.FileSystem, dir string, h Hash) ([]byte, error) {
	content, err := readAll(files, blobPath(dir, h), MaxBlob+1)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%w: data %s", ErrNotFound, h)
	}
	if err != nil {
		return nil, err
	}
	if got := Sum(content); got != h {
		return nil, fmt.Errorf("data damaged: blob %s has the content of %s", h, got)
	}
	return content, nil
}

// blobListing is what the folder of blobs holds.
type blobListing struct {
	sizes  map[Hash]int64
	litter []string // files that a crash left unfinished
}

// listBlobs goes by names and sizes; content is checked when it is read. Files
// with other names are left alone. A folder that is not there yet is empty.
func listBlobs(files disk.FileSystem, dir string) (blobListing, error) {
	out := blobListing{sizes: map[Hash]int64{}}
	folders, err := files.ReadDir(filepath.Join(dir, "blobs"))
	if errors.Is(err, fs.ErrNotExist) {
		return out, nil
	}
	if err != nil {
		return out, err
	}
	for _, folder := range folders {
		if !folder.IsDir() || len(folder.Name()) != 2 {
			continue
		}
		items, err := files.ReadDir(filepath.Join(dir, "blobs", folder.Name()))
		if err != nil {
			return out, err
		}
		for _, item := range items {
			name, isLitter := strings.CutSuffix(item.Name(), unfinished)
			h, err := ParseHash(folder.Name() + name)
			if err != nil || h.String() != folder.Name()+name {
				continue // not named by this package
			}
			if isLitter {
				out.litter = append(out.litter, filepath.Join(dir, "blobs", folder.Name(), item.Name()))
				continue
			}
			info, err := item.Info()
			if errors.Is(err, fs.ErrNotExist) {
				continue // dropped since
			}
			if err != nil {
				return out, err
			}
			out.sizes[h] = info.Size()
		}
	}
	return out, nil
}
