package routing

import (
	"fmt"
	"slices"
)

// The reasons a way out is ruled out. The words are stable: clients may
// compare them.
const (
	ReasonNotAccepting     ReasonCode = "not_accepting"      // the hospital diverts or is closed
	ReasonLacksCapability  ReasonCode = "lacks_capability"   // the hospital does not have what the patient needs
	ReasonSurgeonAbsent    ReasonCode = "surgeon_absent"     // nobody covers these hours
	ReasonCarriesNoPatient ReasonCode = "carries_no_patient" // a response car
	ReasonCommitted        ReasonCode = "committed"          // busy, for too long or nobody knows how long
	ReasonOffDuty          ReasonCode = "off_duty"           // no crew
	ReasonNotSelected      ReasonCode = "not_selected"       // the question asked for other assets only
	ReasonNoNightFlying    ReasonCode = "no_night_flying"    // dark, and the crew does not fly by night
	ReasonNoLanding        ReasonCode = "no_landing"         // nowhere to land near the patient
	ReasonNoPad            ReasonCode = "no_pad"             // the hospital has no pad
	ReasonLandingClosed    ReasonCode = "landing_closed"     // outside the pad's or site's hours
	ReasonLandingUnlit     ReasonCode = "landing_unlit"      // dark on arrival, and no lights
	ReasonTooLarge         ReasonCode = "too_large"          // D-value over the limit
	ReasonTooHeavy         ReasonCode = "too_heavy"          // mass over the limit
	ReasonNoEscort         ReasonCode = "no_escort"          // the skill that must ride along cannot be there
	ReasonNoSeat           ReasonCode = "no_seat"            // no seat for the escort
	ReasonUnreachable      ReasonCode = "unreachable"        // no way by road
	ReasonTooLong          ReasonCode = "too_long"           // longer than MaxTiming
)

func reason(code ReasonCode, format string, args ...any) Reason {
	return Reason{Code: code, Detail: fmt.Sprintf(format, args...)}
}

func hasReason(reasons []Reason, code ReasonCode) bool {
	return slices.ContainsFunc(reasons, func(r Reason) bool { return r.Code == code })
}
