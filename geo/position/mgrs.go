package position

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

const (
	squareM   = 100_000
	maxDigits = 5 // one metre
	mgrsHint  = "write it like 26T LR 11782 43543, with as many digits of easting as of northing"
	// The letters of columns and rows leave out I and O.
	utmColumns = "ABCDEFGHJKLMNPQRSTUVWXYZ" // eight for each zone, by zone modulo three
	utmRows    = "ABCDEFGHJKLMNPQRSTUV"     // repeating every 2000 km; even zones begin at F
)

var mgrsShape = regexp.MustCompile(`^(?:([0-9]{1,2}) ?([A-Z])|([ABYZ])) ?([A-Z] ?[A-Z])((?: ?[0-9]+){0,2})$`)

// readMGRS reads a reference of the Military Grid Reference System at any precision
// from a 100 km square to one metre (NGA.STND.0037; rules as in DMA TM 8358.1). The
// reference names the south-west corner of a cell; the position is the middle of it.
func readMGRS(text string) (Parsed, bool, error) {
	m := mgrsShape.FindStringSubmatch(text)
	if m == nil {
		return Parsed{}, false, nil
	}
	parsed, err := parseMGRS(m[1], m[2]+m[3], strings.ReplaceAll(m[4], " ", ""), strings.Fields(m[5]))
	return parsed, true, err
}

func parseMGRS(zone, band, square string, digits []string) (Parsed, error) {
	east, north, err := splitDigits(digits)
	if err != nil {
		return Parsed{}, err
	}
	sizeM := squareM * math.Pow(10, -float64(len(east)))
	offsetE, offsetN := cellOffset(east, sizeM), cellOffset(north, sizeM)
	parsed := Parsed{Format: MGRS, UncertaintyM: sizeM / math.Sqrt2}
	if zone == "" {
		u, err := polarCell(band[0], square, offsetE, offsetN, sizeM)
		parsed.Point = u.unchecked()
		return parsed, err
	}
	number, _ := strconv.Atoi(zone)
	u, err := zoneCell(number, band[0], square, offsetE, offsetN, sizeM)
	if err != nil {
		return Parsed{}, err
	}
	parsed.Point = u.unchecked()
	if !anyInZone(u, sizeM) {
		parsed.Note = outsideZoneNote
	}
	return parsed, nil
}

func splitDigits(digits []string) (east, north string, err error) {
	switch len(digits) {
	case 1:
		half := len(digits[0]) / 2
		east, north = digits[0][:half], digits[0][half:]
	case 2:
		east, north = digits[0], digits[1]
	}
	if len(east) != len(north) {
		return "", "", refuse(mgrsHint, "the grid reference has %d digits of easting and northing, which cannot be halved", len(east)+len(north))
	}
	if len(east) > maxDigits {
		return "", "", refuse("cut it to five digits each, which is one metre", "the grid reference has %d digits each of easting and northing", len(east))
	}
	return east, north, nil
}

// cellOffset is the distance of the cell's corner from that of its 100 km square.
func cellOffset(digits string, sizeM float64) float64 {
	n, _ := strconv.Atoi("0" + digits)
	return float64(n) * sizeM
}

// zoneCell finds the centre of a cell. Row letters repeat every 2000 km, so the band
// decides among the repeats: the one whose cell reaches into the band.
func zoneCell(zone int, band byte, square string, offsetE, offsetN, sizeM float64) (UTM, error) {
	bandIndex := strings.IndexByte(latitudeBands, band)
	switch {
	case zone < 1 || zone > 60:
		return UTM{}, refuse("check the zone", "zone %d is outside 1 to 60", zone)
	case bandIndex < 0:
		return UTM{}, refuse(mgrsHint, "there is no latitude band %s", string(band))
	case noSuchZone(zone, band):
		return UTM{}, refuse("use zone 31, 33, 35 or 37", "there is no zone %dX", zone)
	}
	column := strings.IndexByte(zoneColumns(zone), square[0])
	row := strings.IndexByte(utmRows, square[1])
	if column < 0 || row < 0 {
		return UTM{}, refuse("check the letters; I and O are never used", "there is no square %s in zone %d", square, zone)
	}
	row = (row + len(utmRows) - firstRow(zone)) % len(utmRows)
	corner := UTM{Zone: zone, North: band >= 'N',
		EastingM:  float64(column+1)*squareM + offsetE,
		NorthingM: float64(row)*squareM + offsetN}
	lo, hi := bandLimits(bandIndex)
	for ; corner.NorthingM < utmFalseNorthM; corner.NorthingM += float64(len(utmRows)) * squareM {
		south, north := 90.0, -90.0
		for _, p := range corners(corner, sizeM) {
			south, north = math.Min(south, p.Lat()), math.Max(north, p.Lat())
		}
		const edge = 1e-9 // degrees, for rounding
		if north > lo-edge && south < hi+edge {
			corner.EastingM += sizeM / 2
			corner.NorthingM += sizeM / 2
			return corner, nil
		}
	}
	return UTM{}, refuse("check the letters and digits", "square %s does not reach into %d%s there", square, zone, string(band))
}

func zoneColumns(zone int) string {
	set := (zone - 1) % 3
	return utmColumns[8*set : 8*set+8]
}

func firstRow(zone int) int {
	if zone%2 == 0 {
		return strings.IndexByte(utmRows, 'F')
	}
	return 0
}

func corners(corner UTM, sizeM float64) (points [4]orb.Point) {
	for i := range points {
		u := corner
		u.EastingM += float64(i%2) * sizeM
		u.NorthingM += float64(i/2) * sizeM
		points[i] = u.unchecked()
	}
	return points
}

// anyInZone says whether the centre or a corner of a cell lies where its zone is the
// standard one.
func anyInZone(centre UTM, sizeM float64) bool {
	corner := centre
	corner.EastingM -= sizeM / 2
	corner.NorthingM -= sizeM / 2
	points := corners(corner, sizeM)
	for _, p := range append(points[:], centre.unchecked()) {
		if standardZone(p) == centre.Zone {
			return true
		}
	}
	return false
}
