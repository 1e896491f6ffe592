package terminal

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// position writes a point the way people say it: latitude first, in degrees
// and decimal minutes, rounded to a thousandth of a minute (at most 1 m off).
func position(p orb.Point) string {
	return degrees(p.Lat(), "NS", 2) + " " + degrees(p.Lon(), "EW", 3)
}

func degrees(value float64, letters string, digits int) string {
	letter := letters[:1]
	if value < 0 {
		letter = letters[1:]
	}
	thousandths := int(math.Round(math.Abs(value) * 60_000))
	return fmt.Sprintf("%0*d %06.3f%s", digits, thousandths/60_000, float64(thousandths%60_000)/1000, letter)
}
