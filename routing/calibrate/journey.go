package calibrate

import (
	"time"

	"github.com/paulmach/orb"

	"surgeonward/geo/sun"
)

// The stages that are travel. Every other stage is an allowance.
const (
	TravelRoad = "travel_road"
	TravelAir  = "travel_air"
)

// Journey is one stage of one journey as it was recorded.
type Journey struct {
	Row       int    // in the file, the header being row 1
	ID        string // the journey's, the same for all of its stages; says nothing of the patient
	Stage     string // TravelRoad, TravelAir or an allowance id such as "mobilise_ambulance_night"
	Asset     string // id in fleet.json; may be empty
	Area      string // the region's own word; may be empty
	StartedAt time.Time
	DurationS float64   // seconds, 1 to 172800
	From      orb.Point // where the stage began
	To        orb.Point // where it ended: travel only
	DrivenM   float64   // metres along the road; 0: not recorded
}

// End is when the stage was over.
func (j *Journey) End() time.Time {
	return j.StartedAt.Add(time.Duration(j.DurationS * float64(time.Second)))
}

// Light is "night" where it was night at the start and the place of it, by the
// rule that night mobilisation follows, else "day".
func (j *Journey) Light() string {
	if sun.IsNight(j.From, j.StartedAt) {
		return Night
	}
	return Day
}

// The values of Light, as they end the ids of allowances that depend on it.
const (
	Day   = "day"
	Night = "night"
)
