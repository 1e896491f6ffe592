package geo

// MeanRadius is the radius of the sphere in metres: the mean radius R1 = (2a+b)/3
// of the WGS 84 ellipsoid, a = 6378137 m, 1/f = 298.257223563 (NGA.STND.0036; R1
// as defined in Moritz, Geodetic Reference System 1980).
const MeanRadius = 6371008.771415

// Units in metres and in metres per second. All are exact by definition: the
// international nautical mile (1929) and the knot as one of them per hour (BIPM, SI
// Brochure, 8th edition, table 8); the international foot of 1959, and the statute
// mile of 5280 feet.
const (
	NauticalMile = 1852.0
	Foot         = 0.3048
	StatuteMile  = 1609.344
	Knot         = 1852.0 / 3600
)
