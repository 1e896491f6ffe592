package routing

import (
	"github.com/paulmach/orb"

	"surgeonward/facilities"
)

// ActivityKind says what is being done.
type ActivityKind string

// The kinds of activity.
const (
	KindCommitted ActivityKind = "committed" // the asset finishes another job
	KindOffDuty   ActivityKind = "off_duty"  // the asset waits for its crew's shift
	KindMobilise  ActivityKind = "mobilise"  // from the call until moving
	KindRefuel    ActivityKind = "refuel"    // a stop for fuel
	KindStop      ActivityKind = "stop"      // blood or control of bleeding at a nearer hospital
	KindShuttle   ActivityKind = "shuttle"   // a road vehicle comes to the pad
	KindTeam      ActivityKind = "team"      // the travelling surgical team gets ready, boards, alights, scrubs
	KindTravel    ActivityKind = "travel"    // a leg, with or without the patient
	KindWait      ActivityKind = "wait"      // vehicle or patient waits for the other
	KindPackage   ActivityKind = "package"   // treat and make ready to move
	KindCarry     ActivityKind = "carry"     // by hand to the vehicle
	KindLoad      ActivityKind = "load"
	KindUnload    ActivityKind = "unload"
	KindPadToDoor ActivityKind = "pad_to_door"
	KindHandover  ActivityKind = "handover"
	KindPreAlert  ActivityKind = "pre_alert"
	KindCallIn    ActivityKind = "call_in"      // the surgeon comes from home
	KindTheatre   ActivityKind = "theatre"      // theatre, team and perfusionist made ready
	KindSurgeon   ActivityKind = "with_surgeon" // the instant both sides are ready
)

// Lane is who is doing it: the three run in parallel and meet.
type Lane string

// The lanes.
const (
	LaneVehicle  Lane = "vehicle"
	LanePatient  Lane = "patient"
	LaneHospital Lane = "hospital"
)

// Activity is one step of an option. Its schedule is never stored in it.
type Activity struct {
	ID        string
	Kind      ActivityKind
	Lane      Lane
	Asset     string   // the asset that does it, if any
	AssetName string   // the name people use for it
	After     []string // ids of the activities that must have ended
	Timing    facilities.Timing
	DistanceM float64     // travel and carry; 0 otherwise
	Path      []orb.Point // travel: the ends of the leg, or the road's corners
	ByAir     bool        // travel: draw as a great circle
	Begun     bool        // what has happened says that it has started
	Basis     string      // where the duration comes from, in words
}

// Scheduled is an activity with its place on the clock, in seconds after the
// decision time.
type Scheduled struct {
	Activity
	StartS, EndS float64
	SlackS       float64 // how long it can slip without moving the end
	Critical     bool    // no slack, and on a chain from start to end
}

// Plan is a scheduled network in order of start (ties: network order).
type Plan []Scheduled
