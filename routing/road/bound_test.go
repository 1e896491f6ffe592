package road_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"surgeonward/geo"
	"surgeonward/routing/road"
)

// No travel on the great circle times a factor beats the bound. Source:
// definition.
func TestFastestIsABound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		law := laws(t)
		e := road.GreatCircle{Factor: rapid.Float64Range(1, 3).Draw(t, "factor")}
		to := geo.Destination(orb.Point{-29.5, 45.5}, rapid.Float64Range(0, 360).Draw(t, "bearing"), rapid.Float64Range(1, 100_000).Draw(t, "metres"))
		route, err := e.Route(orb.Point{-29.5, 45.5}, to, law, time.Time{})
		if err != nil {
			return
		}
		assert.GreaterOrEqual(t, route.TypicalS*(1+1e-9), geo.Distance(orb.Point{-29.5, 45.5}, to)/road.FastestMS(e, law))
	})
}

// No travel beats the floor, with bridges, ferries and hills or without, and the
// floor is never lower than the bound of the speed alone. Source: definition.
func TestFloorIsABound(t *testing.T) {
	near := 0
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		s := random(rand.New(rand.NewPCG(seed, 11)), rapid.Bool().Draw(t, "ferries"), rapid.Bool().Draw(t, "hills"))
		law := laws(t)
		var e road.Estimator = terrain(t, straightRoads, s.features...)
		if rapid.IntRange(0, 3).Draw(t, "kind") == 0 {
			e = road.GreatCircle{Factor: rapid.Float64Range(1, 3).Draw(t, "factor")}
		}
		floor := road.FloorOf(e, law)
		for _, a := range s.places {
			for _, b := range s.places {
				route, err := e.Route(a, b, law, noon)
				if err != nil {
					continue
				}
				const movedM = 1 // places on walls are moved by decimetres
				least := floor.S(max(0, geo.Distance(a, b)-movedM))
				assert.GreaterOrEqual(t, route.TypicalS*(1+1e-9), least, "seed %d from %v to %v: %s", seed, a, b, route.Basis)
				assert.GreaterOrEqual(t, least*(1+1e-9), max(0, geo.Distance(a, b)-movedM)/road.FastestMS(e, law))
				if a != b && route.TypicalS < 1.2*least {
					near++
				}
			}
		}
	})
	assert.Positive(t, near, "definition: a bound that is never near is none")
}
