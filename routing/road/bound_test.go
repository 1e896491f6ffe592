package road_test

import (
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
