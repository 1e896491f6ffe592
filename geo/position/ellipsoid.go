package position

import "math"

// The WGS 84 ellipsoid, NGA.STND.0036, exact by definition.
const (
	semiMajorM    = 6378137.0
	flattening    = 1 / 298.257223563
	eccentricity2 = flattening * (2 - flattening)
)

var eccentricity = math.Sqrt(eccentricity2)

// conformal returns the tangent of the conformal latitude for the tangent of the
// geodetic latitude (Karney 2011, doi:10.1007/s00190-011-0445-3, equations 7 to 9).
func conformal(tan float64) float64 {
	sec := math.Hypot(1, tan)
	sigma := math.Sinh(eccentricity * math.Atanh(eccentricity*tan/sec))
	return math.Hypot(1, sigma)*tan - sigma*sec
}

// geodetic is the inverse of conformal by Newton's method (equations 19 to 21 of the
// same paper). Three rounds are enough; the bound is for safety.
func geodetic(conformalTan float64) float64 {
	tan := conformalTan / (1 - eccentricity2)
	for range 6 {
		trial := conformal(tan)
		step := (conformalTan - trial) / math.Hypot(1, trial) *
			(1 + (1-eccentricity2)*tan*tan) / ((1 - eccentricity2) * math.Hypot(1, tan))
		tan += step
		if !(math.Abs(step) > 1e-15*math.Max(1, math.Abs(tan))) {
			break
		}
	}
	return tan
}
