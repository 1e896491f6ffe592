package geo

import "math"

const (
	radian = 180 / math.Pi // one radian in degrees
	degree = math.Pi / 180 // one degree in radians
)

// sincosDeg is exact at multiples of 90 degrees, where math.Cos(90*degree) is not:
// a pole must have a zero radius, or the longitude given for it would matter.
func sincosDeg(deg float64) (sin, cos float64) {
	if math.Abs(deg) > 360 {
		deg = math.Remainder(deg, 360)
	}
	quarter := math.Round(deg / 90)
	sin, cos = math.Sincos((deg - 90*quarter) * degree)
	switch quarter {
	case 1, -3:
		return cos, -sin
	case 2, -2:
		return -sin, -cos
	case 3, -1:
		return -cos, sin
	}
	return sin, cos
}

// lonDelta returns the longitude from a to b the shorter way, -180 to 180 degrees.
// The remainder is exact: across the antimeridian only the subtraction rounds.
func lonDelta(a, b float64) float64 {
	if d := b - a; math.Abs(d) <= 180 {
		return d
	}
	return math.Remainder(b-a, 360)
}

// normalLon brings a longitude into [-180, 180).
func normalLon(deg float64) float64 {
	deg = math.Remainder(deg, 360)
	if deg == 180 {
		return -180
	}
	return deg
}

// normalBearing brings a bearing into [0, 360).
func normalBearing(deg float64) float64 {
	deg = math.Mod(deg, 360)
	if deg < 0 {
		deg += 360
	}
	if deg >= 360 { // a tiny negative bearing rounds up to 360
		return 0
	}
	return deg + 0 // -0 becomes 0
}
