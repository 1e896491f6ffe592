package weather

import (
	"regexp"

	"surgeonward/geo"
)

// RunwayVisualRange is how far a pilot sees along a runway.
type RunwayVisualRange struct {
	Runway   string      // such as 24 or 09L
	Low      *Visibility // the value, or the lower of two; nil when missing
	High     *Visibility // the higher of two when it varies, else nil
	Tendency Tendency
}

// Tendency is how a runway visual range changes.
type Tendency string

// The tendencies; the empty one is none given.
const (
	Rising  Tendency = "U"
	Falling Tendency = "D"
	Steady  Tendency = "N"
)

var (
	rvrGroup   = regexp.MustCompile(`^R(\d{2}[LCR]?)/([MP]?)(\d{4})(?:V([MP]?)(\d{4}))?(FT)?/?([UDN]?)$`)
	rvrMissing = regexp.MustCompile(`^R(\d{2}[LCR]?)/////$`)
)

// readRVR reads R12/1000U, R24/0950V1100, R24/P1500, R32L/1200FT, R24///// and the
// like.
func readRVR(group string) (RunwayVisualRange, bool) {
	if m := rvrMissing.FindStringSubmatch(group); m != nil {
		return RunwayVisualRange{Runway: m[1]}, true
	}
	m := rvrGroup.FindStringSubmatch(group)
	if m == nil {
		return RunwayVisualRange{}, false
	}
	unit := 1.0
	if m[6] == "FT" {
		unit = geo.Foot
	}
	value := func(sign, digits string) *Visibility {
		return &Visibility{M: number(digits) * unit, OrMore: sign == "P", LessThan: sign == "M"}
	}
	r := RunwayVisualRange{Runway: m[1], Low: value(m[2], m[3]), Tendency: Tendency(m[7])}
	if m[5] != "" {
		r.High = value(m[4], m[5])
		if r.High.M < r.Low.M {
			return RunwayVisualRange{}, false
		}
	}
	return r, true
}
