package position

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// FormatMGRS writes p as a military grid reference with the given number of digits
// each of easting and northing, 0 (100 km) to 5 (1 m). Digits are cut off, never
// rounded, so that the reference names the cell in which p lies.
func FormatMGRS(p orb.Point, digits int) (string, error) {
	if digits < 0 || digits > maxDigits {
		return "", refuse("", "%d digits of a grid reference are outside 0 to %d", digits, maxDigits)
	}
	if p.Lat() < utmSouth || p.Lat() >= utmNorth {
		return formatPolar(p, digits)
	}
	u, err := ToUTM(p)
	if err != nil {
		return "", err
	}
	if !u.North {
		// A point a hair south of the equator must not round onto it.
		u.NorthingM = math.Min(u.NorthingM, math.Nextafter(utmFalseNorthM, 0))
	}
	column := zoneColumns(u.Zone)[int(u.EastingM/squareM)-1]
	row := utmRows[(int(u.NorthingM/squareM)+firstRow(u.Zone))%len(utmRows)]
	return fmt.Sprintf("%02d%c%c%c%s", u.Zone, bandLetter(p.Lat()), column, row, cellDigits(u.EastingM, u.NorthingM, digits)), nil
}

func formatPolar(p orb.Point, digits int) (string, error) {
	u, err := ToUPS(p)
	if err != nil {
		return "", err
	}
	letter := byte('A')
	if u.North {
		letter = 'Y'
	}
	if u.EastingM >= upsFalseM {
		letter++
	}
	half := polarHalves[letter]
	column := half.columns[int((u.EastingM-half.firstE)/squareM)]
	row := half.rows[int((u.NorthingM-half.firstN)/squareM)]
	return fmt.Sprintf("%c%c%c%s", letter, column, row, cellDigits(u.EastingM, u.NorthingM, digits)), nil
}

// cellDigits cuts easting and northing within a 100 km square to whole cells.
func cellDigits(eastM, northM float64, digits int) string {
	if digits == 0 {
		return ""
	}
	sizeM := int(math.Round(squareM * math.Pow(10, -float64(digits))))
	return fmt.Sprintf("%0*d%0*d", digits, int(eastM)%squareM/sizeM, digits, int(northM)%squareM/sizeM)
}
