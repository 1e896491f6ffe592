package terminal

import (
	"strings"

	"surgeonward/routing"
)

// phrases say what is being done, for the kinds whose name does not.
var phrases = map[routing.ActivityKind]string{
	routing.KindCommitted: "finish other job",
	routing.KindRefuel:    "take fuel",
	routing.KindStop:      "stop at hospital",
	routing.KindShuttle:   "road vehicle to pad",
	routing.KindOffDuty:   "wait for shift",
	routing.KindPackage:   "treat and package",
	routing.KindCarry:     "carry by hand",
	routing.KindPadToDoor: "pad to door",
	routing.KindPreAlert:  "pre-alert",
	routing.KindCallIn:    "surgeon called in",
	routing.KindTheatre:   "theatre made ready",
	routing.KindSurgeon:   "with surgeon",
}

// steps say it for the steps of ways out with more than one vehicle, by the
// ids the engine gives them.
var steps = map[string]string{
	"team_pre_alert":   "alert surgical team",
	"team_ready":       "team gets ready",
	"team_to_pad":      "team goes to pad",
	"team_board":       "team boards",
	"team_alight":      "team alights",
	"team_to_door":     "team goes to door",
	"team_scrub":       "team scrubs",
	"escort_join":      "team boards",
	"door_to_pad":      "door to pad",
	"stop_door_to_pad": "door to pad",
}

// goals say where a leg leads, by the id of the leg; the others lead to the
// patient, or with the patient to the hospital.
var goals = map[string]string{
	"travel_to_meeting":           " patient to meeting",
	"travel_to_airfield":          " patient to airfield",
	"travel_to_stop":              " patient to stop",
	"travel_to_fuel_with_patient": " patient to fuel",
	"travel_to_fuel":              " to fuel",
	"meeting_travel_to_scene":     " to meeting",
	"airfield_travel_to_scene":    " to far airfield",
	"stop_travel_to_scene":        " to stop",
	"team_travel_to_scene":        " to surgical team",
	"team_travel":                 " with team",
}

// phrase says what an activity is, in two or three words.
func phrase(a routing.Activity) string {
	if s, ok := steps[a.ID]; ok {
		return s
	}
	if a.Kind == routing.KindTravel {
		return travel(a)
	}
	if p, ok := phrases[a.Kind]; ok {
		return p
	}
	return strings.ReplaceAll(string(a.Kind), "_", " ")
}

func travel(a routing.Activity) string {
	way := "drive"
	if a.ByAir {
		way = "fly"
	}
	if goal, ok := goals[a.ID]; ok {
		return way + goal
	}
	if a.Lane == routing.LanePatient {
		return way + " with patient"
	}
	return way + " to patient"
}

// shape says the form of a way out.
func shape(s routing.Shape) string { return strings.ReplaceAll(string(s), "_", " ") }
