package weather

import (
	"regexp"
	"strings"

	"surgeonward/geo"
)

// Shear is a warning of wind shear: on a runway's approach or departure, or in a
// forecast below a height.
type Shear struct {
	Runway  string  // empty for all runways and in forecasts
	HeightM float64 // top of the shear layer above the aerodrome, 0 when not given
	Wind    *Wind   // the wind at that height, nil when not given
}

var (
	shearGroup  = regexp.MustCompile(`^WS(\d{3})/(\d{5,6}KT)$`)
	shearRunway = regexp.MustCompile(`^(?:R|RWY)(\d{2}[LCR]?)$`)
)

// readShear reads WS R12, WS RWY12, WS ALL RWY and WS010/31022KT, and returns how
// many groups it used.
func readShear(groups []string) (Shear, int) {
	if m := shearGroup.FindStringSubmatch(groups[0]); m != nil {
		if w, known, ok := readWind(m[2]); ok && known {
			return Shear{HeightM: number(m[1]) * 100 * geo.Foot, Wind: &w}, 1
		}
		return Shear{}, 0
	}
	if groups[0] != "WS" || len(groups) < 2 {
		return Shear{}, 0
	}
	if m := shearRunway.FindStringSubmatch(groups[1]); m != nil {
		return Shear{Runway: m[1]}, 2
	}
	if len(groups) > 2 && groups[1] == "ALL" && strings.HasPrefix(groups[2], "RWY") {
		return Shear{}, 3
	}
	return Shear{}, 0
}
