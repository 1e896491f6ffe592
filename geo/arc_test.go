package geo_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo"
)

func TestInterpolate(t *testing.T) {
	const tolDeg = 1e-12
	for _, c := range []struct {
		name, source string
		a, b         orb.Point
		fraction     float64
		want         orb.Point
	}{
		{"start", "identity", at(45.5, -29.5), at(46, -28), 0, at(45.5, -29.5)},
		{"end", "identity", at(45.5, -29.5), at(46, -28), 1, at(46, -28)},
		{"middle of the equator", "identity", at(0, 10), at(0, 30), 0.5, at(0, 20)},
		{"across the antimeridian", "identity", at(0, 170), at(0, -160), 1.0 / 3, at(0, 180)},
		{"over the pole", "identity", at(80, 20), at(80, -160), 0.25, at(85, 20)},
		{"down the other side", "identity", at(80, 20), at(80, -160), 0.75, at(85, -160)},
		{"highest point of a parallel's arc", "identity: tan of the vertex is tan 45 over cos 45", at(45, 0), at(45, 90), 0.5,
			at(math.Atan(math.Sqrt2)*180/math.Pi, 45)},
		{"between antipodes", "definition: the circle that leaves at bearing 0", at(0, 10), at(0, -170), 0.25, at(45, 10)},
		{"pole to pole", "definition: the circle that leaves at bearing 0", at(-90, 10), at(90, 99), 0.5, at(0, 10)},
		{"beyond the end", "identity", at(0, 10), at(0, 30), 1.5, at(0, 40)},
		{"same point", "identity", at(45.5, -29.5), at(45.5, -29.5), 0.3, at(45.5, -29.5)},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := geo.Interpolate(c.a, c.b, c.fraction)
			assert.InDelta(t, c.want.Lat(), got.Lat(), tolDeg, c.source)
			assert.InDelta(t, 0, math.Remainder(c.want.Lon()-got.Lon(), 360), tolDeg, c.source)
		})
	}
}

func TestArc(t *testing.T) {
	a, b := at(45.5, 179), at(47, -178)
	line := geo.Arc(a, b, 10e3)
	require.Len(t, line, 1+int(math.Ceil(geo.Distance(a, b)/10e3)))
	assert.Equal(t, a, line[0])
	assert.Equal(t, b, line[len(line)-1])
	for i := range line[1:] {
		const tolM = 1e-6
		assert.InDelta(t, geo.Distance(a, b)/float64(len(line)-1), geo.Distance(line[i], line[i+1]), tolM)
	}
	for _, stepM := range []float64{-5, math.NaN(), math.Inf(1), math.Inf(-1), 1e9} {
		assert.Equal(t, []orb.Point{a, b}, geo.Arc(a, b, stepM), "step %v", stepM)
	}
	assert.Len(t, geo.Arc(a, b, 1e-300), 10_001, "a tiny step must not exhaust memory")
	assert.Equal(t, []orb.Point{a, b}, geo.Arc(a, b, 0), "documented: not a positive step")
	assert.Equal(t, []orb.Point{a, a}, geo.Arc(a, a, 1), "no length is still a line")
	assert.NotPanics(t, func() { geo.Arc(at(math.NaN(), 0), b, 1) })
}

func TestSplitAtAntimeridian(t *testing.T) {
	const rfc = "RFC 7946 section 3.1.9: cut at the antimeridian, neither part crosses it"
	for _, c := range []struct {
		name string
		line []orb.Point
		want []orb.LineString
	}{
		{"RFC 7946 section 3.1.9 example", []orb.Point{{170, 45}, {-170, 45}},
			[]orb.LineString{{{170, 45}, {180, 45}}, {{-180, 45}, {-170, 45}}}},
		{"westward", []orb.Point{{-170, 40}, {160, 46}},
			[]orb.LineString{{{-170, 40}, {-180, 42}}, {{180, 42}, {160, 46}}}},
		{"not crossing", []orb.Point{{-29.5, 45}, {-29, 46}}, []orb.LineString{{{-29.5, 45}, {-29, 46}}}},
		{"ends on it with the other sign", []orb.Point{{179, 1}, {-180, 2}}, []orb.LineString{{{179, 1}, {180, 2}}}},
		{"begins on it with the other sign", []orb.Point{{180, 1}, {-179, 2}}, []orb.LineString{{{-180, 1}, {-179, 2}}}},
		{"touches", []orb.Point{{-179, 0}, {180, 1}, {-178, 2}}, []orb.LineString{{{-179, 0}, {-180, 1}, {-178, 2}}}},
		{"a point on it", []orb.Point{{179, 0}, {-180, 1}, {-178, 2}},
			[]orb.LineString{{{179, 0}, {180, 1}}, {{-180, 1}, {-178, 2}}}},
		{"runs along it, then leaves", []orb.Point{{180, 0}, {-180, 5}, {180, 9}, {-179, 9}},
			[]orb.LineString{{{180, 0}, {180, 5}, {180, 9}}, {{-180, 9}, {-179, 9}}}},
		{"there and back", []orb.Point{{179, 0}, {-179, 0}, {179, 0}},
			[]orb.LineString{{{179, 0}, {180, 0}}, {{-180, 0}, {-179, 0}, {-180, 0}}, {{180, 0}, {179, 0}}}},
		{"once around", []orb.Point{{0, 0}, {120, 0}, {-120, 0}, {0, 0}},
			[]orb.LineString{{{0, 0}, {120, 0}, {180, 0}}, {{-180, 0}, {-120, 0}, {0, 0}}}},
		{"nothing", nil, nil},
		{"a point is no line", []orb.Point{{180, 0}}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, geo.SplitAtAntimeridian(c.line), rfc)
		})
	}
}
