package wind

import (
	"errors"
	"fmt"
	"math"

	"surgeonward/geo"
)

// Solution is a solved wind triangle.
type Solution struct {
	HeadingDeg    float64 // true heading to steer, 0 to 360
	CorrectionDeg float64 // wind correction angle, heading less track: + right, -90 to 90; drift is its negative
	GroundSpeedMS float64 // along the track, above 0
	HeadWindMS    float64 // component against the track, - when it is a tail wind
	CrossWindMS   float64 // component across the track, + from the right
}

// UnsolvableError says that an aircraft cannot make good a track: the wind across
// it is more than its airspeed, or the wind against it leaves no speed over the
// ground.
type UnsolvableError struct {
	TrackDeg    float64
	AirspeedMS  float64
	Wind        Wind
	HeadWindMS  float64
	CrossWindMS float64
}

func (e *UnsolvableError) Error() string {
	const kt = geo.Knot
	if math.Abs(e.CrossWindMS) > e.AirspeedMS {
		return fmt.Sprintf("track %.0f degrees cannot be held at %.0f kt true airspeed: the wind from %.0f degrees at %.0f kt has %.0f kt across it",
			e.TrackDeg, e.AirspeedMS/kt, e.Wind.FromDeg, e.Wind.SpeedMS/kt, math.Abs(e.CrossWindMS)/kt)
	}
	return fmt.Sprintf("no headway on track %.0f degrees at %.0f kt true airspeed: the wind from %.0f degrees at %.0f kt has %.0f kt against it",
		e.TrackDeg, e.AirspeedMS/kt, e.Wind.FromDeg, e.Wind.SpeedMS/kt, e.HeadWindMS/kt)
}

// Triangle returns the heading and ground speed that hold trackDeg at the true
// airspeed tasMS in the wind w. With a the angle from the track to the wind's
// direction, the correction is asin(w sin(a) / tas) and the ground speed is
// tas cos(correction) - w cos(a): plane trigonometry, exact but for rounding.
//
// It returns an *UnsolvableError when the track cannot be held or no headway is
// made, and otherwise, for numbers that are not finite or outside the package's
// limits, one error that joins all of them. Gusts are not used. For a wind of
// variable direction the safe reading is one straight against the track.
func Triangle(trackDeg, tasMS float64, w Wind) (Solution, error) {
	err := errors.Join(finite("track", trackDeg), within("true airspeed", tasMS, MaxAirspeedMS), w.Check())
	if err == nil && tasMS == 0 {
		err = errors.New("true airspeed must be above 0 m/s")
	}
	if err != nil {
		return Solution{}, err
	}
	trackDeg = direction(trackDeg)
	sin, cos := math.Sincos(math.Remainder(w.FromDeg-trackDeg, 360) * math.Pi / 180)
	s := Solution{HeadWindMS: w.SpeedMS * cos, CrossWindMS: w.SpeedMS * sin}
	if math.Abs(s.CrossWindMS) <= tasMS {
		correction := math.Asin(s.CrossWindMS / tasMS)
		s.CorrectionDeg = correction * 180 / math.Pi
		s.HeadingDeg = direction(trackDeg + s.CorrectionDeg)
		s.GroundSpeedMS = tasMS*math.Cos(correction) - s.HeadWindMS
	}
	if s.GroundSpeedMS <= 0 {
		return Solution{}, &UnsolvableError{
			TrackDeg: trackDeg, AirspeedMS: tasMS, Wind: w,
			HeadWindMS: s.HeadWindMS, CrossWindMS: s.CrossWindMS,
		}
	}
	return s, nil
}

// direction brings an angle into 0 to 360 degrees, 360 left out.
func direction(deg float64) float64 {
	deg = math.Mod(deg, 360)
	if deg < 0 {
		deg += 360
	}
	if deg >= 360 { // a tiny negative angle rounds up to 360
		return 0
	}
	return deg
}
