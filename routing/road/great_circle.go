package road

import (
	"fmt"
	"strconv"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// The bounds of a road factor. Published means for whole countries run from
// 1.1 to 2.1 (Ballou, Rahardja and Sakai 2002, from memory).
const (
	MinRoadFactor = 1.0
	MaxRoadFactor = 5.0
)

// GreatCircle estimates the road distance as the great-circle distance times a
// factor. It knows no water and no mountains: every point can be reached.
// Factors hold for many trips on average; a single trip can be far off.
type GreatCircle struct {
	Factor float64 // road distance over great-circle distance, 1 to 5
}

var _ Estimator = GreatCircle{}

// Route returns the estimated travel; its path is the two ends.
func (g GreatCircle) Route(from, to orb.Point, law Law, _ time.Time) (Route, error) {
	if err := inRange("road factor", g.Factor, MinRoadFactor, MaxRoadFactor, ""); err != nil {
		return Route{}, err
	}
	if err := geo.Check(from); err != nil {
		return Route{}, fmt.Errorf("start of the road travel: %w", err)
	}
	if err := geo.Check(to); err != nil {
		return Route{}, fmt.Errorf("end of the road travel: %w", err)
	}
	straightM := geo.Distance(from, to)
	distanceM := straightM * g.Factor
	timing, err := law.Timing(distanceM)
	if err != nil {
		return Route{}, err
	}
	return Route{
		DistanceM: distanceM,
		TypicalS:  timing.TypicalS,
		SlowS:     timing.SlowS,
		Path:      []orb.Point{from, to},
		Basis:     g.basis(straightM, distanceM, law),
	}, nil
}

// basis reads "road 14.2 km: great circle 10.0 km x 1.417, accelerating at
// 41 km/h per minute to 100.7 km/h". It is appended, not formatted: planning
// asks for it a million times.
func (g GreatCircle) basis(straightM, distanceM float64, law Law) string {
	b := make([]byte, 0, 112)
	b = append(b, "road "...)
	b = strconv.AppendFloat(b, distanceM/1000, 'f', 1, 64)
	b = append(b, " km: great circle "...)
	b = strconv.AppendFloat(b, straightM/1000, 'f', 1, 64)
	b = append(b, " km x "...)
	b = strconv.AppendFloat(b, g.Factor, 'g', 4, 64)
	b = append(b, ", accelerating at "...)
	b = strconv.AppendFloat(b, law.AccelerationMS2/KilometrePerHourPerMinute, 'g', 4, 64)
	b = append(b, " km/h per minute to "...)
	b = strconv.AppendFloat(b, law.CruiseMS/KilometrePerHour, 'g', 4, 64)
	b = append(b, " km/h"...)
	return string(b)
}
