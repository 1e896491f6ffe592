package road

import (
	"fmt"
	"time"

	"github.com/paulmach/orb"

	"surgeonward/facilities"
	"surgeonward/geo"
)

// Tree is every way from one point, for one law and departure.
type Tree interface {
	// To returns the way to a point, as Estimator.Route does.
	To(to orb.Point) (Route, error)
}

// Rooted is an Estimator that can prepare the ways from one point, so that many
// destinations cost little more than one.
type Rooted interface {
	From(from orb.Point, law Law, depart time.Time) (Tree, error)
}

// Timed is a Tree that can leave out all but the time: what planning asks for a
// million times.
type Timed interface {
	// Time is the times of To; its error says only whether a way exists.
	Time(to orb.Point) (facilities.Timing, error)
}

// Time is the time of the way to a point, to the last bit that of tree.To.
func Time(tree Tree, to orb.Point) (facilities.Timing, error) {
	if t, ok := tree.(Timed); ok {
		return t.Time(to)
	}
	route, err := tree.To(to)
	return facilities.Timing{TypicalS: route.TypicalS, SlowS: route.SlowS}, err
}

// From returns the ways from a point by the estimator, prepared if it can. An
// error, of which one that wraps ErrUnreachable is an answer, holds for every
// destination.
func From(e Estimator, from orb.Point, law Law, depart time.Time) (Tree, error) {
	if r, ok := e.(Rooted); ok {
		return r.From(from, law, depart)
	}
	return oneByOne{e, from, law, depart}, nil
}

type oneByOne struct {
	estimator Estimator
	from      orb.Point
	law       Law
	depart    time.Time
}

func (o oneByOne) To(to orb.Point) (Route, error) {
	return o.estimator.Route(o.from, to, o.law, o.depart)
}

var (
	_ Rooted = GreatCircle{}
	_ Timed  = fromPoint{}
	_ Timed  = (*travels)(nil)
)

// From checks what does not depend on the destination.
func (g GreatCircle) From(from orb.Point, law Law, depart time.Time) (Tree, error) {
	if err := inRange("road factor", g.Factor, MinRoadFactor, MaxRoadFactor, ""); err != nil {
		return nil, err
	}
	if err := geo.Check(from); err != nil {
		return nil, fmt.Errorf("start of the road travel: %w", err)
	}
	if err := law.Check(); err != nil {
		return nil, err
	}
	return fromPoint{g, from, law}, nil
}

// fromPoint is the ways along great circles from a point that has been checked,
// as the law has.
type fromPoint struct {
	g    GreatCircle
	from orb.Point
	law  Law
}

func (f fromPoint) To(to orb.Point) (Route, error) { return f.g.Route(f.from, to, f.law, time.Time{}) }

// Time is that of To in the same arithmetic.
func (f fromPoint) Time(to orb.Point) (facilities.Timing, error) {
	if err := geo.Check(to); err != nil {
		return facilities.Timing{}, fmt.Errorf("end of the road travel: %w", err)
	}
	distanceM := geo.Distance(f.from, to) * f.g.Factor
	s := f.law.median(distanceM)
	timing := facilities.Timing{TypicalS: s, SlowS: f.law.Spread.slow(s)}
	if !timing.Valid() {
		return facilities.Timing{}, ErrUnreachable
	}
	return timing, nil
}
