package road

import (
	"errors"
	"time"

	"github.com/paulmach/orb"
)

// ErrUnreachable says that no road leads there. It is an answer, not a fault:
// estimators wrap it with the reason, in words for the reader of the answer.
var ErrUnreachable = errors.New("not reachable by road")

// Route is one travel by road.
type Route struct {
	DistanceM float64     // along the road, in metres; ferries not counted
	TypicalS  float64     // median duration in seconds
	SlowS     float64     // 9 in 10 are quicker; at least TypicalS
	Path      []orb.Point // from start to end, corners included
	Basis     string      // where distance and duration come from, in words
}

// Estimator finds the way by road between two points for a vehicle that moves
// by the law and leaves at depart; estimators that know no timetables, seasons
// or closings do not look at depart. It returns an error that wraps ErrUnreachable where there is no
// way, and other errors for points or laws that are out of range.
// Implementations are deterministic and safe for concurrent use.
type Estimator interface {
	Route(from, to orb.Point, law Law, depart time.Time) (Route, error)
}
