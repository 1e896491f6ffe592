// Package basemap describes a map of somebody else's that the page may draw under
// the region's own lines: tiles at an address of the operator's network, or a PMTiles
// file that the service itself serves. Neither is ever used unless it is configured.
package basemap

// Map is a base map.
type Map struct {
	TileURL          string   // template of raster tiles, as CheckTileURL takes it; empty: there is an archive
	Archive          *Archive // nil: there is a template
	MinZoom, MaxZoom int      // zooms with tiles, 0 to MaxZoom
	Attribution      string   // whose map it is, as plain text that is shown on it
}

// MaxZoom is the deepest zoom of tiles that is taken.
const MaxZoom = 22

// Close closes the archive, if there is one; a nil map has nothing to close.
func (m *Map) Close() error {
	if m == nil || m.Archive == nil {
		return nil
	}
	return m.Archive.Close()
}
