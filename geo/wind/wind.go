// Package wind solves the wind triangle: what heading holds a track in a given
// wind, and how fast the aircraft then goes over the ground.
//
// Angles are degrees clockwise from true north, speeds metres per second. Reports
// of surface wind in METAR and TAF are in true degrees and fit as they are; a wind
// given over the radio by a tower is usually magnetic and does not.
package wind

import (
	"errors"
	"fmt"
	"math"
)

// Limits of what is taken for a wind and for an aircraft's speed. They keep typing
// errors and wrong units out; the strongest surface gust on record is 113 m/s, and
// jet streams seldom pass 130 m/s (both from memory).
const (
	MaxSpeedMS    = 200.0
	MaxAirspeedMS = 1000.0
)

// Wind is a steady horizontal wind. The zero value is calm.
type Wind struct {
	FromDeg float64 // where it blows from; without meaning when SpeedMS is 0
	SpeedMS float64 // mean speed
	GustMS  float64 // highest gust, 0 when none is known; no part of the triangle
}

// Check returns every fault of w: a number that is not finite, a speed outside 0
// to MaxSpeedMS, a gust below the mean. Directions of any size are taken round.
func (w Wind) Check() error {
	err := errors.Join(
		finite("wind direction", w.FromDeg),
		within("wind speed", w.SpeedMS, MaxSpeedMS),
		within("gust", w.GustMS, MaxSpeedMS),
	)
	if err == nil && w.GustMS != 0 && w.GustMS < w.SpeedMS {
		err = fmt.Errorf("gust %v m/s is below the mean wind speed %v m/s", w.GustMS, w.SpeedMS)
	}
	return err
}

func finite(name string, x float64) error {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return fmt.Errorf("%s %v is not a finite number", name, x)
	}
	return nil
}

func within(name string, ms, limit float64) error {
	if err := finite(name, ms); err != nil {
		return err
	}
	if ms < 0 || ms > limit {
		return fmt.Errorf("%s %v m/s is outside 0 to %v m/s", name, ms, limit)
	}
	return nil
}
