package sun

import "math"

func radians(deg float64) float64 { return deg * (math.Pi / 180) }
func degrees(rad float64) float64 { return rad * (180 / math.Pi) }
func sinDeg(deg float64) float64  { return math.Sin(radians(deg)) }
func cosDeg(deg float64) float64  { return math.Cos(radians(deg)) }

// unsigned reduces an angle to 0 to 360 degrees, both included.
func unsigned(deg float64) float64 {
	deg = math.Mod(deg, 360)
	if deg < 0 {
		deg += 360
	}
	return deg
}

// signed reduces an angle to -180 to 180 degrees.
func signed(deg float64) float64 { return math.Remainder(deg, 360) }
