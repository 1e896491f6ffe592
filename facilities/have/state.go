package have

import (
	"slices"
	"strings"

	"surgeonward/facilities"
	"surgeonward/facilities/strictjson"
)

// state returns the accepting state that a hospital's report amounts to and the
// reason for it. Where it amounts to none, the state is "" and the reason says why.
//
// A building that is closed or being evacuated closes the hospital, whatever else is
// said. Otherwise only the traffic status says whether patients are taken: closed
// traffic asks that they be taken elsewhere, which is a divert. What limits without
// closing is a reason beside an open state.
func (m *matcher) state(h Hospital) (facilities.AcceptState, string) {
	switch {
	case h.Facility == FacilityClosed:
		return facilities.Closed, "the facility is closed"
	case h.Facility == FacilityEvacuating:
		return facilities.Closed, "the facility is being evacuated"
	case h.Traffic == TrafficClosed:
		return facilities.Divert, because("emergency traffic is closed", h.TrafficReason)
	case h.Clinical == ClinicalClosed:
		return facilities.Closed, "its clinical services are closed"
	case h.Traffic == TrafficNormal, h.Traffic == TrafficAdvisory:
		return facilities.Open, strings.Join(limits(h), "; ")
	case h.Traffic == TrafficNotApplicable:
		return "", "it reports no emergency department"
	case h.Colour != "":
		if state, ok := m.opt.Colours[h.Colour]; ok {
			return state, "reported as " + h.Colour
		}
		return "", "it reports the colour " + strictjson.Quote(h.Colour) + ", and nothing says what that means here: name its meaning in the region's settings, under status_reports"
	}
	return "", "the report does not say whether it takes patients: unknown is not open"
}

// limits says what speaks against an open hospital without closing it.
func limits(h Hospital) (out []string) {
	if h.Traffic == TrafficAdvisory {
		out = append(out, because("emergency traffic advisory", h.TrafficReason))
	}
	if h.Facility == FacilityCompromised {
		out = append(out, "the facility is compromised")
	}
	switch h.Clinical {
	case ClinicalFull:
		out = append(out, "clinically full")
	case ClinicalSurge1, ClinicalSurge2:
		out = append(out, "clinical surge "+strings.ToLower(string(h.Clinical)))
	}
	return out
}

func because(what, why string) string {
	if why == "" {
		return what
	}
	return what + ": " + why
}

// concerns are the service lines of version 1.0 whose lack bears on capabilities.
// Which bears on which is common practice, no source; the name Surgery is second hand.
var concerns = []struct {
	service      string
	capabilities []string
}{
	{"Burn", []string{"burns"}},
	{"EmergencyDepartment", []string{"emergency_department"}},
	{"Surgery", []string{facilities.CardiothoracicSurgery, facilities.PaediatricCardiothoracicSurgery, "neurosurgery", "trauma_surgery", "vascular_surgery"}},
	{"TraumaCenterServices", []string{"trauma_surgery"}},
	{"Vascular", []string{"vascular_surgery"}},
}

// notes names what the report says the hospital has not, and the list says it has,
// and delays in taking patients over.
func notes(h Hospital, f *facilities.Facility) (out []string) {
	for _, c := range concerns {
		lacks := slices.ContainsFunc(h.Services, func(s Service) bool { return s.Name == c.service && s.Available != nil && !*s.Available })
		for _, capability := range c.capabilities {
			if lacks && f.Has(capability) {
				out = append(out, "it reports no "+c.service+" now, and the list has "+capability+" there")
			}
		}
	}
	if h.RoadOffload == OffloadDelayed {
		out = append(out, "patients are taken over from ambulances with delay")
	}
	if h.AirOffload == OffloadDelayed {
		out = append(out, "patients are taken over from aircraft with delay")
	}
	return out
}
