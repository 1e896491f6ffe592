package routing

import (
	"maps"
	"slices"
	"time"

	"surgeonward/geo"
	"surgeonward/routing/road"
)

// Settings are the region's numbers: the model's parameters with the region's
// own values in place of the shipped ones. A Settings is an immutable snapshot
// with a content hash; only its functions make one.
type Settings struct {
	Region             string
	Demonstration      bool           // an invented region: every answer says so
	Zone               *time.Location // local time of the region; never nil after decoding
	ChildBelowYears    float64        // a patient younger than this needs a children's centre
	RoadFactor         float64        // road distance over great-circle distance, >= 1
	Road               road.Law
	CarryMaxM          float64 // farthest landing site a patient is carried to by hand, in metres
	CarryMS            float64 // speed of such a carry in m/s
	HelicopterCruiseMS float64 // true airspeed of a helicopter that states none, in m/s

	allowances map[string]Allowance
	parameters map[string]Parameter
	hash       string
}

// DefaultSettings returns the shipped parameters, for no region in particular:
// its name is empty and its local time is UTC.
func DefaultSettings() *Settings {
	return newSettings(&Settings{
		Zone:       time.UTC,
		allowances: maps.Clone(shipped().allowances),
		parameters: maps.Clone(shipped().parameters),
	})
}

// newSettings completes s, whose parameters are set, and gives it its hash.
func newSettings(s *Settings) *Settings {
	value := func(id string) float64 { return s.parameters[id].Value }
	s.ChildBelowYears = value("child_below_years")
	s.RoadFactor = value("road_factor")
	s.Road = road.Law{
		CruiseMS:        value("road_cruise_kmh") * road.KilometrePerHour,
		AccelerationMS2: value("road_acceleration_kmh_per_min") * road.KilometrePerHourPerMinute,
		Spread: road.Spread{
			B0Min2: value("road_spread_b0"),
			B1Min:  value("road_spread_b1"),
			B2:     value("road_spread_b2"),
		},
	}
	s.CarryMaxM = value("carry_max_m")
	s.CarryMS = value("carry_speed_kmh") * road.KilometrePerHour
	s.HelicopterCruiseMS = value("helicopter_cruise_kt") * geo.Knot
	s.hash = contentHash(struct {
		Region        string
		Demonstration bool
		Zone          string
		Allowances    []Allowance
		Parameters    []Parameter
	}{s.Region, s.Demonstration, s.Zone.String(), s.Allowances(), s.Parameters()})
	return s
}

// Allowance returns the duration known by the id. The ids are fixed by the
// shipped allowances file; an id that is not in it is a programming fault and
// gives a zero Allowance.
func (s *Settings) Allowance(id string) Allowance { return s.allowances[id] }

// Allowances returns all durations in order of id.
func (s *Settings) Allowances() []Allowance { return inOrder(s.allowances) }

// Parameters returns all numbers that are no durations in order of id.
func (s *Settings) Parameters() []Parameter { return inOrder(s.parameters) }

// Hash identifies the content of all parameters, shipped and regional. It does
// not depend on the order or the layout of the settings file.
func (s *Settings) Hash() string { return s.hash }

func inOrder[T any](byID map[string]T) []T {
	out := make([]T, 0, len(byID))
	for _, id := range slices.Sorted(maps.Keys(byID)) {
		out = append(out, byID[id])
	}
	return out
}
