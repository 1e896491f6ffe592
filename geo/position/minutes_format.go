package position

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"surgeonward/geo"
)

// FormatDM writes p as degrees and minutes with hemisphere letters, "45 31.200N 029
// 24.600W", rounded to a thousandth of a minute: at most 0.93 m off each way.
func FormatDM(p orb.Point) (string, error) {
	if err := geo.Check(p); err != nil {
		return "", &Error{Reason: err.Error()}
	}
	return degreesMinutes(p.Lat(), 2, 'N', 'S') + " " + degreesMinutes(p.Lon(), 3, 'E', 'W'), nil
}

func degreesMinutes(deg float64, width int, positive, negative rune) string {
	letter := positive
	// Rounding before the split lets 59.9996 minutes carry into the degrees.
	thousandths := int(math.Round(math.Abs(deg) * 60_000))
	if deg < 0 && thousandths > 0 {
		letter = negative
	}
	return fmt.Sprintf("%0*d %02d.%03d%c", width, thousandths/60_000, thousandths/1000%60, thousandths%1000, letter)
}
