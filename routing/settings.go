package routing

import (
	"time"

	"surgeonward/facilities"
)

// Settings are the region's numbers: the model's parameters with the region's
// own values in place of the shipped ones.
type Settings struct {
	Region          string
	Demonstration   bool           // an invented region: every answer says so
	Zone            *time.Location // local time of the region; never nil after decoding
	ChildBelowYears float64        // a patient younger than this needs a children's centre
	RoadFactor      float64        // road distance over great-circle distance, >= 1
	Road            RoadSpeed
	CarryMaxM       float64 // farthest landing site a patient is carried to by hand, in metres

	allowances map[string]Allowance
	hash       string
}

// Allowance is one default duration of the model with where it comes from.
type Allowance struct {
	ID     string
	What   string // one plain phrase
	Timing facilities.Timing
	Source string // publication, or "assumption"
	Date   string // when the source was published or the assumption made
	Mark   string // "read", "memory", "derived", "assumption" or "region"
}

// Allowance returns the duration known by the id. The ids are fixed by the
// shipped allowances file; an id that is not in it is a programming fault and
// gives a zero Allowance.
func (s *Settings) Allowance(id string) Allowance { return s.allowances[id] }

// Hash identifies the content of all parameters, shipped and regional.
func (s *Settings) Hash() string { return s.hash }
