package position

import (
	"math"
	"strings"
)

// polarHalf is one of the four halves of the polar grids: the letters of its columns
// and rows with the easting and northing in metres of the first of each.
type polarHalf struct {
	columns, rows  string
	firstE, firstN float64
	north          bool
	latitude       float64 // where the grid begins
}

var (
	southRows   = "ABCDEFGHJKLMNPQRSTUVWXYZ"
	northRows   = "ABCDEFGHJKLMNP"
	polarHalves = map[byte]polarHalf{
		'A': {"JKLPQRSTUXYZ", southRows, 800_000, 800_000, false, utmSouth},
		'B': {"ABCFGHJKLPQR", southRows, 2_000_000, 800_000, false, utmSouth},
		'Y': {"RSTUXYZ", northRows, 1_300_000, 1_300_000, true, utmNorth},
		'Z': {"ABCFGHJ", northRows, 2_000_000, 1_300_000, true, utmNorth},
	}
)

// polarCell finds the centre of a cell of a polar grid, which must reach into the
// region of that grid or its overlap with the zones.
func polarCell(letter byte, square string, offsetE, offsetN, sizeM float64) (UPS, error) {
	half := polarHalves[letter]
	column := strings.IndexByte(half.columns, square[0])
	row := strings.IndexByte(half.rows, square[1])
	if column < 0 || row < 0 {
		return UPS{}, refuse("check the letters", "there is no square %s in the polar grid %s", square, string(letter))
	}
	corner := UPS{North: half.north,
		EastingM:  half.firstE + float64(column)*squareM + offsetE,
		NorthingM: half.firstN + float64(row)*squareM + offsetN}
	reach := 0.0 // of the corner nearest to the pole
	for i := range 4 {
		u := corner
		u.EastingM += float64(i%2) * sizeM
		u.NorthingM += float64(i/2) * sizeM
		reach = math.Max(reach, math.Abs(u.unchecked().Lat()))
	}
	const edge = 1e-9 // degrees, for rounding
	if reach < math.Abs(half.latitude)-polarOverlap-edge {
		return UPS{}, refuse("use a reference with a zone", "square %s lies outside the polar grid %s there", square, string(letter))
	}
	corner.EastingM += sizeM / 2
	corner.NorthingM += sizeM / 2
	return corner, nil
}
