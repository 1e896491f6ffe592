package routing

import (
	"time"

	"surgeonward/facilities"
	"surgeonward/geo/wind"
	"surgeonward/routing/flight"
)

// Caution is the line every answer carries.
const Caution = "Advice only: the pilot in command decides on flight, the treating clinician on the patient, and local protocols come first."

// Answer is every way out, ranked, and every pair that is none with its reasons.
type Answer struct {
	At      time.Time
	Scene   Scene
	Night   bool // between evening and morning civil twilight at the scene at At
	Options []Option
	Found   int // options found before Limit cut the list
	Sampled int // options that were drawn: those returned, and the best by typical durations
	// QuickestOther is the chance that a sampled option that is not returned is
	// the quickest.
	QuickestOther float64
	Until         []Deadline    // how late each activity of the first option can start, in its order
	DecideBy      *Deadline     // the earliest of Until; nil: no other option can overtake the first
	RunnerUp      *RunnerUp     // nil: there is no second option
	Sensitivity   []Sensitivity // what the first option's total hangs on, the greatest change first
	NotPossible   []NotPossible
	Cautions      []string // what holds for the whole answer
	Weather       []StationWeather
}

// StationWeather is what one station of the question's reports says now.
type StationWeather struct {
	Code     string
	SceneM   float64       // from the scene, in metres
	Age      time.Duration // of the report used; negative: none is recent enough
	Sky      flight.Sky
	Wind     *wind.Wind // nil: not known
	Variable bool       // the wind has no steady direction, or none was given
	Forecast bool       // a forecast was given as well
}

// Shape is the form of a way out.
type Shape string

// The shapes of a way out.
const (
	ByRoad         Shape = "road"
	ByAir          Shape = "air"
	Rendezvous     Shape = "rendezvous"      // road to a landing site, helicopter from there
	ByAeroplane    Shape = "aeroplane"       // road, airfield, flight, airfield, road
	ViaHospital    Shape = "via_hospital"    // a stop at a nearer hospital, then onward
	SurgeonTravels Shape = "surgeon_travels" // a surgical team is carried to the patient's hospital
)

// Option is one way of getting this patient to one surgeon.
type Option struct {
	Rank        int
	ID          string // stable for the same way: shape, assets, destination
	Shape       Shape
	Destination *facilities.Facility
	Assets      []string          // ids of all assets it uses, the carrying one first
	Transfers   int               // times the patient changes vehicle
	Plan        Plan              // its activities, scheduled at their typical durations
	Total       facilities.Timing // as planned at typical durations, and Spread.P90S
	Spread      Spread
	// When the patient is at the hospital's door and, by air, on its pad, in
	// seconds after the decision time: slow is what 9 in 10 draws are there by.
	// Nil: not ahead.
	AtDoor, Lands *facilities.Timing
	// From the loss and the return of output to the surgeon; nil: not stated.
	SinceLost, SinceRegained *facilities.Timing
	HeldUpBy                 string // what the time hangs on, in words
	Sentence                 string
	LeaveScene               time.Time // at typical durations, or as a fact; zero: has left, and nobody has said when
	WithSurgeon              time.Time
	Cautions                 []string

	Meeting  *facilities.Facility // where the patient changes vehicle; nil: nowhere
	FarField *facilities.Facility // by aeroplane: where it lands
	Via      *facilities.Facility // the hospital of the stop
	TeamFrom *facilities.Facility // where the travelling surgical team comes from

	callS float64 // how long a call to a hospital takes, in seconds
}

// NotPossible is an asset and a destination that make no option, and why.
type NotPossible struct {
	Asset       string
	Destination string
	Shape       Shape
	Reasons     []Reason
}

// Reason is one thing that rules a way out.
type Reason struct {
	Code   ReasonCode
	Detail string // a sentence with the numbers in it
}

// ReasonCode is a stable word for a kind of reason.
type ReasonCode string
