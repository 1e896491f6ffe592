package facilities

import (
	"slices"
	"time"

	"github.com/paulmach/orb"
)

// Kind says what a facility is.
type Kind string

// The kinds of facility. A hospital's position is its door (the ambulance
// entrance); a base's is where its vehicles stand.
const (
	Hospital    Kind = "hospital"
	LandingSite Kind = "landing_site"
	Airfield    Kind = "airfield"
	Base        Kind = "base"
)

// Facility is one feature of the region's list, decoded and checked.
// Pointers are nil where the file says nothing: the regional default applies.
type Facility struct {
	ID       string
	Kind     Kind
	Name     string
	Position orb.Point
	Zone     *time.Location // never nil after decoding

	Capabilities []string                  // sorted, hospitals only
	Surgeons     map[string]Rota[Presence] // by capability, hospitals only
	Theatre      *Rota[Theatre]            // hospitals only
	Handover     *Timing                   // hospitals only
	Pad          *Pad                      // hospitals only
	Ground       *Ground                   // landing sites and airfields: the surface aircraft use
	Fuel         bool                      // bases only: aircraft fuel can be had there
	Accepting    Accepting                 // hospitals only; the zero value is "open"
	Away         []Away                    // hospitals only: what cannot be had just now
}

// Has reports whether the facility lists the capability.
func (f *Facility) Has(capability string) bool {
	return slices.Contains(f.Capabilities, capability)
}

// HasFuel reports whether aircraft fuel can be had at the facility: on its pad,
// on its landing surface, or at the base.
func (f *Facility) HasFuel() bool {
	return f.Fuel || f.Pad != nil && f.Pad.Ground.Fuel || f.Ground != nil && f.Ground.Fuel
}

// Attendance is where the surgeon is during a stretch of hours.
type Attendance string

// The three ways a surgeon can be present.
const (
	Resident Attendance = "resident" // in the hospital
	OnCall   Attendance = "on_call"  // comes in after being called
	Absent   Attendance = "absent"   // nobody covers these hours
)

// Presence is the surgeon's attendance and, on call, the time from being
// called to being ready at the table (nil: the regional default).
type Presence struct {
	Attendance Attendance `json:"presence"`
	CallIn     *Timing    `json:"call_in,omitempty"`
}

// Theatre says how long after the pre-alert a theatre with its team and
// perfusionist is ready (nil: the regional default).
type Theatre struct {
	Ready *Timing `json:"ready,omitempty"`
}

// Opening is whether something can be used.
type Opening struct {
	State string `json:"state"` // "open" or "closed"
}

// Ground is a surface a helicopter or an aeroplane uses.
type Ground struct {
	Lit        bool
	Hours      *Rota[Opening] // nil: always open
	MaxDValueM *float64       // largest helicopter D-value in metres; nil: no limit stated
	MaxMassKg  *float64       // largest mass in kilograms; nil: no limit stated
	RunwayM    *float64       // airfields: runway length in metres
	Fuel       bool           // aircraft fuel can be had here
	RoadAccess bool           // a road vehicle can come alongside
	Clear      *ClearArea     // landing sites; nil: no limit stated
	Occupied   time.Time      // another aircraft stands here until then; zero: none
}

// ClearArea is the ground free of obstacles that a helicopter has for landing.
type ClearArea struct {
	LengthM, WidthM float64 // length >= width
	Surveyed        bool    // surveyed for landing by night
}

// Takes reports whether a helicopter of the D-value may use the area: at least
// 2 D both ways, and by night, unless it has been surveyed, 4 D long and 2 D
// wide. Source: AMC1 SPA.HEMS.125(b)(4), read. An unknown D-value, 0, fits.
func (c ClearArea) Takes(dValueM float64, night bool) bool {
	length := 2 * dValueM
	if night && !c.Surveyed {
		length = 4 * dValueM
	}
	return c.LengthM >= length && c.WidthM >= 2*dValueM
}

// Pad is a hospital's landing place.
type Pad struct {
	Position      orb.Point // the hospital's own position where the file gives none
	ToDoor        *Timing   // from the aircraft's side to the door; nil: the regional default
	VehicleNeeded bool      // a road vehicle takes the patient across
	ShuttleCall   *Timing   // from calling that vehicle until it is at the pad; nil: the regional default
	Ground        Ground
}

// AcceptState is whether a hospital takes patients.
type AcceptState string

// The accepting states.
const (
	Open   AcceptState = "open"
	Divert AcceptState = "divert"
	Closed AcceptState = "closed"
)

// Accepting is a hospital's accepting state with its reason and expiry.
type Accepting struct {
	State  AcceptState
	Reason string
	Until  time.Time // zero: no expiry
}

// At returns the state that holds at t: open once Until has passed.
func (a Accepting) At(t time.Time) AcceptState {
	if a.State == "" || (!a.Until.IsZero() && !t.Before(a.Until)) {
		return Open
	}
	return a.State
}

// AwayKind says what cannot be had.
type AwayKind string

// The kinds of absence.
const (
	SurgeonAway AwayKind = "surgeon"
	TheatreAway AwayKind = "theatre"
)

// Away is a surgeon or the theatre that cannot be had just now, whatever the
// rota says.
type Away struct {
	What       AwayKind
	Capability string // whose surgeon; empty: every surgeon of the hospital
	Reason     string
	Until      time.Time // zero: no end known
}

// holds reports whether it holds at t.
func (a *Away) holds(t time.Time) bool { return a.Until.IsZero() || t.Before(a.Until) }
