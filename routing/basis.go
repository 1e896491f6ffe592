package routing

import (
	"fmt"
	"strconv"
	"time"

	"surgeonward/geo"
)

// basis is where a duration comes from, kept as numbers and put into words
// only for the options that are returned.
type basis struct {
	form       basisForm
	a, b, c, d float64
	text       string
}

type basisForm uint8

const (
	fromText       basisForm = iota // text as it stands
	fromAllowance                   // text: the allowance's id; regional or shipped
	fromAsset                       // text: the allowance's id; the asset's own
	fromFacility                    // text: what; the facility's own
	fromRoad                        // text: the road estimator's words
	fromFlight                      // a: metres, b: true airspeed m/s, c: departure s, d: approach s
	fromColdFlight                  // the same after an engine start; text: its length
	fromClock                       // text: what; a: seconds
)

func (b basis) String() string {
	switch b.form {
	case fromAllowance:
		return "allowance: regional default for " + b.text
	case fromAsset:
		return "allowance: the asset's own for " + b.text
	case fromFacility:
		return "the facility's own figure for " + b.text
	case fromFlight, fromColdFlight:
		s := fmt.Sprintf("great circle %s at %.0f kt, lift-off %s, approach and landing %s",
			kilometres(b.a), b.b/geo.Knot, minutes(b.c), minutes(b.d))
		if b.form == fromColdFlight {
			s = b.text + ", " + s
		}
		return s
	default:
		return b.text
	}
}

// kilometres writes metres as kilometres with one decimal.
func kilometres(m float64) string { return strconv.FormatFloat(m/1000, 'f', 1, 64) + " km" }

// minutes writes seconds as whole minutes, or as hours and minutes from one hour on.
func minutes(s float64) string {
	m := int((time.Duration(s*float64(time.Second)) + 30*time.Second) / time.Minute)
	if m < 60 {
		return strconv.Itoa(m) + " min"
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}
