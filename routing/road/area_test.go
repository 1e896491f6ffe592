package road_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
	"surgeonward/routing/road"
)

// box is the four corners of a square of longitude and latitude.
func box(west, south, east, north float64) []orb.Point {
	return []orb.Point{{west, south}, {east, south}, {east, north}, {west, north}}
}

// On the equator the cut at a meridian is at the same share of the way.
func TestAreas(t *testing.T) {
	spread := road.Spread{B0Min2: 0.336, B1Min: 0.000058, B2: 0.0388}
	region := road.Region{Factor: 1.3, Law: road.Law{CruiseMS: 25, AccelerationMS2: 0.25, Spread: spread}}
	slower := road.Law{CruiseMS: 12.5, AccelerationMS2: 0.2, Spread: spread}
	hills := props{"road_factor": 2, "cruise_kmh": 45, "acceleration_kmh_per_min": 43.2}
	tr := terrain(t, region, area(hills, box(0, -1, 1, 1)...))
	degreeM := geo.Distance(orb.Point{0, 0}, orb.Point{1, 0})
	const tolM, tolS = 1e-3, 1e-6

	t.Run("wholly inside", func(t *testing.T) {
		got, err := tr.Route(orb.Point{0.2, 0}, orb.Point{0.5, 0}, region.Law, noon)
		require.NoError(t, err)
		want, err := slower.Timing(0.3 * degreeM * 2)
		require.NoError(t, err)
		assert.InDelta(t, 0.6*degreeM, got.DistanceM, tolM, "definition: the area's factor")
		assert.InDelta(t, want.TypicalS, got.TypicalS, tolS, "definition: the area's law")
		assert.InDelta(t, want.SlowS, got.SlowS, tolS)
		assert.Contains(t, got.Basis, "road 66.7 km: 33.4 km in the hills x 2 at 45 km/h")
	})
	t.Run("half inside", func(t *testing.T) {
		got, err := tr.Route(orb.Point{-0.3, 0}, orb.Point{0.3, 0}, region.Law, noon)
		require.NoError(t, err)
		assert.InDelta(t, 0.3*degreeM*(1.3+2), got.DistanceM, tolM, "identity: each half by its factor")
		// Cruise where one is; gather speed by the region's law and slow down by the hills'.
		want := 0.3*degreeM*1.3/25 + 0.3*degreeM*2/12.5 + (25/0.25+12.5/0.2)/2
		assert.InDelta(t, want, got.TypicalS, tolS, "definition")
	})
	t.Run("through", func(t *testing.T) {
		got, err := tr.Route(orb.Point{-0.1, 0}, orb.Point{1.1, 0}, region.Law, noon)
		require.NoError(t, err)
		assert.InDelta(t, degreeM*(0.2*1.3+2), got.DistanceM, tolM)
		assert.InDelta(t, 0.2*degreeM*1.3/25+degreeM*2/12.5+25/0.25, got.TypicalS, tolS, "definition")
	})
	t.Run("a vehicle with its own law keeps its proportion", func(t *testing.T) {
		own := road.Law{CruiseMS: 20, AccelerationMS2: 0.5}
		got, err := tr.Route(orb.Point{0.2, 0}, orb.Point{0.5, 0}, own, noon)
		require.NoError(t, err)
		want, err := road.Law{CruiseMS: 10, AccelerationMS2: 0.4}.Time(0.6 * degreeM)
		require.NoError(t, err)
		assert.InDelta(t, want, got.TypicalS, tolS, "definition: half the cruise, 0.8 of the acceleration")
	})
	t.Run("outside", func(t *testing.T) {
		got, err := tr.Route(orb.Point{-0.4, 0}, orb.Point{-0.1, 0}, region.Law, noon)
		require.NoError(t, err)
		want, err := road.GreatCircle{Factor: 1.3}.Route(orb.Point{-0.4, 0}, orb.Point{-0.1, 0}, region.Law, noon)
		require.NoError(t, err)
		assert.Equal(t, want, got, "identity: the same function")
	})
}

// The later of two areas holds where they overlap, and a hole is not in its area.
func TestAreasOverlap(t *testing.T) {
	degreeM := geo.Distance(orb.Point{0, 0}, orb.Point{1, 0})
	tr := terrain(t, straightRoads,
		area(props{"road_factor": 2}, box(0, -1, 1, 1)...),
		area(props{"road_factor": 3, "name": "the town"}, box(0.4, -1, 0.6, 1)...))
	got, err := tr.Route(orb.Point{0, 0}, orb.Point{1, 0}, plain, noon)
	require.NoError(t, err)
	const tolM = 1e-3
	assert.InDelta(t, degreeM*(0.8*2+0.2*3), got.DistanceM, tolM, "identity")
	assert.Contains(t, got.Basis, "89.0 km in the hills x 2, 22.2 km in the town x 3")
}

// An area's own spread counts by the share of the time that is spent in it.
func TestAreaSpread(t *testing.T) {
	tr := terrain(t, straightRoads, area(props{"spread": props{"b0": 0, "b1": 0, "b2": 0.09}}, box(0, -1, 1, 1)...))
	for _, c := range []struct{ to, b2 float64 }{{0.5, 0.09}, {-0.5, 0}} {
		got, err := tr.Route(orb.Point{0, 0}, orb.Point{c.to, 0}, plain, noon)
		require.NoError(t, err)
		want := road.Law{CruiseMS: plain.CruiseMS, AccelerationMS2: plain.AccelerationMS2, Spread: road.Spread{B2: c.b2}}
		timing, err := want.Timing(got.DistanceM)
		require.NoError(t, err)
		assert.InDelta(t, timing.SlowS, got.SlowS, 1e-6, "definition")
	}
	got, err := tr.Route(orb.Point{-0.5, 0}, orb.Point{0.5, 0}, plain, noon)
	require.NoError(t, err)
	half := math.Sqrt(math.Log1p(0.045))
	assert.InDelta(t, got.TypicalS*math.Exp(1.2815515655446004*half), got.SlowS, 1e-3, "arithmetic: a b2 of 0.045")
}

// A bridge is a road like those around it, unless it says how long or how fast
// it is.
func TestCrossingLengthAndSpeed(t *testing.T) {
	region := road.Region{Factor: 1.5, Law: plain}
	straightM := lengthM(strait.line("pq"))
	for _, c := range []struct {
		name         string
		more         props
		roadM, costM float64
		says         string
	}{
		{"as the roads around", nil, 1.5 * straightM, 1.5 * straightM, "2.2 km x 1.5, by the bridge"},
		{"a length of its own", props{"length_m": 5000}, 5000, 5000, "by the bridge 5.0 km"},
		{"a speed of its own", props{"speed_kmh": 36}, 1.5 * straightM, 3 * straightM, "by the bridge at 36 km/h"},
		{"both", props{"length_m": 5000, "speed_kmh": 36}, 5000, 10000, "by the bridge 5.0 km at 36 km/h"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tr := terrain(t, region, shut(), crossing("bridge", "the bridge", strait['p'], strait['q'], c.more))
			got, err := tr.Route(strait['p'], strait['q'], plain, noon)
			require.NoError(t, err)
			want, err := plain.Time(c.costM)
			require.NoError(t, err)
			const tolM, tolS = 1e-6, 1e-9
			assert.InDelta(t, c.roadM, got.DistanceM, tolM, "definition")
			assert.InDelta(t, want, got.TypicalS, tolS, "definition: the law over what takes as long at cruise")
			assert.Contains(t, got.Basis, c.says)
		})
	}
}
