package weather

import (
	"regexp"
	"strconv"

	"surgeonward/geo"
	"surgeonward/geo/wind"
)

// Wind is the wind near the ground, a mean over 2 or 10 minutes.
type Wind struct {
	wind.Wind
	Variable         bool    // no single direction (VRB); FromDeg is then 0
	DirectionMissing bool    // only the speed was reported; FromDeg is then 0
	SpeedOrMore      bool    // the mean is SpeedMS or more
	GustOrMore       bool    // the gust is GustMS or more
	Sector           *Sector // the directions it varies between, nil when not given
}

// HasDirection reports whether FromDeg may be used. When it may not, the safe
// reading is a wind straight against the track.
func (w Wind) HasDirection() bool { return !w.Variable && !w.DirectionMissing }

// PeakMS is the highest wind speed given: the gust, or without one the mean.
func (w Wind) PeakMS() float64 { return max(w.SpeedMS, w.GustMS) }

// Sector is a range of directions in degrees, clockwise.
type Sector struct{ FromDeg, ToDeg float64 }

var (
	windGroup   = regexp.MustCompile(`^(\d{3}|VRB|///)(P?)(\d{2,3}|//)(?:G(P?)(\d{2,3}))?(KT|MPS|KMH)$`)
	sectorGroup = regexp.MustCompile(`^(\d{3})V(\d{3})$`)
)

// unitMS is the worth of one unit of wind speed in metres per second.
var unitMS = map[string]float64{"KT": geo.Knot, "MPS": 1, "KMH": 1 / 3.6}

// readWind reads 24004MPS, VRB02KT, 140P99KT, 00000KT, /////KT and the like.
// known is false when the group says that the wind is missing.
func readWind(group string) (w Wind, known, ok bool) {
	m := windGroup.FindStringSubmatch(group)
	if m == nil {
		return Wind{}, false, false
	}
	direction, plus, speed, gustPlus, gust, unit := m[1], m[2], m[3], m[4], m[5], unitMS[m[6]]
	if speed == "//" {
		return Wind{}, false, plus == "" && gust == ""
	}
	w = Wind{Variable: direction == "VRB", DirectionMissing: direction == "///"}
	if w.HasDirection() {
		w.FromDeg = number(direction)
	}
	w.SpeedMS, w.SpeedOrMore = windSpeed(plus, speed, unit)
	if gust != "" {
		w.GustMS, w.GustOrMore = windSpeed(gustPlus, gust, unit)
	}
	if w.FromDeg > 360 || w.Check() != nil {
		return Wind{}, false, false
	}
	return w, true, true
}

// windSpeed reads P99 as 100 or more and P49 as 50 or more: the codes stand for
// speeds above 99 kt and 49 m/s (WMO Manual on Codes, FM 15, section 15.5.6).
func windSpeed(plus, digits string, unit float64) (ms float64, orMore bool) {
	if plus == "P" {
		return (number(digits) + 1) * unit, true
	}
	return number(digits) * unit, false
}

// readSector reads 290V360.
func readSector(group string) (Sector, bool) {
	m := sectorGroup.FindStringSubmatch(group)
	if m == nil {
		return Sector{}, false
	}
	s := Sector{FromDeg: number(m[1]), ToDeg: number(m[2])}
	return s, s.FromDeg <= 360 && s.ToDeg <= 360
}

// number reads digits that a pattern has already matched.
func number(digits string) float64 {
	n, _ := strconv.Atoi(digits) // the patterns allow at most four digits
	return float64(n)
}
