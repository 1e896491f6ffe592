package wind_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"surgeonward/geo/wind"
)

const (
	toleranceMS  = 1e-9
	toleranceDeg = 1e-6
)

func degrees(t *rapid.T, label string) float64 { return rapid.Float64Range(0, 360).Draw(t, label) }

// Identity: the air vector and the wind vector add up to the ground vector.
func TestVectorsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track, tas := degrees(t, "track"), rapid.Float64Range(1, 150).Draw(t, "tas")
		w := wind.Wind{FromDeg: degrees(t, "from"), SpeedMS: rapid.Float64Range(0, 100).Draw(t, "speed")}
		s, err := wind.Triangle(track, tas, w)
		if err != nil {
			return
		}
		vector := func(deg, length float64) complex128 {
			sin, cos := math.Sincos(deg * math.Pi / 180)
			return complex(length*cos, length*sin)
		}
		sum := vector(s.HeadingDeg, tas) + vector(w.FromDeg+180, w.SpeedMS)
		over := vector(track, s.GroundSpeedMS)
		assert.InDelta(t, real(over), real(sum), toleranceMS)
		assert.InDelta(t, imag(over), imag(sum), toleranceMS)
	})
}

// Definition: a wind from ahead or straight across never makes for a higher speed
// over the ground, and more of it never does either.
func TestHeadWindNeverHelps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track, tas := degrees(t, "track"), rapid.Float64Range(1, 150).Draw(t, "tas")
		off := rapid.Float64Range(-90, 90).Draw(t, "off")
		weak := rapid.Float64Range(0, 100).Draw(t, "weak")
		strong := weak + rapid.Float64Range(0, 50).Draw(t, "more")
		last := tas
		for _, speed := range []float64{weak, strong} {
			s, err := wind.Triangle(track, tas, wind.Wind{FromDeg: track + off, SpeedMS: speed})
			if err != nil {
				var unsolvable *wind.UnsolvableError
				assert.True(t, errors.As(err, &unsolvable))
				last = 0 // and then a stronger one is unsolvable too
				continue
			}
			assert.LessOrEqual(t, s.GroundSpeedMS, last+toleranceMS)
			last = s.GroundSpeedMS
		}
	})
}

// Identity: there and back in a steady wind is never quicker than in still air.
func TestOutAndBackIsNeverQuicker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track, tas := degrees(t, "track"), rapid.Float64Range(1, 150).Draw(t, "tas")
		w := wind.Wind{FromDeg: degrees(t, "from"), SpeedMS: rapid.Float64Range(0, 100).Draw(t, "speed")}
		out, errOut := wind.Triangle(track, tas, w)
		back, errBack := wind.Triangle(track+180, tas, w)
		if errOut != nil || errBack != nil {
			return // never arrives, or never comes home
		}
		assert.GreaterOrEqual(t, 1/out.GroundSpeedMS+1/back.GroundSpeedMS, 2/tas*(1-1e-12))
	})
}

// Identity: the mirror image of a wind about the track gives the same speed and
// the opposite correction.
func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track, tas := degrees(t, "track"), rapid.Float64Range(1, 150).Draw(t, "tas")
		off, speed := degrees(t, "off"), rapid.Float64Range(0, 100).Draw(t, "speed")
		right, errRight := wind.Triangle(track, tas, wind.Wind{FromDeg: track + off, SpeedMS: speed})
		left, errLeft := wind.Triangle(track, tas, wind.Wind{FromDeg: track - off, SpeedMS: speed})
		if errRight != nil || errLeft != nil {
			assert.True(t, (errRight != nil) == (errLeft != nil) ||
				right.GroundSpeedMS+left.GroundSpeedMS < 1e-6 || // on the edge, rounding decides
				math.Abs(math.Abs(speed*math.Sin(off*math.Pi/180))-tas) < 1e-6)
			return
		}
		assert.InDelta(t, right.GroundSpeedMS, left.GroundSpeedMS, 1e-6) // asin is steep at its ends
		assert.InDelta(t, right.CorrectionDeg, -left.CorrectionDeg, 1e-4)
	})
}

// Identity: turning the whole picture turns the heading with it.
func TestTurning(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track, turn := degrees(t, "track"), degrees(t, "turn")
		w := wind.Wind{FromDeg: degrees(t, "from"), SpeedMS: rapid.Float64Range(0, 40).Draw(t, "speed")}
		turned := wind.Wind{FromDeg: w.FromDeg + turn, SpeedMS: w.SpeedMS}
		a, errA := wind.Triangle(track, 60, w)
		b, errB := wind.Triangle(track+turn, 60, turned)
		assert.NoError(t, errA)
		assert.NoError(t, errB)
		assert.InDelta(t, 0, math.Remainder(b.HeadingDeg-a.HeadingDeg-turn, 360), toleranceDeg)
		assert.InDelta(t, a.GroundSpeedMS, b.GroundSpeedMS, toleranceMS)
	})
}
