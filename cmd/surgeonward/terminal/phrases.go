package terminal

import (
	"strings"

	"surgeonward/routing"
)

// phrases say what is being done, for the kinds whose name does not.
var phrases = map[routing.ActivityKind]string{
	routing.KindCommitted: "finish other job",
	routing.KindOffDuty:   "wait for shift",
	routing.KindPackage:   "treat and package",
	routing.KindCarry:     "carry by hand",
	routing.KindPadToDoor: "pad to door",
	routing.KindPreAlert:  "pre-alert",
	routing.KindCallIn:    "surgeon called in",
	routing.KindTheatre:   "theatre made ready",
	routing.KindSurgeon:   "with surgeon",
}

// phrase says what an activity is, in two or three words.
func phrase(a routing.Activity) string {
	if a.Kind == routing.KindTravel {
		way := "drive"
		if a.ByAir {
			way = "fly"
		}
		if a.Lane == routing.LanePatient {
			return way + " with patient"
		}
		return way + " to patient"
	}
	if a.Kind == routing.KindLoad && a.Lane == routing.LaneVehicle {
		return "team boards" // the patient is loaded in the patient's lane
	}
	if p, ok := phrases[a.Kind]; ok {
		return p
	}
	return strings.ReplaceAll(string(a.Kind), "_", " ")
}

// shape says the form of a way out.
func shape(s routing.Shape) string { return strings.ReplaceAll(string(s), "_", " ") }
