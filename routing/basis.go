package routing

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"surgeonward/geo"
	"surgeonward/geo/wind"
)

// basis is where a duration comes from, kept as numbers and put into words
// only for the options that are returned.
type basis struct {
	form       basisForm
	a, b, c, d float64
	text       string
	air        wind.Solution
	windy      bool
	spentS     float64 // how much of it is behind it, a fact
}

type basisForm uint8

const (
	fromText      basisForm = iota // text as it stands
	fromAllowance                  // text: the allowance's id; regional or shipped
	fromAsset                      // text: the allowance's id; the asset's own
	fromFacility                   // text: what; the facility's own
	fromRoad                       // text: the road estimator's words
	fromFlight                     // a: metres, b: true airspeed m/s, c: departure s, d: approach s
	fromCarry                      // a: metres, b: m/s; text: where to, and what comes before
)

func (b basis) String() string {
	if b.spentS > 0 {
		whole := b
		whole.spentS = 0
		return whole.String() + ", of which " + span(b.spentS) + " is behind it"
	}
	switch b.form {
	case fromAllowance:
		return "allowance: regional default for " + plain(b.text)
	case fromAsset:
		return "allowance: the asset's own for " + plain(b.text)
	case fromFacility:
		return "the facility's own figure for " + b.text
	case fromFlight:
		return fmt.Sprintf("%sgreat circle %s at %.0f kt%s, lift-off %s, approach and landing %s",
			b.text, kilometres(b.a), b.b/geo.Knot, b.drift(), minutes(b.c), minutes(b.d))
	case fromCarry:
		return fmt.Sprintf("carried %.0f m%s at %.1f m/s", b.a, b.text, b.b)
	default:
		return b.text
	}
}

// drift says what the wind does to the flight.
func (b basis) drift() string {
	if !b.windy {
		return ""
	}
	name, along := "head", b.air.HeadWindMS
	if along < 0 {
		name, along = "tail", -along
	}
	text := fmt.Sprintf(", %s wind %.0f kt, heading %03.0f", name, along/geo.Knot, math.Mod(math.Round(b.air.HeadingDeg), 360))
	switch drift := math.Round(-b.air.CorrectionDeg); {
	case drift > 0:
		text += fmt.Sprintf(", drift %.0f° right", drift)
	case drift < 0:
		text += fmt.Sprintf(", drift %.0f° left", -drift)
	}
	return text + fmt.Sprintf(", %.0f kt over the ground", b.air.GroundSpeedMS/geo.Knot)
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
