package routing

import (
	"slices"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/routing/flight"
	"surgeonward/routing/road"
)

// AssetKind says what an asset is and so which ways of moving it has.
type AssetKind string

// The kinds of asset. A response car brings a team and carries no patient.
const (
	Ambulance   AssetKind = "ambulance"
	ResponseCar AssetKind = "response_car"
	Helicopter  AssetKind = "helicopter"
	Aeroplane   AssetKind = "aeroplane"
)

// AssetState is what an asset is doing at the decision time.
type AssetState string

// The states of an asset.
const (
	AtBase    AssetState = "at_base"   // mobilises from its base
	AtScene   AssetState = "at_scene"  // stands beside the patient
	Moving    AssetState = "moving"    // under way and free to be sent, from Position
	Committed AssetState = "committed" // busy until FreeAt, then free at Position (or at its base)
)

// Asset is a vehicle with its crew, as in fleet.json.
type Asset struct {
	ID   string
	Name string
	Kind AssetKind
	Base string // facility id; may be empty when Position is given

	State    AssetState
	Position *orb.Point // where it is; nil: at its base
	FreeAt   time.Time  // committed assets only; zero: not known
	Until    time.Time  `json:",omitzero"` // when State ends and it counts as at its base; zero: no end known

	Skills        []string                             // sorted, e.g. "physician", "paramedic"
	EscortSeats   int                                  // seats for a team that rides along, beyond the own crew
	Hours         *facilities.Rota[facilities.Opening] // crew hours in local time of Zone; nil: always on duty
	Zone          *time.Location                       // never nil after decoding
	NightFlying   bool                                 // aircraft: may fly between evening and morning civil twilight
	CruiseMS      float64                              // aircraft: true airspeed in m/s
	DValueM       float64                              // aircraft: largest dimension, rotors turning, in metres; 0: not stated
	MassKg        float64                              // aircraft: mass in kilograms; 0: not stated
	RotorsTurning bool                                 // helicopters: loads and unloads with rotors turning
	RunwayM       float64                              // aeroplanes: shortest runway in metres; 0: not stated

	Crew         flight.Crew // what its weather minima depend on
	Minima       string      // id of its table of weather minima; empty: none is kept
	EnduranceS   float64     // aircraft: flying time on full fuel in seconds; 0: not stated
	FuelS        *float64    // aircraft: flying time left now in seconds; nil: full
	HotRefuel    bool        // takes fuel with the patient on board
	IcingCleared bool        // may fly where ice can form

	MobiliseDay, MobiliseNight *facilities.Timing           // nil: the default for its kind
	Road                       *road.Law                    // ground assets; nil: the region's
	Allowances                 map[string]facilities.Timing // by allowance id, replacing the regional ones
}

// Carries reports whether the asset can carry a patient.
func (a *Asset) Carries() bool { return a.Kind != ResponseCar }

// Flies reports whether the asset moves by air.
func (a *Asset) Flies() bool { return a.Kind == Helicopter || a.Kind == Aeroplane }

// HasSkill reports whether somebody in the asset's crew has the skill.
func (a *Asset) HasSkill(skill string) bool {
	return slices.Contains(a.Skills, skill)
}
