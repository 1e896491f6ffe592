package geo

import (
	"cmp"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Check returns an error unless p is finite with latitude -90 to 90 and longitude
// -180 to 180. The message names each value that is wrong, and says so when the two
// numbers would make a valid position the other way round.
func Check(p orb.Point) error {
	latErr := checkRange("latitude", p.Lat(), 90)
	lonErr := checkRange("longitude", p.Lon(), 180)
	if latErr != nil && lonErr == nil && within(p.Lon(), 90) && within(p.Lat(), 180) {
		return fmt.Errorf("%w; the order may be swapped: longitude comes first, then latitude", latErr)
	}
	if latErr != nil && lonErr != nil {
		return fmt.Errorf("%w, %w", latErr, lonErr)
	}
	return cmp.Or(latErr, lonErr)
}

func checkRange(name string, deg, limit float64) error {
	switch {
	case math.IsNaN(deg) || math.IsInf(deg, 0):
		return fmt.Errorf("%s %v is not a finite number", name, deg)
	case !within(deg, limit):
		return fmt.Errorf("%s %v is outside %v to %v degrees", name, deg, -limit, limit)
	}
	return nil
}

func within(deg, limit float64) bool { return math.Abs(deg) <= limit }
