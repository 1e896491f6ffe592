package position

import "math"

// The transverse Mercator projection by Krüger's series to the sixth order of the
// third flattening (Krüger 1912; Karney 2011, doi:10.1007/s00190-011-0445-3,
// equations 35 and 36; the coefficients are from memory). Grid coordinates of 3000
// random points agreed with GeographicLib 2.1.2 to 5e-9 m; a test keeps the rows of
// the reference table to their millimetre.

const (
	flat3       = flattening / (2 - flattening) // the third flattening n
	flat3Square = flat3 * flat3
	// rectifyingM is the radius of the sphere with the ellipsoid's meridian length.
	rectifyingM = semiMajorM / (1 + flat3) * (1 + flat3Square*(1.0/4+flat3Square*(1.0/64+flat3Square/256)))
)

var toGrid = [...]float64{
	flat3 * (1.0/2 + flat3*(-2.0/3+flat3*(5.0/16+flat3*(41.0/180+flat3*(-127.0/288+flat3*7891.0/37800))))),
	flat3Square * (13.0/48 + flat3*(-3.0/5+flat3*(557.0/1440+flat3*(281.0/630+flat3*-1983433.0/1935360)))),
	flat3Square * flat3 * (61.0/240 + flat3*(-103.0/140+flat3*(15061.0/26880+flat3*167603.0/181440))),
	flat3Square * flat3Square * (49561.0/161280 + flat3*(-179.0/168+flat3*6601661.0/7257600)),
	flat3Square * flat3Square * flat3 * (34729.0/80640 + flat3*-3418889.0/1995840),
	flat3Square * flat3Square * flat3Square * 212378941.0 / 319334400,
}

var fromGrid = [...]float64{
	-flat3 * (1.0/2 + flat3*(-2.0/3+flat3*(37.0/96+flat3*(-1.0/360+flat3*(-81.0/512+flat3*96199.0/604800))))),
	-flat3Square * (1.0/48 + flat3*(1.0/15+flat3*(-437.0/1440+flat3*(46.0/105+flat3*-1118711.0/3870720)))),
	-flat3Square * flat3 * (17.0/480 + flat3*(-37.0/840+flat3*(-209.0/4480+flat3*5569.0/90720))),
	-flat3Square * flat3Square * (4397.0/161280 + flat3*(-11.0/504+flat3*-830251.0/7257600)),
	-flat3Square * flat3Square * flat3 * (4583.0/161280 + flat3*-108847.0/3991680),
	-flat3Square * flat3Square * flat3Square * 20648693.0 / 638668800,
}

// series adds the terms to a point (north, east) in radians of the rectifying sphere.
func series(terms [6]float64, north, east float64) (float64, float64) {
	n, e := north, east
	for i, c := range terms {
		k := 2 * float64(i+1)
		sin, cos := math.Sincos(k * north)
		n += c * sin * math.Cosh(k*east)
		e += c * cos * math.Sinh(k*east)
	}
	return n, e
}

// transverse projects a latitude, and a longitude from the central meridian, both in
// degrees, to metres from the equator and the central meridian at unit scale.
func transverse(lat, dLon float64) (eastM, northM float64) {
	tan := conformal(math.Tan(lat * math.Pi / 180))
	sin, cos := math.Sincos(dLon * math.Pi / 180)
	north, east := series(toGrid, math.Atan2(tan, cos), math.Asinh(sin/math.Hypot(tan, cos)))
	return rectifyingM * east, rectifyingM * north
}

// untransverse is the inverse of transverse.
func untransverse(eastM, northM float64) (lat, dLon float64) {
	north, east := series(fromGrid, northM/rectifyingM, eastM/rectifyingM)
	sin, cos := math.Sincos(north)
	sinh := math.Sinh(east)
	lat = math.Atan(geodetic(sin/math.Hypot(sinh, cos))) * 180 / math.Pi
	return lat, math.Atan2(sinh, cos) * 180 / math.Pi
}
