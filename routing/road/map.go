package road

import (
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
)

// Map is what a region's roads.geojson says: where roads are unlike the rest
// of the region, what they cannot cross, and where they can cross it all the
// same. Decode makes it; nothing in it may be changed afterwards.
type Map struct {
	Roads     []Line // to be drawn; travel times do not depend on them
	Areas     []Area
	Barriers  []Barrier
	Crossings []Crossing

	zone   *time.Location
	ground *ground // the same in a plane; nil where there is nothing to avoid
}

// Line is a road as it is drawn on the map.
type Line struct {
	ID, Name, Class string
	Line            orb.LineString
}

// Area is a part of the region with roads of its own. Zero values are those
// of the region. Where areas overlap, the one later in the file holds.
//
// Cruise and acceleration are those of a vehicle that moves by the region's
// law; for a vehicle with its own law they change in proportion.
type Area struct {
	ID, Name        string
	Polygon         orb.Polygon
	Factor          float64 // road distance over great-circle distance
	CruiseMS        float64 // m/s
	AccelerationMS2 float64 // m/s²
	Spread          *Spread
}

// Barrier is a line that no road crosses: a coast, a fjord, a mountain wall.
// Its edges are taken as great circles, which is within 3 m of the straight
// line in longitude and latitude (RFC 7946 section 3.1.1) on edges of 10 km
// at 50 degrees of latitude, and grows with the square of the length.
type Barrier struct {
	ID, Name string
	Lines    []orb.LineString // one line, or the rings of a polygon
	Water    Water
}

// Water says on which side of a barrier there is water, where no road leads.
type Water string

// The sides. Left and right are as seen along the line as it is drawn; inside
// and outside are of a closed line or of a polygon, holes not in it.
const (
	NoWater      Water = "none" // a wall: land on both sides
	WaterLeft    Water = "left"
	WaterRight   Water = "right"
	WaterInside  Water = "inside"  // a lake
	WaterOutside Water = "outside" // the coast of an island
)

// CrossingKind says what leads over a barrier.
type CrossingKind string

// The kinds of crossing. A ferry is a stop: the vehicle waits, and afterwards
// gathers speed again.
const (
	Bridge CrossingKind = "bridge"
	Ferry  CrossingKind = "ferry"
	Pass   CrossingKind = "pass"
)

// Crossing leads from one side of a barrier to the other, both ways.
type Crossing struct {
	ID, Name string
	Kind     CrossingKind
	Ends     [2]orb.Point // start and end of the line
	LengthM  float64      // of a bridge's or a pass's road; 0: great circle x road factor
	SpeedMS  float64      // at cruise, by the region's law; 0: as the roads around
	Closed   *Closure     // nil: not closed by hand
	Months   [13]bool     // closed in these months, 1 to 12
	Service  *Service     // ferries only
}

// Closure is a closing by hand.
type Closure struct {
	Reason string
	Until  time.Time // zero: no end known
}

// Service is when a ferry sails. It has an interval or departures.
type Service struct {
	IntervalS  float64                              // seconds between sailings; the mean wait is half of it
	Hours      *facilities.Rota[facilities.Opening] // when sailings at intervals run; nil: always
	Departures []Departures
	Boarding   facilities.Timing // from arriving at the quay to being able to sail
	Sailing    facilities.Timing // from sailing to being on the road on the other side
}

// Departures are sailings at fixed times of the region's local time.
type Departures struct {
	Days    [7]bool // indexed by time.Weekday
	From    [2]bool // from the line's start, from its end
	Minutes []int   // after local midnight, ascending, 0 to 1439
}
