package basemap

import (
	"compress/gzip"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"html"
	"io"
	"os"
	"regexp"
	"strings"
)

// Archive is an open PMTiles file of raster tiles (PMTiles specification, version 3).
// It may be read from by many at once.
type Archive struct {
	file             *os.File
	size             int64
	tag              string
	minZoom, maxZoom int
	attribution      string
}

const (
	headerSize  = 127     // bytes
	maxMetadata = 1 << 20 // bytes of metadata that are read
)

// The codes of the specification that matter here.
const (
	plain, zipped   = 1, 2 // internal compression
	vectors         = 1    // tile type
	firstRaster     = 2    // PNG; then JPEG, WebP and AVIF
	lastRaster      = 5
	versionRead     = 3
	internalAt      = 97
	typeAt          = 99
	minZoomAt       = 100
	maxZoomAt       = 101
	sectionsAt      = 8 // offset and length of root directory, metadata, leaves, tiles
	metadataSection = 1
)

var sections = [4]string{"root directory", "metadata", "leaf directories", "tiles"}

// Open opens a PMTiles file and checks that it has raster tiles and is whole.
// Directories and tiles themselves are the browser's to read.
func Open(path string) (*Archive, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	a := &Archive{file: file}
	if err := a.read(); err != nil {
		return nil, errors.Join(fmt.Errorf("%s: %w", path, err), file.Close())
	}
	return a, nil
}

func (a *Archive) read() error {
	info, err := a.file.Stat()
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return errors.New("is no plain file")
	}
	a.size = info.Size()
	a.tag = fmt.Sprintf(`"%x-%x"`, a.size, info.ModTime().UnixNano())
	var h [headerSize]byte
	if n, err := a.file.ReadAt(h[:], 0); n < headerSize || string(h[:7]) != "PMTiles" {
		return errors.Join(errors.New("is no PMTiles file"), ignoreEnd(err))
	}
	if h[7] != versionRead {
		return fmt.Errorf("is of version %d of PMTiles: version %d is read", h[7], versionRead)
	}
	switch kind := h[typeAt]; {
	case kind == vectors:
		return errors.New("has vector tiles, which need a style of their own: give one with PNG, JPEG, WebP or AVIF tiles")
	case kind < firstRaster || kind > lastRaster:
		return fmt.Errorf("has tiles of the unknown type %d: give one with PNG, JPEG, WebP or AVIF tiles", kind)
	}
	if c := h[internalAt]; c != plain && c != zipped {
		return fmt.Errorf("has directories in the compression %d: gzip or none is read", c)
	}
	a.minZoom, a.maxZoom = int(h[minZoomAt]), min(int(h[maxZoomAt]), MaxZoom)
	if a.minZoom > a.maxZoom {
		return fmt.Errorf("says that it has zooms %d to %d", h[minZoomAt], h[maxZoomAt])
	}
	var offset, length uint64
	for i, name := range sections {
		from := binary.LittleEndian.Uint64(h[sectionsAt+16*i:])
		n := binary.LittleEndian.Uint64(h[sectionsAt+16*i+8:])
		if n > uint64(a.size) || from > uint64(a.size)-n { //nolint:gosec // a size is not negative
			return fmt.Errorf("is cut short: its %s should be %d bytes from %d of %d", name, n, from, a.size)
		}
		if i == metadataSection {
			offset, length = from, n
		}
	}
	a.attribution = a.readAttribution(int64(offset), int64(length), h[internalAt] == zipped) //nolint:gosec // both are within the file
	return nil
}

func ignoreEnd(err error) error {
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}

var tag = regexp.MustCompile(`<[^<>]*>`)

// readAttribution is the metadata's attribution as plain text; empty where there is
// none that can be read.
func (a *Archive) readAttribution(offset, length int64, isZipped bool) string {
	var text io.Reader = io.NewSectionReader(a.file, offset, length)
	if isZipped {
		unzipped, err := gzip.NewReader(text)
		if err != nil {
			return ""
		}
		text = unzipped
	}
	body, err := io.ReadAll(io.LimitReader(text, maxMetadata))
	if err != nil {
		return ""
	}
	var metadata struct {
		Attribution string `json:"attribution"`
	}
	if json.Unmarshal(body, &metadata) != nil {
		return ""
	}
	return strings.TrimSpace(html.UnescapeString(tag.ReplaceAllString(metadata.Attribution, "")))
}

// Attribution is whose map it is, as the file itself says; empty: it does not.
func (a *Archive) Attribution() string { return a.attribution }

// Zooms are the least and the deepest zoom with tiles.
func (a *Archive) Zooms() (least, deepest int) { return a.minZoom, a.maxZoom }

// Size is the file's length in bytes when it was opened.
func (a *Archive) Size() int64 { return a.size }

// Tag is an entity tag of the file, quoted.
func (a *Archive) Tag() string { return a.tag }

// ReadAt reads from the file as io.ReaderAt says.
func (a *Archive) ReadAt(p []byte, offset int64) (int, error) { return a.file.ReadAt(p, offset) }

// Close closes the file.
func (a *Archive) Close() error { return a.file.Close() }
