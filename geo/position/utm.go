package position

import (
	"math"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

const (
	utmScale         = 0.9996
	utmFalseEastM    = 500_000
	utmFalseNorthM   = 10_000_000 // in the southern hemisphere
	utmMinEastM      = 100_000
	utmMaxEastM      = 900_000
	utmSouth         = -80.0 // UTM is used from here, included,
	utmNorth         = 84.0  // to here, not included; UPS beyond
	polarOverlap     = 0.5   // degrees by which each may be used beyond that
	outsideZoneNote  = "the place is outside the zone it is written in; a digit or letter may be wrong"
	latitudeBands    = "CDEFGHJKLMNPQRSTUVWX"
	bandHeight       = 8
	zoneWidth        = 6
	centralMeridian0 = -183 // of the zone before the first
)

// UTM is a position in the Universal Transverse Mercator grid on WGS 84.
type UTM struct {
	Zone      int  // 1 to 60
	North     bool // hemisphere; in the south northings count from 10 000 km below the equator
	EastingM  float64
	NorthingM float64
}

// ToUTM returns p in the UTM zone that is standard there, with the exceptions for
// southern Norway (32V) and Svalbard (31X, 33X, 35X, 37X). It refuses points south
// of 80 S and points at or north of 84 N, where [ToUPS] serves.
func ToUTM(p orb.Point) (UTM, error) {
	if err := geo.Check(p); err != nil {
		return UTM{}, &Error{Reason: err.Error()}
	}
	if p.Lat() < utmSouth || p.Lat() >= utmNorth {
		return UTM{}, refuse("use UPS", "latitude %v is beyond the UTM grid, which ends at 80 S and 84 N", p.Lat())
	}
	return inZone(p, standardZone(p)), nil
}

func inZone(p orb.Point, zone int) UTM {
	dLon := math.Remainder(p.Lon()-float64(centralMeridian0+zoneWidth*zone), 360)
	east, north := transverse(p.Lat(), dLon)
	u := UTM{Zone: zone, North: p.Lat() >= 0, EastingM: utmFalseEastM + utmScale*east, NorthingM: utmScale * north}
	if !u.North {
		u.NorthingM += utmFalseNorthM
	}
	return u
}

// Point returns the position of u. It refuses a zone outside 1 to 60, an easting
// outside 100 to 900 km, a northing outside 0 to 10 000 km, and latitudes half a
// degree or more beyond 80 S and 84 N.
func (u UTM) Point() (orb.Point, error) {
	switch {
	case u.Zone < 1 || u.Zone > 60:
		return orb.Point{}, refuse("check the zone", "UTM zone %d is outside 1 to 60", u.Zone)
	case !(u.EastingM >= utmMinEastM && u.EastingM <= utmMaxEastM):
		return orb.Point{}, refuse("write metres, easting first", "UTM easting %.8g is outside 100000 to 900000 m", u.EastingM)
	case !(u.NorthingM >= 0 && u.NorthingM <= utmFalseNorthM):
		return orb.Point{}, refuse("write metres, easting first", "UTM northing %.8g is outside 0 to 10000000 m", u.NorthingM)
	}
	p := u.unchecked()
	if p.Lat() < utmSouth-polarOverlap || p.Lat() > utmNorth+polarOverlap {
		return orb.Point{}, refuse("use UPS, or check the hemisphere", "UTM northing %.8g lies beyond 80 S or 84 N", u.NorthingM)
	}
	return p, nil
}

func (u UTM) unchecked() orb.Point {
	north := u.NorthingM
	if !u.North {
		north -= utmFalseNorthM
	}
	lat, dLon := untransverse((u.EastingM-utmFalseEastM)/utmScale, north/utmScale)
	return orb.Point{math.Remainder(dLon+float64(centralMeridian0+zoneWidth*u.Zone), 360), lat}
}

// standardZone returns the zone for a point of the UTM grid. The longitude 180 counts
// as -180. Whole degrees are taken first, so that a point a hair west or south of a
// boundary is not rounded onto it.
func standardZone(p orb.Point) int {
	lon := math.Floor(p.Lon())
	if lon >= 180 {
		lon -= 360
	}
	band := bandLetter(p.Lat())
	switch {
	case band == 'V' && lon >= 3 && lon < 12:
		return 32
	case band == 'X' && lon >= 0 && lon < 42:
		return 31 + 2*int((lon+3)/12) // 31 to 9 E, 33 to 21 E, 35 to 33 E, 37
	}
	return int(lon-centralMeridian0+3) / zoneWidth
}

// bandLetter returns the latitude band for a latitude in the UTM grid; band X is 12
// degrees high.
func bandLetter(lat float64) byte {
	i := int(math.Floor(lat)-utmSouth) / bandHeight
	return latitudeBands[max(0, min(i, len(latitudeBands)-1))]
}

// bandLimits returns the lowest and highest latitude that may be written with a
// band's letter: its edges, and for the outermost bands the overlap with the polar
// grids.
func bandLimits(i int) (lo, hi float64) {
	lo = utmSouth + float64(i)*bandHeight
	hi = lo + bandHeight
	switch i {
	case 0:
		lo -= polarOverlap
	case len(latitudeBands) - 1:
		hi = utmNorth + polarOverlap
	}
	return lo, hi
}
