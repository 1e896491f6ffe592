package position

import (
	"strconv"

	"github.com/paulmach/orb"
)

// FormatGeoURI writes a position as a geo URI (RFC 5870) with its uncertainty in
// metres and, where it has one, its altitude: "geo:45.52,-29.41;u=40". Every digit
// of the numbers is kept.
func FormatGeoURI(p Parsed) string {
	uri := "geo:" + plainDecimal(p.Point.Lat()) + "," + plainDecimal(p.Point.Lon())
	if p.AltitudeM != nil {
		uri += "," + plainDecimal(*p.AltitudeM)
	}
	return uri + ";u=" + plainDecimal(p.UncertaintyM)
}

// plainDecimal writes a number without exponent, as the RFC asks.
func plainDecimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// pointOf makes a point of numbers that are in range.
func pointOf(lat, lon number) (orb.Point, error) {
	return inRange(lat.value(), lon.value(), lat.String(), lon.String())
}
