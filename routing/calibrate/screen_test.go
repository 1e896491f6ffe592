package calibrate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"surgeonward/routing/calibrate"
)

// Source: identity. Of a normal distribution 6.3 in 100 000 are beyond 4
// standard deviations (2 (1 - Phi(4)) = 0.0000633), and a wrong clock is.
func TestInLine(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 31))
	logs := make([]float64, 50000)
	for i := range logs {
		logs[i] = 5 + 0.4*r.NormFloat64()
	}
	out := func() int {
		n := 0
		for _, kept := range calibrate.InLine(logs) {
			if !kept {
				n++
			}
		}
		return n
	}
	assert.LessOrEqual(t, out(), 12, "3 are expected")
	for i := range 2500 {
		logs[i*20] += math.Log(40)
	}
	assert.InDelta(t, 2500, out(), 12, "a factor of 40 is 9 standard deviations")
	for i := range logs {
		logs[i] = 5
	}
	assert.Zero(t, out(), "all the same")
}

// Source: identity. Bootstrapped means of n normal deviates spread by 1/sqrt(n):
// the middle nine tenths of many replicates are 2 x 1.645 of that wide.
func TestPercentiles(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 32))
	values := make([]float64, 20000)
	for i := range values {
		values[i] = r.NormFloat64() / 10
	}
	i := calibrate.Percentiles(values)
	const tolerance = 0.005 // of the mean's unit: three standard errors
	assert.InDelta(t, -0.16449, *i.Low, tolerance)
	assert.InDelta(t, 0.16449, *i.High, tolerance)
}
