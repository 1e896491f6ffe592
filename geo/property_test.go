package geo_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"surgeonward/geo"
)

// anywhere draws points over the whole Earth, with the awkward ones often.
func anywhere() *rapid.Generator[orb.Point] {
	lat := rapid.OneOf(rapid.Float64Range(-90, 90), rapid.SampledFrom([]float64{-90, -89.9999999, 0, 45.5, 89.9999999, 90}))
	lon := rapid.OneOf(rapid.Float64Range(-180, 180), rapid.SampledFrom([]float64{-180, -179.9999999, -90, 0, 179.9999999, 180}))
	return rapid.Custom(func(t *rapid.T) orb.Point { return orb.Point{lon.Draw(t, "lon"), lat.Draw(t, "lat")} })
}

const tolM = 1e-6

func TestDistanceProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := anywhere().Draw(t, "a"), anywhere().Draw(t, "b"), anywhere().Draw(t, "c")
		d := geo.Distance(a, b)
		assert.Equal(t, d, geo.Distance(b, a), "symmetric to the bit")
		assert.True(t, d >= 0 && d <= math.Pi*geo.MeanRadius*(1+1e-15), "range: %v", d)
		assert.LessOrEqual(t, d, geo.Distance(a, c)+geo.Distance(c, b)+tolM, "triangle inequality")
		assert.Equal(t, d, geo.Distance(mirror(a), mirror(b)), "mirror image")
		assert.Equal(t, d, geo.Distance(at(-a.Lat(), a.Lon()), at(-b.Lat(), b.Lon())), "other hemisphere")
		turn := rapid.SampledFrom([]float64{-180, -90, 37, 90, 180}).Draw(t, "turn")
		assert.InDelta(t, d, geo.Distance(shift(a, turn), shift(b, turn)), tolM, "turning the globe")
		assert.InDelta(t, slowDistance(a, b), d, tolM, "cross and dot product")
		assert.InDelta(t, d, geo.Unit(a).Distance(geo.Unit(b)), tolM, "unit vectors")
		assert.Equal(t, geo.Unit(a).Distance(geo.Unit(b)), geo.Unit(b).Distance(geo.Unit(a)))
	})
}

func mirror(p orb.Point) orb.Point { return orb.Point{-p.Lon(), p.Lat()} }

func shift(p orb.Point, deg float64) orb.Point {
	return orb.Point{math.Remainder(p.Lon()+deg, 360), p.Lat()}
}

// slowDistance is the oracle: the angle between two vectors from the sine, by the
// cross product, and the cosine, by the dot product.
func slowDistance(a, b orb.Point) float64 {
	v, w := slowUnit(a), slowUnit(b)
	cross := math.Hypot(math.Hypot(v[1]*w[2]-v[2]*w[1], v[2]*w[0]-v[0]*w[2]), v[0]*w[1]-v[1]*w[0])
	return geo.MeanRadius * math.Atan2(cross, v[0]*w[0]+v[1]*w[1]+v[2]*w[2])
}

func slowUnit(p orb.Point) [3]float64 {
	lat, lon := p.Lat()*math.Pi/180, p.Lon()*math.Pi/180
	return [3]float64{math.Cos(lat) * math.Cos(lon), math.Cos(lat) * math.Sin(lon), math.Sin(lat)}
}

func TestVectorKeepsMillimetres(t *testing.T) {
	a := at(45.5, -29.5)
	b := geo.Destination(a, 60, 0.001)
	const tolM = 5e-9
	assert.InDelta(t, 0.001, geo.Unit(a).Distance(geo.Unit(b)), tolM, "identity: destination and distance are inverse")
	assert.InDelta(t, 0.001, geo.Distance(a, b), tolM, "identity: destination and distance are inverse")
}

func TestDestinationIsInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anywhere().Draw(t, "a"), anywhere().Draw(t, "b")
		bearing := geo.InitialBearing(a, b)
		assert.True(t, bearing >= 0 && bearing < 360, "range: %v", bearing)
		got := geo.Destination(a, bearing, geo.Distance(a, b))
		assert.NoError(t, geo.Check(got))
		assert.True(t, got.Lon() < 180, "longitude is less than 180: %v", got.Lon())
		assert.InDelta(t, 0, geo.Distance(b, got), tolM)
	})
}

func TestDestinationGoesTheDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anywhere().Draw(t, "a")
		bearing := rapid.Float64Range(-720, 720).Draw(t, "bearing")
		distance := rapid.Float64Range(0, math.Pi*geo.MeanRadius).Draw(t, "distance")
		assert.InDelta(t, distance, geo.Distance(a, geo.Destination(a, bearing, distance)), tolM)
	})
}

func TestHalfWayIsTheMidpoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anywhere().Draw(t, "a"), anywhere().Draw(t, "b")
		half := geo.Interpolate(a, b, 0.5)
		d := geo.Distance(a, b)
		assert.InDelta(t, d/2, geo.Distance(a, half), tolM)
		assert.InDelta(t, d/2, geo.Distance(half, b), tolM)
		if d > 1 && d < math.Pi*geo.MeanRadius-1e5 { // nearer the antipode the midpoint is badly determined
			v, w := geo.Unit(a), geo.Unit(b)
			n := math.Sqrt((v[0]+w[0])*(v[0]+w[0]) + (v[1]+w[1])*(v[1]+w[1]) + (v[2]+w[2])*(v[2]+w[2]))
			middle := geo.Vector{(v[0] + w[0]) / n, (v[1] + w[1]) / n, (v[2] + w[2]) / n}
			assert.InDelta(t, 0, middle.Distance(geo.Unit(half)), 1e-5, "the mean of the two vectors")
		}
	})
}

func TestSplitKeepsTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.SliceOfN(anywhere(), 2, 12).Draw(t, "line")
		pieces := geo.SplitAtAntimeridian(line)
		total := 0
		for i, piece := range pieces {
			assert.GreaterOrEqual(t, len(piece), 2, "RFC 7946 section 3.1.4: two or more positions")
			for j, p := range piece {
				assert.NoError(t, geo.Check(p))
				if j > 0 {
					assert.LessOrEqual(t, math.Abs(p.Lon()-piece[j-1].Lon()), 180.0, "no segment goes the long way round")
				}
			}
			if i > 0 {
				last, first := pieces[i-1][len(pieces[i-1])-1], piece[0]
				assert.Equal(t, 180.0, math.Abs(last.Lon()), "a cut is exactly on the antimeridian")
				assert.Equal(t, orb.Point{-last.Lon(), last.Lat()}, first, "the next piece goes on from there")
			}
			total += len(piece)
		}
		assert.LessOrEqual(t, total, len(line)+2*(len(pieces)-1), "a cut adds no more than its two ends")
		for _, p := range line {
			assert.True(t, visits(pieces, p), "every position is kept: %v", p)
		}
	})
}

func visits(pieces []orb.LineString, p orb.Point) bool {
	for _, piece := range pieces {
		for _, q := range piece {
			if q == p || (q.Lat() == p.Lat() && math.Abs(q.Lon()) == 180 && math.Abs(p.Lon()) == 180) {
				return true
			}
		}
	}
	return false
}
