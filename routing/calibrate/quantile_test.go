package calibrate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"surgeonward/routing/calibrate"
)

const textbook = "Table A.7, Confidence Intervals for the Population Median, of a statistics textbook (page seen at coursehero.com/file/5646626): the interval of at least that confidence"

// The narrowest symmetric interval that reaches the level, by the table.
func TestQuantileRanks(t *testing.T) {
	for _, tc := range []struct {
		n, low, high int
		level        float64
		source       string
	}{
		{6, 1, 6, 0.90, textbook + ": 96.9 %, and [2,5] only 78.1 %"},
		{8, 2, 7, 0.90, textbook + ": 93.0 %"},
		{9, 2, 8, 0.90, textbook + ": 96.1 %, and [3,7] only 82.0 %"},
		{10, 2, 9, 0.90, textbook + ": 97.9 %, and [3,8] only 89.1 %"},
		{11, 3, 9, 0.90, textbook + ": 93.5 %"},
		{13, 4, 10, 0.90, textbook + ": 90.8 %"},
		{16, 5, 12, 0.90, textbook + ": 92.3 %"},
		{17, 5, 13, 0.95, textbook + ": 95.1 %"},
		{18, 6, 13, 0.90, textbook + ": 90.4 %"},
		{20, 6, 15, 0.95, textbook + ": 95.9 %"},
		{4, 0, 5, 0.90, textbook + ": [1,4] has only 87.5 %: no limits"},
	} {
		t.Run(fmt.Sprint(tc.n), func(t *testing.T) {
			low, high := calibrate.QuantileRanks(tc.n, 0.5, tc.level)
			assert.Equal(t, [2]int{tc.low, tc.high}, [2]int{low, high}, tc.source)
		})
	}
}

// below sums the binomial distribution term by term. Source: definition.
func below(n int, p float64, k int) float64 {
	sum := 0.0
	for i := 0; i <= k; i++ {
		ways := 1.0
		for j := range i {
			ways *= float64(n-j) / float64(i-j)
		}
		sum += ways * math.Pow(p, float64(i)) * math.Pow(1-p, float64(n-i))
	}
	return sum
}

// Source: definition. The number of values below the quantile is binomial; the
// ranks must leave at most half of the rest outside on either side, and be the
// innermost that do.
func TestQuantileRanksAgainstTheBinomial(t *testing.T) {
	for _, p := range []float64{0.5, 0.9} {
		for n := 1; n <= 120; n++ {
			low, high := calibrate.QuantileRanks(n, p, 0.9)
			const rounding = 1e-9
			if low > 0 {
				require.LessOrEqual(t, below(n, p, low-1), 0.05+rounding, "n %d p %v", n, p)
			}
			if k := low + 1; k <= int(float64(n)*p) {
				require.Greater(t, below(n, p, k-1), 0.05-rounding, "n %d p %v: rank %d would do", n, p, k)
			}
			if high <= n {
				require.LessOrEqual(t, 1-below(n, p, high-1), 0.05+rounding, "n %d p %v", n, p)
			}
			if k := high - 1; k > int(math.Ceil(float64(n)*p)) {
				require.Greater(t, 1-below(n, p, k-1), 0.05-rounding, "n %d p %v: rank %d would do", n, p, k)
			}
		}
	}
}

// Source: identity. With n values the largest is below the 9-in-10 figure with
// probability 0.9^n, which is under 1 in 20 from 29 on (0.9^28 = 0.0523,
// 0.9^29 = 0.0471).
func TestFewestForSlow(t *testing.T) {
	assert.Equal(t, 29, calibrate.FewestForSlow())
	values := make([]float64, 29)
	for i := range values {
		values[i] = float64(i)
	}
	assert.NotNil(t, calibrate.QuantileInterval(values, 0.9).High)
	assert.Nil(t, calibrate.QuantileInterval(values[:28], 0.9).High)
}

func TestQuantile(t *testing.T) {
	for _, tc := range []struct {
		name   string
		values []float64
		p      float64
		want   float64
		source string
	}{
		{"middle of odd", []float64{1, 2, 9}, 0.5, 2, "definition of the median"},
		{"middle of even", []float64{1, 2, 4, 9}, 0.5, 3, "definition of the median"},
		{"9 in 10 of 9", []float64{1, 2, 3, 4, 5, 6, 7, 8, 9}, 0.9, 9, "rank 0.9 x 10 = 9"},
		{"9 in 10 of 19", []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 30}, 0.9, 18, "rank 0.9 x 20 = 18"},
		{"between ranks", []float64{10, 20, 30, 40}, 0.25, 12.5, "rank 0.25 x 5 = 1.25"},
		{"past the last", []float64{10, 20}, 0.9, 20, "rank 2.7 of 2"},
		{"before the first", []float64{10, 20}, 0.01, 10, "rank 0.03"},
		{"one", []float64{7}, 0.9, 7, "definition"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			assert.InDelta(t, tc.want, calibrate.Quantile(tc.values, tc.p), 1e-12, tc.source)
		})
	}
	assert.True(t, math.IsNaN(calibrate.Quantile(nil, 0.5)))
}

// Source: identity. The next of n+1 draws stays under the p-quantile of the
// first n with probability p, whatever the distribution.
func TestQuantileIsForTheNextJourney(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const draws = 20000
	for _, n := range []int{19, 20, 24, 50} {
		under := 0
		for range draws {
			values := make([]float64, n)
			for i := range values {
				values[i] = r.NormFloat64()
			}
			slices.Sort(values)
			if r.NormFloat64() <= calibrate.Quantile(values, 0.9) {
				under++
			}
		}
		const threeStandardErrors, betweenRanks = 0.0064, 0.003
		assert.InDelta(t, 0.9, float64(under)/draws, threeStandardErrors+betweenRanks, "n %d", n)
	}
}

// An interval has at least its level, and holds its quantile. Source: definition.
func TestIntervalHoldsQuantile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(1, 1e5), 1, 200).Draw(t, "values")
		p := rapid.SampledFrom([]float64{0.5, 0.9}).Draw(t, "p")
		slices.Sort(values)
		i := calibrate.QuantileInterval(values, p)
		if !i.Has(calibrate.Quantile(values, p)) {
			t.Fatalf("%v is not in %v to %v", calibrate.Quantile(values, p), i.Low, i.High)
		}
	})
}

// Source: definition; the loss of Koenker and Bassett 1978 (from memory) is
// least at the quantile.
func TestQuantileLoss(t *testing.T) {
	assert.InDelta(t, 1.8, calibrate.QuantileLoss(2, 0.9), 1e-12)
	assert.InDelta(t, 0.2, calibrate.QuantileLoss(-2, 0.9), 1e-12)
	loss := func(at float64) float64 {
		sum := 0.0
		for v := range 1000 {
			sum += calibrate.QuantileLoss(float64(v)+0.5-at, 0.9)
		}
		return sum
	}
	assert.Less(t, loss(900), loss(880))
	assert.Less(t, loss(900), loss(920))
}

func TestRoundTo(t *testing.T) {
	for _, tc := range []struct {
		v      float64
		digits int
		want   float64
	}{{1234.56, 4, 1235}, {0.00123456, 4, 0.001235}, {0, 4, 0}, {-98765, 2, -99000}, {1e300, 3, 1e300}} {
		assert.Equal(t, tc.want, calibrate.RoundTo(tc.v, tc.digits))
	}
	assert.True(t, math.IsInf(calibrate.RoundTo(math.Inf(1), 4), 1))
}
