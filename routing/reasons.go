package routing

import (
	"fmt"
	"slices"
)

// The reasons a way out is ruled out. The words are stable: clients may
// compare them.
const (
	ReasonNotAccepting      ReasonCode = "not_accepting"      // the hospital diverts or is closed
	ReasonLacksCapability   ReasonCode = "lacks_capability"   // the hospital does not have what the patient needs
	ReasonSurgeonAbsent     ReasonCode = "surgeon_absent"     // nobody covers these hours
	ReasonTheatreAway       ReasonCode = "theatre_away"       // no theatre, for too long or nobody knows how long
	ReasonCarriesNoPatient  ReasonCode = "carries_no_patient" // a response car
	ReasonCommitted         ReasonCode = "committed"          // busy, for too long or nobody knows how long
	ReasonOffDuty           ReasonCode = "off_duty"           // no crew
	ReasonNotSelected       ReasonCode = "not_selected"       // the question asked for other assets only
	ReasonNoNightFlying     ReasonCode = "no_night_flying"    // dark, and the crew does not fly by night
	ReasonNoLanding         ReasonCode = "no_landing"         // nowhere to land near the patient
	ReasonNoPad             ReasonCode = "no_pad"             // the hospital has no pad
	ReasonLandingClosed     ReasonCode = "landing_closed"     // outside the pad's or site's hours
	ReasonLandingUnlit      ReasonCode = "landing_unlit"      // dark on arrival, and no lights
	ReasonTooLarge          ReasonCode = "too_large"          // D-value over the limit
	ReasonTooHeavy          ReasonCode = "too_heavy"          // mass over the limit
	ReasonNoEscort          ReasonCode = "no_escort"          // the skill that must ride along cannot be there
	ReasonNoSeat            ReasonCode = "no_seat"            // no seat for the escort
	ReasonUnreachable       ReasonCode = "unreachable"        // no way by road
	ReasonLandingOccupied   ReasonCode = "landing_occupied"   // one aircraft at a time, and one is there
	ReasonRunway            ReasonCode = "runway"             // too short, or none
	ReasonWind              ReasonCode = "wind"               // the wind lets it make no headway
	ReasonBelowMinima       ReasonCode = "below_minima"       // weather under the crew's minima
	ReasonWeatherUnknown    ReasonCode = "weather_unknown"    // reported, but not enough to tell
	ReasonThunderstorm      ReasonCode = "thunderstorm"
	ReasonIcing             ReasonCode = "icing"
	ReasonBeyondEndurance   ReasonCode = "beyond_endurance"    // not enough fuel for the mission and its reserve
	ReasonNoMeeting         ReasonCode = "no_meeting"          // nowhere for two vehicles to meet
	ReasonNoStop            ReasonCode = "no_stop"             // no nearer hospital that could help on the way
	ReasonNoTeam            ReasonCode = "no_team"             // no surgical team that could travel
	ReasonNoSeats           ReasonCode = "no_team_seats"       // no room for the surgical team
	ReasonPatientOnBoard    ReasonCode = "patient_on_board"    // the patient is on board another asset
	ReasonPatientAtHospital ReasonCode = "patient_at_hospital" // the patient has been brought to another hospital
	ReasonTooLong           ReasonCode = "too_long"            // longer than MaxTiming
)

func reason(code ReasonCode, format string, args ...any) Reason {
	return Reason{Code: code, Detail: fmt.Sprintf(format, args...)}
}

func hasReason(reasons []Reason, code ReasonCode) bool {
	return slices.ContainsFunc(reasons, func(r Reason) bool { return r.Code == code })
}

// distinct drops reasons that say the same again, and all but the first about
// night flying, which is about the crew and not about a place.
func distinct(reasons []Reason) []Reason {
	out := reasons[:0]
	for _, r := range reasons {
		if slices.Contains(out, r) || (r.Code == ReasonNoNightFlying && hasReason(out, r.Code)) {
			continue
		}
		out = append(out, r)
	}
	return out
}
