package geo_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"surgeonward/geo"
)

func TestCheck(t *testing.T) {
	const source = "definition: latitude -90 to 90, longitude -180 to 180 (RFC 5870 section 3.4.2)"
	for _, c := range []struct {
		name string
		p    orb.Point
		says []string // empty: accepted
	}{
		{"island", orb.Point{-29.41, 45.52}, nil},
		{"corners of the range", orb.Point{180, -90}, nil},
		{"other corner", orb.Point{-180, 90}, nil},
		{"latitude just outside", orb.Point{-179, 90.0001}, []string{"latitude 90.0001 is outside -90 to 90"}},
		{"swapped", orb.Point{45.52, -129.41}, []string{"latitude -129.41", "order may be swapped"}},
		{"longitude outside", orb.Point{180.5, 10}, []string{"longitude 180.5 is outside -180 to 180"}},
		{"both outside", orb.Point{300, -91}, []string{"latitude -91", "longitude 300"}},
		{"not a number", orb.Point{math.NaN(), 10}, []string{"longitude NaN is not a finite number"}},
		{"infinite", orb.Point{0, math.Inf(-1)}, []string{"latitude -Inf is not a finite number"}},
		{"huge", orb.Point{1e300, 0}, []string{"longitude 1e+300"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := geo.Check(c.p)
			if c.says == nil {
				assert.NoError(t, err, source)
				return
			}
			for _, phrase := range c.says {
				assert.ErrorContains(t, err, phrase, source)
			}
		})
	}
	assert.NotContains(t, geo.Check(orb.Point{200, 95}).Error(), "swapped",
		"swapping 200, 95 would put the latitude at 200")
}
