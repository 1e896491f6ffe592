package road

import (
	"errors"
	"fmt"
	"math"
)

// Units in metres per second and in metres per second squared, exact by
// definition: 1 km is 1000 m, 1 h is 3600 s, 1 min is 60 s.
const (
	KilometrePerHour          = 1000.0 / 3600
	KilometrePerHourPerMinute = 1000.0 / 3600 / 60
)

// The bounds of a believable law. They keep a mistyped unit from ranking
// first; they are not statements about vehicles. The largest acceleration is
// as good as one speed from the start.
const (
	MinCruiseKMH             = 5.0
	MaxCruiseKMH             = 200.0
	MinAccelerationKMHPerMin = 1.0
	MaxAccelerationKMHPerMin = 10000.0
)

// Law is the acceleration-and-cruise law of road travel: over a distance d the
// vehicle gathers speed, cruises and slows down again, so that
//
//	T(d) = 2 sqrt(d/a)    for d <= v²/a, where cruise speed is never reached
//	T(d) = v/a + d/v      beyond
//
// Both the time and its slope, 1/v, agree where the branches meet. The law is
// of Kolesar, Walker and Hausner, Operations Research 23(4), 1975, as given by
// Larson and Odoni, Urban Operations Research, section 3.7.2. Its time is the
// median; Spread says how far it varies.
type Law struct {
	CruiseMS        float64 // cruise speed v in m/s, 5 to 200 km/h
	AccelerationMS2 float64 // mean acceleration a in m/s², bends and junctions included, 1 to 10000 km/h per minute
	Spread          Spread  // the zero value: no spread, slow is typical
}

// Check returns an error that names each parameter out of its range.
func (l Law) Check() error {
	return errors.Join(
		inRange("cruise speed", l.CruiseMS/KilometrePerHour, MinCruiseKMH, MaxCruiseKMH, " km/h"),
		inRange("acceleration", l.AccelerationMS2/KilometrePerHourPerMinute,
			MinAccelerationKMHPerMin, MaxAccelerationKMHPerMin, " km/h per minute"),
		l.Spread.Check(),
	)
}

// Time returns the median travel time over distanceM metres of road, in
// seconds. It is 0 for 0, continuous and increasing. It returns an error if
// the law does not pass Check or the distance is negative or not finite.
func (l Law) Time(distanceM float64) (float64, error) {
	if err := l.Check(); err != nil {
		return 0, err
	}
	if err := checkDistance(distanceM); err != nil {
		return 0, err
	}
	return l.median(distanceM), nil
}

func (l Law) median(distanceM float64) float64 {
	if distanceM <= l.JointM() {
		return 2 * math.Sqrt(distanceM/l.AccelerationMS2)
	}
	return l.CruiseMS/l.AccelerationMS2 + distanceM/l.CruiseMS
}

// JointM is the distance in metres at which the branches meet: the shortest
// on which cruise speed is reached.
func (l Law) JointM() float64 { return l.CruiseMS * l.CruiseMS / l.AccelerationMS2 }

func checkDistance(distanceM float64) error {
	if math.IsNaN(distanceM) || math.IsInf(distanceM, 0) || distanceM < 0 {
		return fmt.Errorf("road distance %v m is not a finite number of 0 or more", distanceM)
	}
	return nil
}

// inRange allows the last bits that a change of unit costs at the ends. The
// unit starts with its space, or is empty.
func inRange(name string, value, low, high float64, unit string) error {
	const slack = 1e-12
	if value >= low*(1-slack) && value <= high*(1+slack) {
		return nil
	}
	return fmt.Errorf("%s %.4g%s is outside %g to %g%s", name, value, unit, low, high, unit)
}
