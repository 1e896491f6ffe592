package have

import (
	"time"

	"github.com/paulmach/orb"
)

// Version is a version of the standard.
type Version string

// The versions that are read.
const (
	V1 Version = "1.0"
	V2 Version = "2.0"
)

// Report is what a document says, hospital by hospital in its order.
type Report struct {
	Version   Version
	Hospitals []Hospital
}

// Hospital is what a document says of one hospital. Texts are "" and times zero where
// it says nothing; a word that the standard does not have is a fault and left out.
type Hospital struct {
	Line      int // of the document, from 1
	ID        string
	Name      string
	Position  *orb.Point
	UpdatedAt time.Time // when the status was last brought up to date

	Traffic       Traffic // version 1.0
	TrafficReason string
	Facility      FacilityStatus // version 1.0
	Clinical      Clinical       // version 1.0
	RoadOffload   Offload        // version 1.0, of ambulances
	AirOffload    Offload        // version 1.0, of aircraft

	Colour   string // version 2.0: the facility's colour, lower case; what colours mean is agreed locally
	Services []Service
}

// Traffic is whether the emergency department takes patients from ambulances and
// aircraft: EMSTrafficStatus.
type Traffic string

// The words of EMSTrafficStatus.
const (
	TrafficNormal        Traffic = "Normal"
	TrafficAdvisory      Traffic = "Advisory"      // it does, with limits that may concern some patients
	TrafficClosed        Traffic = "Closed"        // it asks that patients be taken elsewhere
	TrafficNotApplicable Traffic = "NotApplicable" // it has no emergency department
)

// FacilityStatus is the state of the building and its supplies.
type FacilityStatus string

// The words of FacilityStatus.
const (
	FacilityNormal      FacilityStatus = "Normal"
	FacilityCompromised FacilityStatus = "Compromised"
	FacilityEvacuating  FacilityStatus = "Evacuating"
	FacilityClosed      FacilityStatus = "Closed"
)

// Clinical is how far the hospital's clinical means are used up, surge included.
type Clinical string

// The words of ClinicalStatus.
const (
	ClinicalNormal        Clinical = "Normal"
	ClinicalSurge1        Clinical = "Level-1"
	ClinicalSurge2        Clinical = "Level-2"
	ClinicalFull          Clinical = "Full"
	ClinicalClosed        Clinical = "Closed"
	ClinicalNotApplicable Clinical = "NotApplicable"
)

// Offload is whether patients are taken over from vehicles in the usual time.
type Offload string

// The words of EMSOffloadStatus.
const (
	OffloadNormal  Offload = "Normal"
	OffloadDelayed Offload = "Delayed"
)

// Service is one line of service by the name that the document gives it.
type Service struct {
	Name      string
	Available *bool  // version 1.0; nil: not said
	Colour    string // version 2.0, lower case
}

// Fault is one thing wrong in a document.
type Fault struct {
	Line     int    `json:"line,omitempty"`     // from 1; 0: the document as a whole
	Hospital string `json:"hospital,omitempty"` // the id it gives, where it gives one
	Detail   string `json:"detail"`             // one sentence: what is wrong, and the fix
}
