package routing

import (
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/routing/flight"
)

// Question is what is asked of the engine: one patient, now.
type Question struct {
	At      time.Time // the decision time, UTC
	Scene   Scene
	Patient Patient
	Assets  Selection
	Facts   []Fact // what has happened
	// When the heart's output was lost and when it came back, for counting from
	// there; nil: not stated.
	OutputLostAt, OutputRegainedAt *time.Time
	Conditions                     Conditions
	RankBySlow                     bool    // rank by the slow total instead of the typical one
	TargetS                        float64 // time to the surgeon that is aimed at, for Spread.Within; 0: none
	Limit                          int     // most options to return; 0: all
}

// Landing is whether a helicopter can land beside the patient.
type Landing string

// What is known about landing at the scene.
const (
	LandingPossible   Landing = "possible"
	LandingImpossible Landing = "impossible"
	LandingUnknown    Landing = "unknown"
)

// Scene is where the patient is.
type Scene struct {
	Position     orb.Point
	Format       string  // how the position was written, e.g. "degrees and minutes"
	UncertaintyM float64 // radius in metres; 0: not stated
	Facility     string  // a transfer: the id of the hospital the patient is in
	Landing      Landing
	Carry        *facilities.Timing // from the patient to the vehicle; nil: the regional default
	CarryM       float64            // the same as a distance in metres, at the regional carry speed; 0: not stated
	Winch        bool               // the patient can be winched up from where they lie
}

// Patient is what the engine knows of the patient: never who it is.
type Patient struct {
	AgeYears *float64           // nil: not stated, taken as an adult
	Needs    []string           // capabilities the destination must have
	Escort   string             // a skill that must ride along, e.g. "physician"; empty: none
	ReadyIn  *facilities.Timing // treat and package; nil: the regional default
	Stop     *facilities.Timing // at a nearer hospital, for blood or control of bleeding; nil: the regional default
}

// Selection narrows, changes and extends the fleet for one question.
type Selection struct {
	Only   []string // ids; empty: the whole fleet
	States []StateChange
	Add    []Asset
}

// StateChange replaces an asset's state for one question.
type StateChange struct {
	Asset    string
	State    AssetState
	Position *orb.Point
	FreeAt   time.Time
	FuelS    *float64 // flying time left in seconds; nil: as the fleet file says
}

// Conditions is what the question says of the weather.
type Conditions struct {
	Given   flight.Given
	Reports []string // METAR, SPECI or TAF texts
}
