package routing

import (
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/geo"
	"surgeonward/routing/flight"
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
	AeroplaneCruiseMS  float64 // the same of an aeroplane

	Minima                 []flight.Table   // shipped tables, then the region's own by id
	NearMinima             float64          // fraction above a minimum that still counts as near
	Stations               []WeatherStation // by code
	ReportMaxAge           time.Duration    // an older report is not used
	StationMaxM            float64          // a station farther from a place says nothing of it
	Thunderstorm           Hazard
	Freezing               Hazard
	IcingPossible          Hazard
	ReserveDayS            float64 // final reserve fuel of a helicopter by day, in seconds of flight
	ReserveNightS          float64 // the same by night
	AeroplaneReserveDayS   float64 // final reserve fuel of an aeroplane by day, in seconds of flight
	AeroplaneReserveNightS float64 // the same by night
	TeamSeats              int     // seats a travelling surgical team takes
	Status                 StatusReports
	WindSlowMS             float64 // head wind beyond what is known, 9 times in 10 not worse, in m/s

	allowances map[string]Allowance
	parameters map[string]Parameter
	hash       string
}

// Hazard is what a kind of weather does to a flight.
type Hazard string

// What a hazard does.
const (
	Excludes Hazard = "exclude" // no flight
	Cautions Hazard = "caution" // the option says so
	Ignored  Hazard = "ignore"
)

// What a hazard does where the region does not say: assumptions, on the side of
// not flying.
const (
	defaultThunderstorm  = Excludes
	defaultFreezing      = Excludes
	defaultIcingPossible = Cautions
)

// WeatherStation is a place that reports the weather.
type WeatherStation struct {
	Code     string
	Position orb.Point
}

// DefaultSettings returns the shipped parameters, for no region in particular:
// its name is empty and its local time is UTC.
func DefaultSettings() *Settings {
	return newSettings(&Settings{
		Zone:          time.UTC,
		Minima:        flight.Tables(),
		Thunderstorm:  defaultThunderstorm,
		Freezing:      defaultFreezing,
		IcingPossible: defaultIcingPossible,
		allowances:    maps.Clone(shipped().allowances),
		parameters:    maps.Clone(shipped().parameters),
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
	s.AeroplaneCruiseMS = value("aeroplane_cruise_kt") * geo.Knot
	s.NearMinima = value("near_minima_fraction")
	s.ReportMaxAge = time.Duration(value("report_max_age_min") * float64(time.Minute))
	s.StationMaxM = value("station_max_km") * 1000
	s.ReserveDayS = value("reserve_day_min") * 60
	s.ReserveNightS = value("reserve_night_min") * 60
	s.AeroplaneReserveDayS = value("aeroplane_reserve_day_min") * 60
	s.AeroplaneReserveNightS = value("aeroplane_reserve_night_min") * 60
	s.TeamSeats = int(value("team_seats"))
	s.WindSlowMS = value("wind_slow_kt") * geo.Knot
	s.hash = contentHash(struct {
		Region        string
		Demonstration bool
		Zone          string
		Allowances    []Allowance
		Parameters    []Parameter
		Minima        []flight.Table
		Stations      []WeatherStation
		Hazards       []Hazard
	}{s.Region, s.Demonstration, s.Zone.String(), s.Allowances(), s.Parameters(),
		s.Minima, s.Stations, []Hazard{s.Thunderstorm, s.Freezing, s.IcingPossible}})
	return s
}

// station returns the weather station known by the code of its reports.
func (s *Settings) station(code string) (WeatherStation, bool) {
	i, ok := slices.BinarySearchFunc(s.Stations, code, func(w WeatherStation, code string) int {
		return strings.Compare(w.Code, code)
	})
	if !ok {
		return WeatherStation{}, false
	}
	return s.Stations[i], true
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
