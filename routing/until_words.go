package routing

import (
	"cmp"
	"strings"
)

// starting names the start of an activity.
func starting(nd *node) string {
	by := ""
	if nd.asset != nil {
		by = nd.asset.Name
	}
	switch {
	case nd.id == "team_travel" && nd.byAir:
		return "lift-off of " + by + " with the surgical team"
	case nd.id == "team_travel":
		return by + " leaving with the surgical team"
	case nd.kind == KindTravel && nd.byAir && nd.lane == LanePatient:
		return "lift-off of " + by + " with the patient"
	case nd.kind == KindTravel && nd.byAir:
		return "lift-off of " + by
	case nd.kind == KindTravel && nd.lane == LanePatient:
		return by + " leaving with the patient"
	case nd.kind == KindTravel:
		return by + " leaving for " + nd.goal
	case nd.kind == KindMobilise:
		return "the call to " + by
	case nd.id == "team_pre_alert":
		return "the alert to the surgical team"
	case nd.kind == KindPreAlert:
		return "the pre-alert"
	case nd.kind == KindCallIn:
		return "the call to the surgeon"
	case nd.kind == KindShuttle:
		return "the call to the road vehicle for the pad"
	case nd.id == "escort_join":
		return "the team of " + by + " boarding"
	case nd.kind == KindLoad:
		return "loading the patient into " + by
	}
	return taking(nd)
}

// taking names an activity by the time it takes.
func taking(nd *node) string {
	way := "the drive"
	if nd.byAir {
		way = "the flight"
	}
	switch {
	case nd.kind == KindTravel && nd.lane == LanePatient:
		return way + " with the patient"
	case nd.kind == KindTravel:
		return way + " to " + nd.goal
	}
	what := nd.why().what
	return cmp.Or(whatVaries[what], plain(what))
}

// words fill in the sentence and its end. Steps are the activities that could
// each give what is missing, in words.
func (r *RunnerUp) words(y *way, steps []string) {
	behind := spanUp(r.NeedsS)
	if r.NeedsS >= 60 {
		behind = minutes(r.NeedsS)
	}
	switch {
	case r.NeedsS == 0:
		r.Gap = "as quick as the first"
	case len(steps) == 0:
		r.Gap = behind + " behind, which no single step of it could give"
	default:
		r.Gap = behind + " behind, which could come from " + strings.Join(steps, ", or ")
	}
	r.Sentence = does(y) + ": " + r.Gap
}
