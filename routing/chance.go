package routing

import (
	"fmt"
	"math"
)

// Percent writes a chance from 0 to 1 in whole percent, and never a certainty
// that is none.
func Percent(chance float64) string {
	switch whole := math.Round(100 * chance); {
	case chance > 0 && whole == 0:
		return "under 1 %"
	case chance < 1 && whole == 100:
		return "over 99 %"
	default:
		return fmt.Sprintf("%.0f %%", whole)
	}
}
