package road

import (
	"fmt"
	"time"

	"github.com/paulmach/orb"

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

var _ Rooted = GreatCircle{}

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
	return oneByOne{g, from, law, depart}, nil
}
