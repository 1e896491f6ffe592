package position

import (
	"math"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

const (
	upsScale     = 0.994
	upsFalseM    = 2_000_000
	upsMaxRangeM = 1_300_000 // from the pole: the reach of the southern lettered squares is 1 200 km
)

// upsRadiusM is the distance from the pole on the grid, at the equator.
var upsRadiusM = 2 * upsScale * semiMajorM / (math.Sqrt(1-eccentricity2) * math.Exp(eccentricity*math.Atanh(eccentricity)))

// UPS is a position in the Universal Polar Stereographic grid on WGS 84. Both grids
// count from 2000 km at their pole; north is along longitude 180 at the north pole
// and along longitude 0 at the south pole.
type UPS struct {
	North     bool // at the north pole
	EastingM  float64
	NorthingM float64
}

// ToUPS returns p in the grid of its pole. It refuses points more than half a degree
// outside the grids, which begin at 80 S and 84 N.
func ToUPS(p orb.Point) (UPS, error) {
	if err := geo.Check(p); err != nil {
		return UPS{}, &Error{Reason: err.Error()}
	}
	if !inPolarRegion(p.Lat()) {
		return UPS{}, refuse("use UTM", "latitude %v is outside the UPS grids, which begin at 80 S and 84 N", p.Lat())
	}
	lat, down := p.Lat(), -1.0 // the sign of northing along the meridian of longitude 0
	if lat < 0 {
		lat, down = -lat, 1
	}
	radius := 0.0
	if lat != 90 {
		tan := conformal(math.Tan(lat * math.Pi / 180))
		radius = upsRadiusM / (math.Hypot(1, tan) + tan)
	}
	sin, cos := math.Sincos(p.Lon() * math.Pi / 180)
	return UPS{North: down < 0, EastingM: upsFalseM + radius*sin, NorthingM: upsFalseM + down*radius*cos}, nil
}

// Point returns the position of u. It refuses coordinates that are more than half a
// degree outside the grids of 80 S and 84 N.
func (u UPS) Point() (orb.Point, error) {
	if !(math.Abs(u.EastingM-upsFalseM) <= upsMaxRangeM && math.Abs(u.NorthingM-upsFalseM) <= upsMaxRangeM) {
		return orb.Point{}, refuse("write metres, easting first", "UPS coordinates %.8g, %.8g are far from the pole at 2000000, 2000000", u.EastingM, u.NorthingM)
	}
	p := u.unchecked()
	if !inPolarRegion(p.Lat()) {
		return orb.Point{}, refuse("use UTM", "UPS coordinates %.8g, %.8g lie outside the grids, which begin at 80 S and 84 N", u.EastingM, u.NorthingM)
	}
	return p, nil
}

func (u UPS) unchecked() orb.Point {
	x, y, sign := u.EastingM-upsFalseM, u.NorthingM-upsFalseM, -1.0
	if u.North {
		y, sign = -y, 1
	}
	ratio := math.Hypot(x, y) / upsRadiusM
	if ratio == 0 {
		return orb.Point{0, sign * 90}
	}
	lat := math.Atan(geodetic((1/ratio-ratio)/2)) * 180 / math.Pi
	return orb.Point{math.Atan2(x, y) * 180 / math.Pi, sign * lat}
}

func inPolarRegion(lat float64) bool {
	return lat >= utmNorth-polarOverlap || lat <= utmSouth+polarOverlap
}
