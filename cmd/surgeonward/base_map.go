package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"surgeonward/api/basemap"
	"surgeonward/cmd/surgeonward/terminal"
)

// mapFlags say what is drawn under the region's own lines. Left out, the page asks
// nobody for a map.
type mapFlags struct {
	Tiles           string `help:"Draw the map from this PMTiles file with raster tiles, which the service serves." placeholder:"FILE"`
	TileURL         string `name:"tile-url" help:"Draw the map from raster tiles at this address, with {z}, {x} and {y}. Browsers ask it directly, and so it learns where they look." placeholder:"URL"`
	TileMaxZoom     int    `name:"tile-max-zoom" help:"Deepest zoom of the tiles of --tile-url (default: 18)." default:"18" placeholder:"N"`
	TileAttribution string `name:"tile-attribution" help:"Whose map it is, as it is shown on it (default: what the file says)." placeholder:"TEXT"`
}

// maxAttribution is how many bytes are shown of whose map it is.
const maxAttribution = 300

// check finds what makes no sense together, all of it at once.
func (f *mapFlags) check(encrypted bool) error {
	var faults []error
	if f.Tiles != "" && f.TileURL != "" {
		faults = append(faults, errors.New("--tiles and --tile-url: give one of them"))
	}
	if f.TileURL != "" {
		if err := basemap.CheckTileURL(f.TileURL); err != nil {
			faults = append(faults, fmt.Errorf("--tile-url: %w", err))
		} else if encrypted && strings.HasPrefix(f.TileURL, "http:") {
			faults = append(faults, errors.New("--tile-url: must begin with https:// where the service is served over TLS: browsers would not ask it"))
		}
		if strings.TrimSpace(f.TileAttribution) == "" {
			faults = append(faults, errors.New("--tile-attribution: say whose map --tile-url is"))
		}
	}
	if f.TileMaxZoom < 1 || f.TileMaxZoom > basemap.MaxZoom {
		faults = append(faults, fmt.Errorf("--tile-max-zoom: must be from 1 to %d", basemap.MaxZoom))
	}
	if len(f.TileAttribution) > maxAttribution {
		faults = append(faults, fmt.Errorf("--tile-attribution: has more than %d bytes", maxAttribution))
	}
	if err := errors.Join(faults...); err != nil {
		return usageError{err}
	}
	return nil
}

// open is nil where there is no base map. The file, if any, is open until it is closed.
func (f *mapFlags) open() (*basemap.Map, error) {
	attribution := strings.TrimSpace(f.TileAttribution)
	switch {
	case f.TileURL != "":
		return &basemap.Map{TileURL: f.TileURL, MaxZoom: f.TileMaxZoom, Attribution: attribution}, nil
	case f.Tiles == "":
		return nil, nil
	}
	archive, err := basemap.Open(f.Tiles)
	if err != nil {
		return nil, fmt.Errorf("--tiles: %w", err)
	}
	m := &basemap.Map{Archive: archive, Attribution: attribution}
	m.MinZoom, m.MaxZoom = archive.Zooms()
	if m.Attribution == "" {
		m.Attribution = archive.Attribution()
	}
	if m.Attribution == "" {
		return nil, errors.Join(errors.New("--tile-attribution: say whose map it is, the file of --tiles does not"), archive.Close())
	}
	return m, nil
}

// say tells the operator what browsers will draw and whom they will ask.
func (f *mapFlags) say(w io.Writer) {
	switch {
	case f.TileURL != "":
		fmt.Fprintf(w, "base map: browsers ask %s\n", basemap.Origin(f.TileURL))
	case f.Tiles != "":
		fmt.Fprintf(w, "base map: %s\n", terminal.Clean(f.Tiles))
	}
}
