package geo_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"surgeonward/geo"
)

const degreeM = math.Pi / 180 * geo.MeanRadius // one degree of a great circle

func TestDestination(t *testing.T) {
	const identity = "identity: whole degrees of a great circle"
	for _, c := range []struct {
		name, source  string
		from          orb.Point
		bearing, dist float64
		want          orb.Point
	}{
		{"north", identity, at(10, 20), 0, degreeM, at(11, 20)},
		{"east on the equator", identity, at(0, 20), 90, degreeM, at(0, 21)},
		{"backwards", identity, at(0, 20), 90, -degreeM, at(0, 19)},
		{"a bearing beyond a turn", identity, at(0, 20), 90 + 720, degreeM, at(0, 21)},
		{"across the antimeridian", identity, at(0, 179.5), 90, degreeM, at(0, -179.5)},
		{"back across the antimeridian", identity, at(0, -179.5), 270, degreeM, at(0, 179.5)},
		{"over the pole", identity, at(89, 20), 0, 2 * degreeM, at(89, -160)},
		{"from the north pole", identity, at(90, 30), 135, 45 * degreeM, at(45, 75)},
		{"from the south pole", identity, at(-90, 30), 45, 45 * degreeM, at(-45, 75)},
		{"nowhere", identity, at(45.5, -29.5), 77, 0, at(45.5, -29.5)},
		{"nowhere from 180", "definition: longitude is at least -180 and less than 180", at(45.5, 180), 77, 0, at(45.5, -180)},
		{"once around", identity, at(45.5, -29.5), 33, 360 * degreeM, at(45.5, -29.5)},
		{"a quarter turn, half right", "identity: right-angled triangle", at(0, 0), 45, 90 * degreeM, at(45, 90)},
	} {
		t.Run(c.name, func(t *testing.T) {
			const tolDeg = 1e-12
			got := geo.Destination(c.from, c.bearing, c.dist)
			assert.InDelta(t, c.want.Lat(), got.Lat(), tolDeg, c.source)
			assert.InDelta(t, c.want.Lon(), got.Lon(), tolDeg, c.source)
		})
	}
	const tolDeg = 1e-12
	assert.InDelta(t, 90.0, geo.Destination(at(80, 20), 0, 10*degreeM).Lat(), tolDeg, "to the pole, any longitude")
}
